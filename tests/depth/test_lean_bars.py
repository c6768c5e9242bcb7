"""Lean, on bars worked by hand (common practice, no source)."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from chartwalk.chart import Chart, RoadMark, Section, Sign
from chartwalk.depth import Depth, at_depth

ROOM = {
    "two a bar": ("| C Am | Dm G |", "4/4"),
    "one late, for a beat": ("| C / / G | C |", "4/4"),
    "one late, on the same root": ("| C / / C7 | F |", "4/4"),
    "one long after a short one": ("| C G / / | C |", "4/4"),
    "a push held over": ("| C@1 F@3 G@4.5 | |", "4/4"),
    "two beats and one": ("| G7sus4 / Am | F |", "3/4"),
    "two a bar of two dotted beats": ("| C Am | Dm G |", "6/8"),
    "two a bar of two half notes": ("| C Am | Dm G |", "2/2"),
    "the same chord twice": ("| C C | C |", "4/4"),
}

CROWDS = {
    "weak beats": ("| C Am Dm Em | F |", "4/4", "C@1 Dm@3 | F@1"),
    "weak beats of three": ("| C Am Dm | F |", "3/4", "C@1 Dm@3 | F@1"),
    "the weak beat of two": ("| C Dm | Em F | C |", "2/4", "C@1 | Em@1 | C@1"),
    "between dotted beats": ("| C@1 Dm@1.5 F@2 Am@2.5 | Em |", "6/8", "C@1 F@2 | Em@1"),
    "between half notes": ("| C@1 Dm@1.5 F@2 Am@2.5 | Em |", "2/2", "C@1 F@2 | Em@1"),
    "off the beat": ("| C@1 Dm@2.5 Em@3.5 | F |", "4/4", "C@1 Em@3.5 | F@1"),
    "one harmony, strong beats too": ("| C Cmaj7 C7 F6 | Dm |", "4/4", "C@1 F6@4 | Dm@1"),
    "a bass that walks": ("| Am Am/G Am/F# Am/F | Dm |", "4/4", "Am@1 | Dm@1"),
    "a chord on a step of the bass": ("| C G/B Am Em | F |", "4/4", "C@1 Am@3 | F@1"),
    "another third is another harmony": ("| F C Cm G | Dm |", "4/4", "F@1 Cm@3 | Dm@1"),
    "another fifth is another harmony": ("| F C C+ Am | Dm |", "4/4", "F@1 C+@3 | Dm@1"),
    "a suspension between": ("| C Csus4 C Csus4 | F |", "4/4", "C@1 | F@1"),
    "a suspension resolves": ("| Csus4 C Csus2 C | F |", "4/4", "Csus4@1 C@2 | F@1"),
    "the same chord again sounds on": ("| F Bb/F F / | C |", "4/4", "F@1 | C@1"),
    "but not over the bar line": ("| F@1 Dm@3 Bb@4 | Dm@1.5 C@4 |", "4/4",
                                  "F@1 Dm@3 | Dm@1.5 C@4"),
    "each of six tokens": ("| C C C C F F | Dm |", "6/8", "C@1 F@2.333 | Dm@1"),
}  # fmt: skip

STAY = {
    "a seventh home": ("| C Am Dm G7 | C |", "C@1 Dm@3 G7@4 | C@1"),
    "a triad home": ("| C Am Dm G | C |", "C@1 Dm@3 G@4 | C@1"),
    "a suspended seventh home": ("| C Am Dm G7sus4 | C |", "C@1 Dm@3 G7sus4@4 | C@1"),
    "a seventh on the tonic": ("| F G Am C7 | F |", "F@1 Am@3 C7@4 | F@1"),
    "not a triad on the tonic": ("| F G Am C | F |", "F@1 Am@3 | F@1"),
    "not a minor chord": ("| C Am F Dm7 | G |", "C@1 F@3 | G@1"),
    "not a major seventh": ("| C Am Dm Fmaj7 | Bb |", "C@1 Dm@3 | Bb@1"),
    "not another way": ("| C Am Dm G7 | Am |", "C@1 Dm@3 | Am@1"),
    "not within the bar": ("| C G7 C Am | F |", "C@1 Am@4 | F@1"),
    "not into a bar that begins late": ("| F Am Dm G7 | C@1.5 F@3 |", "F@1 Dm@3 | C@1.5 F@3"),
    "not where its harmony sounds": ("| C / G G7 | C |", "C@1 G@3 | C@1"),
    "the last chord of all": ("| F G Am C |", "F@1 Am@3 C@4"),
    "no chord and what follows": ("| C N.C. G Dm | F |", "C@1 N.C.@2 G@3 | F@1"),
    "what follows on a weak beat": ("| N.C. Dm Am Em | F |", "N.C.@1 Dm@2 Am@3 | F@1"),
    "no chord on a weak beat": ("| C Dm Am N.C. | F |", "C@1 Am@3 N.C.@4 | F@1"),
}

# Under the second beat, G or another chord, the tune sings; C stays below if the chord goes.
SUNG = {
    "a chord tone of both": ("Em", "G4:1", False),
    "a fourth over a major chord": ("Dm", "F4:1", True),
    "a minor sixth": ("Fm", "Ab4:1", True),
    "the leading note": ("G7", "B4:1", True),
    "a minor third against the major": ("Cm", "Eb4:1", True),
    "a raised fourth": ("D7", "F#4:1", True),
    "a ninth": ("G", "D5:1", False),
    "a sixth": ("Am", "A4:1", False),
    "foreign to both and no avoid note": ("Am", "B4:1", False),
    "foreign to both, clashing with both": ("Em", "F4:1", False),
    "foreign to both, clashing with the held": ("Bb", "Ab4:1", True),
    "the bass": ("Am/F", "F4:1", True),
    "an eighth in passing": ("Dm", "F4:.5 E4:.5", False),
    "two eighths that are a beat": ("Dm", "F4:.5 F4:.5", True),
    "a rest": ("Dm", "r:1", False),
}


@pytest.mark.parametrize("what", ROOM)
def test_where_nothing_crowds_the_chart_is_the_same(chart: Callable[..., Chart], what: str) -> None:
    rows, meter = ROOM[what]
    written = chart(f"chords {rows}", meter)
    assert at_depth(written, Depth.LEAN) is written


@pytest.mark.parametrize("what", CROWDS)
def test_what_goes_where_changes_crowd(played: Callable[..., str], what: str) -> None:
    rows, meter, expected = CROWDS[what]
    assert played("lean", f"chords {rows}", meter) == expected


@pytest.mark.parametrize("what", STAY)
def test_what_stays_all_the_same(played: Callable[..., str], what: str) -> None:
    rows, expected = STAY[what]
    assert played("lean", f"chords {rows}") == expected


@pytest.mark.parametrize("what", SUNG)
def test_what_the_tune_needs(played: Callable[..., str], what: str) -> None:
    chord, notes, stays = SUNG[what]
    rows = f"chords | C {chord} Am / | F |\ntune | C5:1 {notes} C5:2 | r:4 |"
    assert played("lean", rows) == (f"C@1 {chord}@2 Am@3 | F@1" if stays else "C@1 Am@3 | F@1")


def test_what_the_tune_needs_over_a_minor_chord(played: Callable[..., str]) -> None:
    rows = "chords | Dm7 {} Am / | F |\ntune | D5:1 {} C5:2 | r:4 |"
    ninth, thirteenth = rows.format("C", "E5:1"), rows.format("E7", "B4:1")
    assert played("lean", ninth) == played("lean", thirteenth) == "Dm7@1 Am@3 | F@1"
    assert played("lean", rows.format("A", "C#5:1")) == "Dm7@1 A@2 Am@3 | F@1"


# A beat, and half a beat that has room for a chord: no eighth of 6/8, but its quarter.
LONG = {
    "a beat": ("4/4", "C@1 Dm@2 Am@3 | F", "C5:1 {} C5:2 | r:4"),
    "half a half note": ("2/2", "C@1 Dm@1.5 Am@2 | F", "C5:1 {} C5:2 | r:4"),
    "most of a dotted quarter": ("6/8", "C@1 Dm@4/3 Am@2 | F", "C5:.5 {} C5:1.5 | r:3"),
}


@pytest.mark.parametrize("what", LONG)
def test_how_long_a_note_is_that_counts(played: Callable[..., str], what: str) -> None:
    meter, chords, tune = LONG[what]
    rows = f"chords | {chords} |\ntune | {tune} |"
    assert "Dm" in played("lean", rows.format("F4:1"), meter)
    assert "Dm" not in played("lean", rows.format("F4:.5 E4:.5"), meter)


def test_the_third_beat_of_three_is_weak(played: Callable[..., str]) -> None:
    rows = "chords | C Em Dm | F |\ntune | C5:1 B4:1 G4:1 | r:3 |"
    assert played("lean", rows, "3/4") == "C@1 Em@2 | F@1"


def test_a_note_counts_only_while_the_change_sounds(played: Callable[..., str]) -> None:
    rows = "chords | C@1 Dm@2 Am@3 | F |\ntune | {} | r:4 |"
    assert "Dm" in played("lean", rows.format("C5:.5 F4:2 C5:1.5"))
    assert "Dm" not in played("lean", rows.format("C5:1.5 F4:2 C5:.5"))
    assert "Dm" not in played("lean", rows.format("C5:.5 F4:1 C5:2.5"))


def test_the_tune_is_heard_over_what_really_sounds(played: Callable[..., str]) -> None:
    """The third chord is weighed against the first, for the second, whose 9th B is, has gone."""
    rows = "chords | C@1 Am@1.5 Em@2.5 Dm@3.5 | F |\ntune | C5:.5 A4:1 {}:1 D5:1.5 | r:4 |"
    assert played("lean", rows.format("B4")) == "C@1 Em@2.5 | F@1"
    assert played("lean", rows.format("E4")) == "C@1 Dm@3.5 | F@1"


AT_START = [Sign.REPEAT_START, Sign.ENDING, Sign.SEGNO, Sign.CODA]
AT_END = [sign for sign in Sign if sign not in AT_START]


def lean_with(chart: Chart, bar: int, sign: Sign | None) -> Chart:
    """Put a sign over a bar and play the chart lean."""
    marks = (RoadMark(sign, passes=(1,)),) if sign else ()
    bars = chart.bars
    marked = (*bars[:bar], replace(bars[bar], marks=marks), *bars[bar + 1 :])
    return at_depth(replace(chart, sections=(Section("", marked),)), Depth.LEAN)


@pytest.mark.parametrize("sign", [None, *AT_START, *AT_END])
def test_the_first_change_behind_a_sign_stays(
    chart: Callable[..., Chart], line: Callable[[Chart], str], sign: Sign | None
) -> None:
    written = chart("chords | C@1 Dm@4 | Am@1.5 Em@2.5 | F |")
    lean = lean_with(written, 1 if sign in AT_START else 0, sign)
    assert line(lean) == f"C@1 Dm@4 | {'Am@1.5 ' if sign else ''}Em@2.5 | F@1"


@pytest.mark.parametrize("sign", [None, *AT_END])
def test_the_last_change_before_a_sign_stays(
    chart: Callable[..., Chart], line: Callable[[Chart], str], sign: Sign | None
) -> None:
    lean = lean_with(chart("chords | C@1 Am@2 Dm@3 Em@4 | F |"), 0, sign)
    assert line(lean) == f"C@1 Dm@3{' Em@4' if sign else ''} | F@1"


def test_a_sign_over_bars_without_changes(
    chart: Callable[..., Chart], line: Callable[[Chart], str]
) -> None:
    empty = chart("chords | | |")
    assert line(lean_with(empty, 1, Sign.SEGNO)) == "- | -"
    assert line(lean_with(empty, 0, Sign.FINE)) == "- | -"


def test_a_pickup_counts_its_beats_from_the_end(played: Callable[..., str]) -> None:
    rows = "road | pickup | |\nchords | Am@2 Dm@3 Em@4 | F |\ntune | r:3 | r:4 |"
    assert played("lean", rows) == "Am@2 Dm@3 | F@1"
