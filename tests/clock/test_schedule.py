"""Values on the grid, and the moments they fall on."""

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chartwalk.clock.schedule import (
    Event,
    RateChange,
    ScheduledBar,
    check_rate,
    deadlines,
    place_bars,
)

NOTE = bytes([0x99, 76, 100])


@pytest.mark.parametrize(
    "message",
    [b"", b"\x4c", b"\x99\x4c", NOTE + b"\x01", b"\x99\x4c\x80", b"\xf0\x01\xf7", b"\xf7", b"\xf4"],
)
def test_a_message_must_be_short_and_whole(message: bytes) -> None:
    with pytest.raises(ValueError, match="no short MIDI message"):
        Event(0, message)


@pytest.mark.parametrize("message", [NOTE, b"\xc0\x05", b"\xe0\x00\x40", b"\xf8", b"\xf2\x08\x00"])
def test_short_messages_of_every_length_are_taken(message: bytes) -> None:
    assert Event(0, message).message == message


@pytest.mark.parametrize("tick", [-1, 2**31])
def test_an_event_lies_after_its_bar_line(tick: int) -> None:
    with pytest.raises(ValueError, match="ticks into its bar"):
        Event(tick, NOTE)


@pytest.mark.parametrize(
    ("ticks", "seconds", "events", "why"),
    [
        (0, 0.1, (), "ticks long"),
        (-960, 0.1, (), "ticks long"),
        (960, 0.0, (), "no time"),
        (960, math.nan, (), "no time"),
        (960, math.inf, (), "no time"),
        (960, 0.1, (Event(960, NOTE),), "outside a bar"),
        (960, 0.1, (Event(5, NOTE), Event(4, NOTE)), "go by tick"),
    ],
)
def test_a_bar_must_make_sense(
    ticks: int, seconds: float, events: tuple[Event, ...], why: str
) -> None:
    with pytest.raises(ValueError, match=why):
        ScheduledBar(ticks, seconds, events)


@pytest.mark.parametrize("tempo", [0, -60, math.nan])
def test_a_tempo_is_above_zero(tempo: float) -> None:
    with pytest.raises(ValueError, match="tempo"):
        ScheduledBar.at_tempo(960, tempo)


@pytest.mark.parametrize("rate", [0, 0.09, 10.1, -1, math.nan, math.inf])
def test_a_rate_has_limits(rate: float) -> None:
    with pytest.raises(ValueError, match="rate"):
        check_rate(rate)
    with pytest.raises(ValueError, match="rate"):
        RateChange(0.0, rate)


def test_a_rate_asked_for_on_the_bar_line_holds_from_it() -> None:
    bar = ScheduledBar(960, 0.5 / 960)
    places = list(place_bars([bar] * 3, 10.0, changes=[RateChange(10.5, 2.0)]))
    assert [place.start for place in places] == [10.0, 10.5, 10.75]


def test_a_rate_asked_for_before_the_start_holds_at_once() -> None:
    bar = ScheduledBar(960, 0.5 / 960)
    places = list(place_bars([bar] * 2, 10.0, first=1, changes=[RateChange(9.0, 0.5)]))
    assert [(place.index, place.end) for place in places] == [(1, 11.0)]


rates = st.floats(0.1, 10.0)
bar_lists = st.lists(
    st.builds(
        lambda ticks, tempo, ticks_of_events: ScheduledBar.at_tempo(
            ticks, tempo, [Event(tick, NOTE) for tick in sorted(ticks_of_events) if tick < ticks]
        ),
        st.integers(1, 9600),
        st.floats(20, 400),
        st.lists(st.integers(0, 9599), max_size=8),
    ),
    min_size=1,
    max_size=40,
)


@given(bar_lists, st.floats(0, 1e6), st.lists(st.tuples(st.floats(0, 60), rates), max_size=20))
def test_no_deadline_is_off_the_grid_and_nothing_drifts(
    bars: list[ScheduledBar], start: float, asked: list[tuple[float, float]]
) -> None:
    changes = [RateChange(start + after, rate) for after, rate in sorted(asked)]
    places = list(place_bars(bars, start, changes=changes))
    due = iter(deadlines(bars, places))

    # The same in exact fractions: the bars end to end, each at the last rate asked for before it.
    exact = Fraction(start)
    for place, bar in zip(places, bars, strict=True):
        before = [change.rate for change in changes if change.moment <= place.start]
        seconds = Fraction(bar.tick_seconds) / Fraction(before[-1] if before else 1.0)
        for event in bar.events:
            assert abs(Fraction(next(due)[0]) - (exact + event.tick * seconds)) < 1e-7
        exact += bar.ticks * seconds
        assert abs(Fraction(place.end) - exact) < 1e-7
    assert next(due, None) is None


def test_an_hour_does_not_drift() -> None:
    bar = ScheduledBar.at_tempo(3 * 960, 177)
    *_, last = place_bars([bar] * 3540, 12345.678)
    assert last.end - 12345.678 == pytest.approx(3600, abs=1e-6)
