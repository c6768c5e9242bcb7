"""What the clock is given to play: beats, accents, count-in, and how long it all lasts.

The click is percussion of General MIDI level 1: channel 10, which is 9 in the bytes of a message;
key 76 is the high wood block, key 77 the low one (General MIDI level 1 percussion map).
"""

from collections.abc import Callable
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from chartwalk.chart import Bar, Note
from chartwalk.clock.schedule import TICKS_PER_QUARTER, ScheduledBar
from chartwalk.meter import Meter

MakeBar = Callable[..., Bar]
Write = Callable[..., Any]

NOTE_ON, NOTE_OFF = 0x99, 0x89  # MIDI 1.0: status 9n and 8n on channel n, counted from 0
HIGH, LOW = 76, 77


def _clicks(bar: ScheduledBar) -> list[tuple[Fraction, int]]:
    """Return the clicks of a bar: quarters after the bar line, and the key."""
    return [
        (Fraction(event.tick, TICKS_PER_QUARTER), event.message[1])
        for event in bar.events
        if event.message[0] == NOTE_ON
    ]


def _lengths(bar: ScheduledBar) -> list[Fraction]:
    """Return how long the clicks of a bar sound, in quarters."""
    on = [event.tick for event in bar.events if event.message[0] == NOTE_ON]
    off = [event.tick for event in bar.events if event.message[0] == NOTE_OFF]
    return [Fraction(b - a, TICKS_PER_QUARTER) for a, b in zip(on, off, strict=True)]


def _seconds(bar: ScheduledBar) -> float:
    """Return how long a bar lasts as written."""
    return bar.ticks * bar.tick_seconds


# Meter, where the beats fall in quarters; those with a ! are struck with the high block: the first
# of the bar, and of each other group of an asymmetric meter (3+2, 2+2+3, 3+3+2: MSU open book,
# chapter 27; which of its groupings is the usual one is common practice, no source).
BEATS = [
    ("4/4", "0! 1 2 3"),  # Open Music Theory, meter; Hutchinson, basics of rhythm
    ("3/4", "0! 1 2"),
    ("2/4", "0! 1"),
    ("6/8", "0! 3/2"),  # Open Music Theory, meter: two dotted quarters
    ("9/8", "0! 3/2 3"),
    ("12/8", "0! 3/2 3 9/2"),
    ("3/8", "0!"),  # music21 10.5.1 beatCount
    ("6/4", "0! 3"),
    ("5/4", "0! 1 2 3! 4"),  # music21 10.5.1: a plain 5/4 has five beats
    ("7/8", "0! 1/2 1! 3/2 2! 5/2 3"),
    ("5/8", "0! 1/2 1 3/2! 2"),
    ("8/8", "0! 1/2 1 3/2! 2 5/2 3! 7/2"),
    ("2+3/4", "0! 1 2! 3 4"),
    ("2/2", "0! 2"),  # common practice, no source
    ("1/4", "0!"),
]
# Meter, pickup, where its beats fall, whether the count-in's second bar has these beats.
PICKUPS = [
    ("4/4", "1", "0", "0 1 2"),
    ("4/4", "2", "0 1", "0 1"),
    ("4/4", "3", "0 1 2", "0"),
    ("4/4", "1/2", "", "0 1 2 3"),
    ("4/4", "3/2", "1/2", "0 1 2"),
    ("3/4", "1", "0", "0 1"),
    ("6/8", "1/2", "", "0 3/2"),
    ("6/8", "3/2", "0", "0"),
    ("6/8", "2", "1/2", "0"),
    ("2/2", "1", "", "0 2"),
    ("5/4", "2", "0! 1", "0 1 2"),
    ("3/8", "1/2", "", "0"),
    ("1/4", "1/2", "", "0"),
]


@pytest.mark.parametrize(("meter", "beats"), BEATS)
def test_a_click_a_beat_and_the_first_of_a_group_is_high(
    bar: MakeBar, write: Write, meter: str, beats: str
) -> None:
    run = write([bar(meter)], 0)
    expected = [
        (Fraction(beat.removesuffix("!")), HIGH if beat.endswith("!") else LOW)
        for beat in beats.split()
    ]
    assert [_clicks(each) for each in run.bars] == [expected]


# Meter, where the clicks of each bar that is counted in fall. Common practice, no source: one bar,
# but from a single click nobody can tell the tempo.
COUNT_INS = [
    ("4/4", ["0 1 2 3"]),
    ("3/4", ["0 1 2"]),
    ("2/4", ["0 1"]),
    ("6/8", ["0 3/2"]),
    ("2/2", ["0 2"]),
    ("7/8", ["0 1/2 1 3/2 2 5/2 3"]),
    ("3/8", ["0", "0"]),
    ("1/4", ["0", "0"]),
    ("1/2", ["0", "0"]),
]


