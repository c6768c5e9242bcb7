"""The tune: pitches, lengths, ties, tuplets, chords, voices and what is no tune."""

from collections.abc import Callable
from fractions import Fraction

import pytest

from chartwalk.chart import Bar
from chartwalk.musicxml import read_bytes
from chartwalk.reading import Reading

Read = Callable[..., Reading]


def tune(bar: Bar) -> str:
    """Write a bar's tune: C5:2 r:1 C5:1~."""
    return " ".join(
        f"{note.pitch.ascii if note.pitch else 'r'}:{note.length}{'~' * note.tied}"
        for note in bar.tune
    )


def xml_note(pitch: str, duration: int, voice: str = "1", extra: str = "") -> str:
    """Write a note in divisions (24 a quarter)."""
    return (
        f"<note>{extra if extra.startswith(('<chord', '<grace', '<cue')) else ''}"
        f"<pitch><step>{pitch[0]}</step><octave>{pitch[1]}</octave></pitch>"
        f"<duration>{duration}</duration><voice>{voice}</voice>"
        f"{'' if extra.startswith(('<chord', '<grace', '<cue')) else extra}</note>"
    )


def test_pitches_and_rests(read_sheet: Read) -> None:
    reading = read_sheet("F#4:1.5 Bb4:.5 r:1 C5:1")
    assert tune(reading.chart.bars[0]) == "F#4:3/2 Bb4:1/2 r:1 C5:1"
    assert not reading.warnings


def test_a_full_bar_rest_is_no_tune(read_sheet: Read) -> None:
    whole = '<note><rest measure="yes"/><duration>96</duration></note>'
    reading = read_sheet("C5:4 / r:4 / {w} / r:2 r:2", w=whole)
    assert [tune(bar) for bar in reading.chart.bars] == ["C5:4", "", "", ""]


def test_ties_hold_within_and_across_bars(read_sheet: Read) -> None:
    reading = read_sheet("C5:3 D5:1~ / ~D5:4~ / ~D5:2 E5:2~ / E5:4 / E5:4~ / r:4")
    assert [tune(bar) for bar in reading.chart.bars] == [
        "C5:3 D5:1~",
        "D5:4~",
        "D5:2 E5:2~",  # never stopped, but the same note follows and sings nothing
        "E5:4",
        "E5:4",  # nothing to tie to
        "",
    ]


def test_a_tie_that_never_stops_before_a_syllable_is_none(read_sheet: Read) -> None:
    reading = read_sheet("C5:2~'one C5:2'two")
    assert tune(reading.chart.bars[0]) == "C5:2 C5:2"


def test_a_triplet_rounded_to_divisions_is_exact(read_sheet: Read) -> None:
    triplet = (
        "<type>eighth</type><time-modification><actual-notes>3</actual-notes>"
        "<normal-notes>2</normal-notes></time-modification>"
    )
    notes = "".join(
        f"<note><pitch><step>C</step><octave>5</octave></pitch><duration>{duration}</duration>"
        f"{triplet}</note>"
        for duration in (3, 3, 4)
    )
    data = (
        "<score-partwise><part id='P'><measure><attributes><divisions>10</divisions><time>"
        f"<beats>1</beats><beat-type>4</beat-type></time></attributes>{notes}</measure></part>"
        "</score-partwise>"
    )
    (bar,) = read_bytes(data.encode(), "x").chart.bars
    assert [note.length for note in bar.tune] == [Fraction(1, 3)] * 3


def test_a_missing_duration_is_taken_from_the_written_value(read_sheet: Read) -> None:
    dotted = "<note><pitch><step>C</step><octave>5</octave></pitch><type>half</type><dot/></note>"
    assert tune(read_sheet("{d} D5:1", d=dotted).chart.bars[0]) == "C5:3 D5:1"


def test_the_top_note_of_a_chord_is_the_tune(read_sheet: Read) -> None:
    chord = (
        xml_note("C5", 96)
        + xml_note("G5", 96, extra="<chord/>")
        + xml_note("E5", 96, extra="<chord/>")
    )
    reading = read_sheet("C5:4 / {c}", c=chord)
    assert tune(reading.chart.bars[1]) == "G5:4"
    (warning,) = reading.warnings
    assert (warning.bar, warning.message) == (
        "2", "of chords in the tune only the top notes are read",
    )  # fmt: skip


