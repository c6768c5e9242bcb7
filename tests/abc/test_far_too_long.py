"""Bars that nobody can count as one: counted off into bars of the meter, with nothing lost."""

from collections.abc import Callable
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chartwalk.abc import loads
from chartwalk.chart import Chart, Sign
from chartwalk.reading import Reading

Tune = Callable[..., Reading]
Notes = Callable[[Chart], str]
Order = Callable[[Chart], str]
Told = Callable[[Reading], list[str]]

TOO_LONG = "a bar far too long: bars of {} are counted off"

# A bar as long as can be counted, and one a note longer: common practice, no source.
LIMITS = [
    ("4/4", "1/4", 12, "12/4"), ("3/4", "1/4", 12, "12/4"), ("2/4", "1/4", 12, "12/4"),
    ("6/8", "1/8", 12, "12/8"), ("3/8", "1/8", 12, "12/8"), ("12/8", "1/8", 24, "24/8"),
    ("2/2", "1/2", 12, "12/2"), ("none", "1/4", 12, "12/4"),
]  # fmt: skip


@pytest.mark.parametrize("limit", LIMITS)
def test_the_longest_bar(tune: Tune, told: Told, limit: tuple[str, str, int, str]) -> None:
    meter, unit, most, own = limit
    kept = tune(f"|C{most}|C|", M=meter, L=unit)
    assert str(kept.chart.bars[0].meter) == own
    divided = tune(f"|C{most + 1}|C|", M=meter, L=unit)
    counted = "4/4" if meter == "none" else meter
    assert str(divided.chart.bars[0].meter) == counted
    assert told(divided)[0] == f"6:2 {TOO_LONG.format(counted)}"


def test_forty_four_quarters_are_eleven_bars(tune: Tune, notes: Notes, told: Told) -> None:
    reading = tune("C44|D4|")
    assert notes(reading.chart) == " | ".join(["C4:4~"] * 10 + ["C4:4", "D4:4"])
    assert told(reading) == [f"6:1 {TOO_LONG.format('4/4')}"]


def test_the_road_holds_at_both_ends(tune: Tune, order: Order) -> None:
    """A repeat with endings around a bar of twenty quarters, after a pickup."""
    chart = tune("C|c4|:d4e4f4g4a4|[1b4:|[2c'4|d4|]").chart
    assert chart.bars[0].pickup
    assert order(chart) == "1 2 3 4 5 6 7 8 3 4 5 6 7 9 10"
    marks = {place + 1: [m.sign for m in bar.marks] for place, bar in enumerate(chart.bars)}
    assert {place: signs for place, signs in marks.items() if signs} == {
        3: [Sign.REPEAT_START], 8: [Sign.REPEAT_END, Sign.ENDING], 9: [Sign.ENDING],
    }  # fmt: skip


def test_a_repeat_that_is_one_such_bar(tune: Tune, order: Order) -> None:
    assert order(tune("c4|:C20:|d4|").chart) == "1 2 3 4 5 6 2 3 4 5 6 7"


# One bar of twenty quarters, a whole note each bar of 4/4, and where its signs let go on.
SIGNS = [
    ("c4d4!fine!e4f4g4!D.C.alfine!|", "1 2 3 4 5 1 2"),  # at the end of d, not of e
    ("c4d4!D.C.!e4f4g4|", "1 2 1 2 3 4 5"),
    ("c4d4!segno!e4f4g4!D.S.!|a4|", "1 2 3 4 5 3 4 5 6"),  # at the start of e
    ("c4!dacoda!d4e4f4g4!D.C.alcoda!|!coda!a4|", "1 2 3 4 5 1 6"),
    ("c4d2!fine!d2e4f4g4!D.C.alfine!|", "1 2 3 4 5 1 2"),  # within d, at its bar's end
]


@pytest.mark.parametrize(("music", "bars"), SIGNS)
def test_signs_within(tune: Tune, order: Order, music: str, bars: str) -> None:
    assert order(tune(music).chart) == bars


def test_chords_and_words_stay_with_their_notes(tune: Tune, notes: Notes) -> None:
    chart = tune('"C"c6"F"d6"G7"e8|"C"c4|\nw:one two three four').chart
    assert notes(chart) == "C5:4~ | C5:2 D5:2~ | D5:4 | E5:4~ | E5:4 | C5:4"
    changes = [
        (place, str(change.at), change.symbol.text)
        for place, bar in enumerate(chart.bars, 1)
        for change in bar.changes
    ]
    assert changes == [(1, "0", "C"), (2, "2", "F"), (4, "0", "G7"), (6, "0", "C")]
    words = [(place, [s.text for s in bar.words[0]]) for place, bar in enumerate(chart.bars, 1)
             if bar.words]  # fmt: skip
    assert words == [(1, ["one"]), (2, ["two"]), (4, ["three"]), (6, ["four"])]


def test_more_bars_than_any_tune_has_are_refused(tune: Tune) -> None:
    with pytest.raises(ValueError, match="more than 20000 bars"):
        tune("[C9999]9999|")


@given(st.lists(st.integers(1, 30), min_size=1, max_size=12))
def test_no_time_is_lost(lengths: list[int]) -> None:
    """However long the notes of a bar are, they sound as long, one after the other."""
    letters = "CDEFGAB"
    music = "".join(f"{letters[place % 7]}{length}" for place, length in enumerate(lengths))
    chart = loads(f"X:1\nT:Ebb\nM:4/4\nL:1/4\nK:C\n{music}|", "x").chart
    sounding: list[tuple[str, Fraction]] = []
    tied = False
    for note in (note for bar in chart.bars for note in bar.tune):
        if note.pitch is None:
            continue
        letter = note.pitch.name.letter
        if tied:
            assert sounding[-1][0] == letter
            sounding[-1] = letter, sounding[-1][1] + note.length
        else:
            sounding.append((letter, note.length))
        tied = note.tied
    assert sounding == [(letters[place % 7], Fraction(n)) for place, n in enumerate(lengths)]
    assert all(bar.length <= 12 for bar in chart.bars)