@pytest.mark.parametrize(("meter", "counted"), COUNT_INS)
def test_bars_are_counted_in_until_two_beats_have_sounded(
    bar: MakeBar, write: Write, meter: str, counted: list[str]
) -> None:
    run = write([bar(meter)] * 3, 1)
    assert [[place for place, _ in _clicks(each)] for each in run.count_in] == [
        [Fraction(beat) for beat in beats.split()] for beats in counted
    ]
    assert {_clicks(each)[0][1] for each in run.count_in} == {HIGH}
    assert {each.ticks for each in run.count_in} == {run.bars[0].ticks}
    assert run.step_of(len(counted) - 1) is None
    assert run.step_of(len(counted)) == 1


def test_every_click_is_percussion_and_is_ended(bar: MakeBar, write: Write) -> None:
    run = write([bar("4/4"), bar("6/8"), bar("1/4"), bar("15/16", "300")], 0)
    for scheduled in run.schedule:
        on = [event for event in scheduled.events if event.message[0] == NOTE_ON]
        off = [event for event in scheduled.events if event.message[0] == NOTE_OFF]
        assert len(on) + len(off) == len(scheduled.events)
        assert [event.message[1] for event in on] == [event.message[1] for event in off]
        assert all(event.message[2] > 0 for event in on)
        assert all(first.tick < last.tick for first, last in zip(on, off, strict=True))
        assert all(end.tick <= start.tick for end, start in zip(off, on[1:], strict=False))


@pytest.mark.parametrize(
    ("meter", "length"),
    [
        ("4/4", "1/4"),
        ("6/8", "3/8"),
        ("2/2", "1/2"),
        ("6/4", "3/4"),
        ("7/8", "1/8"),
        ("3/8", "3/8"),
    ],
)
def test_a_click_lasts_a_quarter_of_a_beat(
    bar: MakeBar, write: Write, meter: str, length: str
) -> None:
    for scheduled in write([bar(meter)], 0).schedule:
        assert _lengths(scheduled) == [Fraction(length)] * len(_clicks(scheduled))


def test_a_click_ends_within_its_bar(bar: MakeBar, write: Write) -> None:
    # The bar that leads to the pickup is two beats and an eighth of one long.
    lead = write([bar("4/4", pickup="15/8")], 0).count_in[1]
    tick = Fraction(1, TICKS_PER_QUARTER)
    assert _lengths(lead) == [Fraction(1, 4), Fraction(1, 4), Fraction(1, 8) - tick]


@pytest.mark.parametrize("sliver", [1, 4, 5000])
def test_a_beat_just_before_the_bar_line_stays_in_its_bar(
    bar: MakeBar, write: Write, sliver: int
) -> None:
    # Next to nothing of the third quarter lies before the pickup.
    pickup = str(2 - Fraction(1, sliver * TICKS_PER_QUARTER))
    lead = write([bar("4/4", pickup=pickup)], 0).count_in[1]
    assert len(_clicks(lead)) == 3
    assert [key for _, key in _clicks(lead)] == [HIGH, LOW, LOW]


def test_the_first_beat_is_louder(bar: MakeBar, write: Write) -> None:
    loud, *others = [
        event.message[2]
        for event in write([bar("4/4")], 0).bars[0].events
        if event.message[0] == NOTE_ON
    ]
    assert all(loud > other for other in others)


@pytest.mark.parametrize("case", PICKUPS)
def test_a_pickup_is_counted_in_by_a_bar_and_the_beats_that_lead_to_it(
    bar: MakeBar, write: Write, case: tuple[str, str, str, str]
) -> None:
    # Common practice, no source.
    meter, pickup, beats, leading = case
    run = write([bar(meter, pickup=pickup), bar(meter)], 0)
    full, lead = run.count_in
    assert _clicks(full) == _clicks(run.bars[1])
    assert [place for place, _ in _clicks(lead)] == [Fraction(beat) for beat in leading.split()]
    assert [key for _, key in _clicks(lead)][:1] == [HIGH]
    # Only the first of a group is high in a pickup: 5/4 as 3+2 leads in with its second group.
    assert set(_clicks(run.bars[0])) == {
        (Fraction(beat.removesuffix("!")), HIGH if beat.endswith("!") else LOW)
        for beat in beats.split()
    }
    # Count-in and pickup fill two bars.
    assert lead.ticks + run.bars[0].ticks == full.ticks


def test_a_run_from_a_later_bar_needs_no_pickup(bar: MakeBar, write: Write) -> None:
    run = write([bar("4/4", pickup="1"), bar("4/4"), bar("3/4", "90")], 2)
    assert len(run.count_in) == 1
    assert len(run.bars) == 1
    assert _seconds(run.count_in[0]) == pytest.approx(2.0, rel=1e-12)
    assert [place for place, _ in _clicks(run.count_in[0])] == [0, 1, 2]


