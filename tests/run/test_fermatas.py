"""A fermata holds a run for some beats: how long is the player's choice (common practice).

What is held sounds on, what follows comes later, and the place stands still meanwhile.
"""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chartwalk.chart import Bar, Note
from chartwalk.clock.schedule import TICKS_PER_QUARTER
from chartwalk.meter import Meter
from chartwalk.pitch import Pitch
from chartwalk.run.timing import Timing
from chartwalk.run.turn import Turn

TICK = Fraction(1, TICKS_PER_QUARTER)
C4 = Pitch.parse("C4")


def held(meter: str, *fermatas: str, tune: str = "") -> Turn:
    signature = Meter.parse(meter)
    notes = tuple(Note(C4, Fraction(part)) for part in tune.split())
    bar = Bar("1", signature, length=signature.quarters, tune=notes)
    marks = tuple(Fraction(at) for at in fermatas)
    return Turn(0, Bar("1", signature, length=bar.length, tune=notes, fermatas=marks))


@pytest.mark.parametrize(
    ("turn", "hold", "quarters"),
    [
        (held("4/4", "3"), 2, 6),
        (held("4/4", "3"), 0, 4),
        (held("4/4"), 4, 4),
        (held("4/4", "0", "3"), 1, 6),
        (held("6/8", "3/2"), 2, 6),  # two dotted quarters
        (held("2/2", "2"), 1, 6),  # one half
        (
            held("4/4", "0", "1", tune="2 2"),
            1,
            5,
        ),  # both end there
        (held("4/4", "0", "2", tune="2 2"), 1, 6),
        (held("4/4", "0", "1", tune="4"), 3, 10),  # the note that began ends with the bar
    ],
)
def test_how_much_longer_the_bar_lasts(turn: Turn, hold: int, quarters: int) -> None:
    assert Timing(turn, hold).ticks == quarters * TICKS_PER_QUARTER


@pytest.mark.parametrize(
    ("turn", "ends"),
    [
        (held("4/4", "2"), ["3"]),  # a chord alone: to the end of its beat
        (held("4/4", "7/2"), ["4"]),  # but no further than the bar
        (held("6/8", "3/2"), ["3"]),
        (held("4/4", "1", tune="1 3"), ["4"]),  # a note: to its end
        (held("4/4", "0", tune="1/2 7/2"), ["1/2"]),
        (held("4/4", "0", "1", tune="4"), ["2", "4"]),
    ],
)
def test_it_holds_at_the_end_of_the_note_or_of_the_beat(turn: Turn, ends: list[str]) -> None:
    assert turn.held == tuple(map(Fraction, ends))


def test_what_is_counted_in_is_not_held() -> None:
    turn = Turn(0, held("4/4", "3").bar, counted=Fraction(4))
    assert Timing(turn, 4).ticks == 4 * TICKS_PER_QUARTER


def test_what_is_held_sounds_on_and_what_follows_comes_later() -> None:
    timing = Timing(held("4/4", "1", tune="1 1 2"), 2)
    assert timing.start(Fraction(1)) == 960
    assert timing.end(Fraction(2), 960) == 4 * 960  # two quarters longer
    assert timing.start(Fraction(2)) == 4 * 960
    assert timing.start(Fraction(3)) == 5 * 960


def test_the_place_does_not_move_while_it_holds() -> None:
    timing = Timing(held("4/4", "1", tune="1 1 2"), 2)
    just_before = 2 - TICK
    for quarters, place in [
        ("0", 0),
        ("3/2", Fraction(3, 2)),
        ("2", just_before),
        ("3", just_before),
        ("3999/1000", just_before),
        ("4", 2),
        ("5", 3),
        ("6", 4),
    ]:
        assert timing.place(float(Fraction(quarters) * TICKS_PER_QUARTER)) == place


@st.composite
def any_turn(draw: st.DrawFn) -> Turn:
    meter = Meter(draw(st.integers(1, 12)), draw(st.sampled_from([1, 2, 4, 8, 16, 32])))
    parts = draw(st.lists(st.integers(1, 5000), min_size=1, max_size=6))
    tune = tuple(Note(C4, meter.quarters * part / sum(parts)) for part in parts)
    places = draw(st.sets(st.fractions(0, 1, max_denominator=40).filter(lambda at: at < 1)))
    onsets = [sum((note.length for note in tune[:n]), Fraction(0)) for n in range(len(tune))]
    chosen = draw(st.sets(st.sampled_from(onsets)))
    fermatas = sorted(chosen | {at * meter.quarters for at in places})
    return Turn(0, Bar("1", meter, length=meter.quarters, tune=tune, fermatas=tuple(fermatas)))


@given(any_turn(), st.integers(0, 8), st.data())
def test_the_place_goes_forward_within_the_bar(turn: Turn, hold: int, data: st.DataObject) -> None:
    timing = Timing(turn, hold)
    ticks = st.floats(0, float(timing.ticks)) | st.integers(0, timing.ticks).map(float)
    asked = sorted(data.draw(st.lists(ticks, min_size=2, max_size=30)))
    places = [timing.place(tick) for tick in asked]
    assert places == sorted(places)
    assert places[0] >= 0
    assert places[-1] <= turn.length


@given(any_turn(), st.integers(0, 8))
def test_a_note_is_in_its_place_when_it_begins(turn: Turn, hold: int) -> None:
    timing = Timing(turn, hold)
    at = Fraction(0)
    for note in turn.bar.tune:
        start = timing.start(at)
        assert abs(timing.place(start) - at) <= 2 * TICK  # ticks are whole
        assert start < timing.end(at + note.length, start) < timing.ticks
        at += note.length