def test_grace_notes_cues_and_slashes_are_no_tune(read_sheet: Read) -> None:
    pieces = {
        "grace": xml_note("D5", 0, extra="<grace/>"),
        "cue": xml_note("E5", 24, extra="<cue/>"),
        "slash": xml_note("B4", 24, extra="<notehead>slash</notehead>"),
    }
    reading = read_sheet("{grace} C5:2 {cue} {slash} / {slash} {slash} {slash} {slash}", **pieces)
    assert [tune(bar) for bar in reading.chart.bars] == ["C5:2 r:1 r:1", ""]
    assert [warning.message for warning in reading.warnings] == [
        "grace notes are left out", "cue notes are left out", "rhythm slashes are left out",
    ]  # fmt: skip


def test_the_first_voice_with_notes_is_the_tune(read_sheet: Read) -> None:
    two = "<backup><duration>96</duration></backup>" + xml_note("A4", 96, "2")
    only_second = xml_note("A4", 96, "2")
    reading = read_sheet("C5:4 {two} / {second}", two=two, second=only_second)
    assert [tune(bar) for bar in reading.chart.bars] == ["C5:4", "A4:4"]
    (warning,) = reading.warnings
    assert (warning.bar, warning.message) == (
        "1", "of several voices on one staff only one is read",
    )  # fmt: skip


def test_the_upper_staff_goes_before_the_lower(read_sheet: Read) -> None:
    low = xml_note("C3", 96, "1", "<staff>2</staff>") + "<backup><duration>96</duration></backup>"
    high = xml_note("C5", 96, "5", "<staff>1</staff>")
    assert tune(read_sheet("{low} {high}", low=low, high=high).chart.bars[0]) == "C5:4"


def test_gaps_are_rests_and_overlaps_are_cut(read_sheet: Read) -> None:
    gap = "<forward><duration>24</duration></forward>"
    back = "<backup><duration>24</duration></backup>"
    assert tune(read_sheet("{f} C5:3", f=gap).chart.bars[0]) == "r:1 C5:3"
    assert tune(read_sheet("C5:2 {b} D5:3", b=back).chart.bars[0]) == "C5:1 D5:3"


@pytest.mark.parametrize("pitch", ["<step>H</step><octave>4</octave>", "<step>C</step>", ""])
def test_a_pitch_no_one_can_read_is_a_rest(read_sheet: Read, pitch: str) -> None:
    odd = f"<note><pitch>{pitch}</pitch><duration>48</duration></note>"
    assert tune(read_sheet("C5:2 {odd}", odd=odd).chart.bars[0]) == "C5:2 r:2"


def test_bars_of_a_repeat_sign_are_filled(read_sheet: Read) -> None:
    start = (
        '<attributes><measure-style><measure-repeat type="start">1</measure-repeat>'
        "</measure-style></attributes>"
    )
    stop = start.replace('"start"', '"stop"')
    reading = read_sheet("h:C C5:2 h:F D5:2 / {a} / . / {o} E5:4", a=start, o=stop)
    assert [tune(bar) for bar in reading.chart.bars] == ["C5:2 D5:2"] * 3 + ["E5:4"]
    assert reading.chart.bars[2].changes == reading.chart.bars[0].changes


def test_a_bar_of_another_length_is_not_filled(read_sheet: Read) -> None:
    start = (
        "<attributes><time><beats>3</beats><beat-type>4</beat-type></time>"
        '<measure-style><measure-repeat type="start">1</measure-repeat></measure-style>'
        "</attributes>"
    )
    bars = read_sheet("h:C C5:2 D5:2 / {a} / . ", a=start).chart.bars
    assert [tune(bar) for bar in bars] == ["C5:2 D5:2", "", ""]
    assert [bar.length for bar in bars] == [4, 3, 3]


def test_a_rest_of_many_bars_is_as_many_bars(read_sheet: Read) -> None:
    many = (
        "<attributes><measure-style><multiple-rest>3</multiple-rest></measure-style></attributes>"
    )
    bars = read_sheet("C5:4 / {m} r:4 / r:4 / . / D5:4", m=many).chart.bars
    assert [tune(bar) for bar in bars] == ["C5:4", "", "", "", "D5:4"]