def test_a_run_passes_a_pickup_in_the_middle(bar: MakeBar, write: Write) -> None:
    run = write([bar("4/4"), bar("4/4", pickup="1"), bar("4/4")], 0)
    assert len(run.count_in) == 1
    assert _clicks(run.bars[1]) == [(Fraction(0), LOW)]
    assert _seconds(run.bars[1]) == pytest.approx(1.0, rel=1e-12)


# Meter, beats a minute, seconds a bar: beats * 60 / tempo.
SECONDS = [
    ("4/4", "60", "4"),
    ("4/4", "84", "20/7"),
    ("4/4", "126", "40/21"),
    ("3/4", "120", "3/2"),
    ("6/8", "58", "60/29"),  # 58 dotted quarters a minute
    ("6/8", "60", "2"),
    ("12/8", "60", "4"),
    ("3/8", "60", "1"),
    ("2/2", "60", "2"),  # 60 halves a minute
    ("5/4", "100", "3"),
    ("7/8", "210", "2"),
    ("4/4", "83.5", "480/167"),
    ("4/4", "999", "80/333"),
]


@pytest.mark.parametrize(("meter", "tempo", "seconds"), SECONDS)
def test_how_long_a_bar_lasts(
    bar: MakeBar, write: Write, meter: str, tempo: str, seconds: str
) -> None:
    run = write([bar(meter, tempo)], 0)
    for scheduled in run.schedule:
        assert _seconds(scheduled) == pytest.approx(float(Fraction(seconds)), rel=1e-12)


@pytest.mark.parametrize(
    ("meter", "pickup", "seconds"), [("4/4", "1", 1.0), ("4/4", "1/2", 0.5), ("6/8", "1/2", 1 / 3)]
)
def test_how_long_a_pickup_lasts(
    bar: MakeBar, write: Write, meter: str, pickup: str, seconds: float
) -> None:
    scheduled = write([bar(meter, pickup=pickup)], 0).bars[0]
    assert _seconds(scheduled) == pytest.approx(seconds, rel=1e-12)


def test_the_count_in_has_the_meter_and_tempo_of_the_bar_it_leads_to(
    bar: MakeBar, write: Write
) -> None:
    run = write([bar("4/4", "60"), bar("6/8", "90")], 1)
    (count,) = run.count_in
    assert [place for place, _ in _clicks(count)] == [0, Fraction(3, 2)]
    assert _seconds(count) == pytest.approx(2 * 60 / 90, rel=1e-12)


def test_which_step_a_bar_of_the_schedule_plays(bar: MakeBar, write: Write) -> None:
    bars = [bar("4/4", pickup="1"), *[bar("4/4")] * 4]
    run = write(bars, 0)
    assert [run.step_of(index) for index in range(7)] == [None, None, 0, 1, 2, 3, 4]
    assert len(run.schedule) == 7
    later = write(bars, 3)
    assert [later.step_of(index) for index in range(3)] == [None, 3, 4]
    assert len(later.schedule) == 3


meters = st.builds(Meter, st.integers(1, 12), st.sampled_from([2, 4, 8, 16]))


@st.composite
def any_bar(draw: st.DrawFn) -> Bar:
    meter = draw(meters)
    tempo = draw(st.fractions(1, 999, max_denominator=10))
    if draw(st.booleans()):
        return Bar("1", meter, tempo=tempo, length=meter.quarters)
    # Lengths that players write: down to 64ths, triplets and quintuplets.
    grid = draw(st.sampled_from([Fraction(1, 16), Fraction(1, 12), Fraction(1, 5)]))
    steps = int(meter.quarters / grid)
    count = draw(st.integers(1, max(1, steps)))
    length = grid * count
    if not length < meter.quarters:
        return Bar("1", meter, tempo=tempo, length=meter.quarters)
    return Bar("0", meter, tempo=tempo, length=length, pickup=True, tune=(Note(None, length),))


@settings(deadline=None)
@given(st.lists(any_bar(), min_size=1, max_size=8), st.data())
def test_any_run_lasts_as_long_as_its_beats(
    write: Write, bars: list[Bar], data: st.DataObject
) -> None:
    first = data.draw(st.integers(0, len(bars) - 1))
    run = write(bars, first)
    played = bars[first:]
    start = played[0]
    counted = start.meter.quarters
    if start.pickup:
        counted += start.lead_in
    elif start.meter.beats == 1:
        counted *= 2
    assert sum(len(_clicks(bar)) for bar in run.count_in) >= 2
    minutes = counted / start.meter.beat / start.tempo
    minutes += sum(bar.length / bar.meter.beat / bar.tempo for bar in played)
    total = sum(_seconds(bar) for bar in run.schedule)
    assert total == pytest.approx(float(60 * minutes), rel=1e-9)
    # A click for every beat of the meter that lies in the bar.
    for bar, scheduled in zip(played, run.bars, strict=True):
        places = [place for place, _ in _clicks(scheduled)]
        beats = [Fraction(number) * bar.meter.beat - bar.lead_in for number in range(12)]
        assert places == [beat for beat in beats if 0 <= beat < bar.length]
