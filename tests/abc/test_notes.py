"""Notes, lengths and bars, worked out by hand from ABC 2.1; sections stand beside the cases."""

from collections.abc import Callable

import pytest

from chartwalk.chart import Chart
from chartwalk.reading import Reading

Tune = Callable[..., Reading]
Notes = Callable[[Chart], str]
Told = Callable[[Reading], list[str]]

# The music in C, 4/4, L:1/4, and its bars.
NOTES = [
    # 4.1 pitch
    ("C c c' C,", "C4:1 C5:1 C6:1 C3:1"),
    ("C,',A'B,2", "C3:1 A5:1 B3:2"),
    # 4.2 accidentals
    ("^F _B ^^C __D", "F#4:1 Bb4:1 C##4:1 Dbb4:1"),
    # 11.3: through the bar, in every octave; the bar line and a natural end it
    ("^FFfF|F4", "F#4:1 F#4:1 F#5:1 F#4:1 | F4:4"),
    ("^FF=FF", "F#4:1 F#4:1 F4:1 F4:1"),
    ("^F4-|F2F2", "F#4:4~ | F#4:2 F4:2"),  # a tied note keeps its accidental, the next does not
    # 4.3 lengths
    ("C3/2 D/ E/2 F// G/4 A", "C4:3/2 D4:1/2 E4:1/2 F4:1/4 G4:1/4 A4:1"),
    # 4.4 broken rhythm
    ("C>D E<F", "C4:3/2 D4:1/2 E4:1/2 F4:3/2"),
    ("C>>D E<<<F", "C4:7/4 D4:1/4 E4:1/8 F4:15/8"),
    ("C>{g}D E{g}<F", "C4:3/2 D4:1/2 E4:1/2 F4:3/2"),  # 4.12: grace notes are transparent
    # 4.5 rests
    ("z2 x C", "r:2 r:1 C4:1"),
    ("Z2|C4", ". | . | C4:4"),
    ("X|C4", ". | C4:4"),
    # 4.11 ties and slurs
    ("C2-C2|(DEFG)", "C4:2~ C4:2 | D4:1 E4:1 F4:1 G4:1"),
    ("C4-|C4", "C4:4~ | C4:4"),
    ("C2 -C2", "C4:2~ C4:2"),  # not legal, and seen
    ("C2-D2", "C4:2 D4:2"),  # a slur written as a tie
    # 4.13 tuplets
    ("(3CDE F2", "C4:2/3 D4:2/3 E4:2/3 F4:2"),
    ("(3:2:2 C2D F2", "C4:4/3 D4:2/3 F4:2"),
    ("(5C/D/E/F/G/ A3", "C4:1/5 D4:1/5 E4:1/5 F4:1/5 G4:1/5 A4:3"),
    ("(4CDEF G", "C4:3/4 D4:3/4 E4:3/4 F4:3/4 G4:1"),
    ("((3CDE)F2", "C4:2/3 D4:2/3 E4:2/3 F4:2"),
    # 4.17 chords: the top note is sung, the first note's length counts, lengths multiply
    ("[CEG]2 [C2E2c2]", "G4:2 C5:2"),
    ("[C/E/G/]4 [G-E]F", "G4:2 G4:1 F4:1"),
    ("[CG]2-[EG]2", "G4:2~ G4:2"),
    ("+CEG+2 +C2c2+", "G4:2 C5:2"),  # the older form
    ("+ff+C +trill+D !fermat:a!E2", "C4:1 D4:1 E4:2"),
    ("[^FA]F FF", "A4:1 F#4:1 F#4:1 F#4:1"),
    # 4.14, 4.16, 4.7, 6.1.2: ornaments, back quotes and spacers are no notes
    ("~C .D HE !trill!F|u`C``v`D`yE`TF", "C4:1 D4:1 E4:1 F4:1 | C4:1 D4:1 E4:1 F4:1"),
    # 2.2.5, 3.2: comments and remarks
    ("CD[r:and so on]EF % ABC\n% ABC\n|GABc", "C4:1 D4:1 E4:1 F4:1 | G4:1 A4:1 B4:1 C5:1"),
    # 6.1.1 continued lines; the line's end alone ends a bar that is full
    ("CD\\\nEF|GABc", "C4:1 D4:1 E4:1 F4:1 | G4:1 A4:1 B4:1 C5:1"),
    ("CD\nEF|GABc", "C4:1 D4:1 E4:1 F4:1 | G4:1 A4:1 B4:1 C5:1"),
    ("CDEF\nGABc", "C4:1 D4:1 E4:1 F4:1 | G4:1 A4:1 B4:1 C5:1"),
    ("CDEF\n|GABc|", "C4:1 D4:1 E4:1 F4:1 | G4:1 A4:1 B4:1 C5:1"),
    # 7.4 voice overlay: the first voice is read
    ("CDEF&G4|C4", "C4:1 D4:1 E4:1 F4:1 | C4:4"),
]  # fmt: skip


@pytest.mark.parametrize(("music", "bars"), NOTES)
def test_notes(tune: Tune, notes: Notes, music: str, bars: str) -> None:
    assert notes(tune(music).chart) == bars


def test_ignored_things_are_told_once(tune: Tune, told: Told) -> None:
    reading = tune("{a}C{b}D{c}E?F|?G3-A&z4|(1C4\nm: q = qq\n|>C4 z/0")
    assert told(reading) == [
        "6:1 grace notes are left out",
        "6:13 '?' is no music: left out (2 times)",
        "6:21 a second voice in the bar (&) is left out",
        "6:25 '(1' is no tuplet: write (3abc or (p:q:r",
        "7:1 macros (m:) are not read",
        "8:2 '>' without a note before it: left out",
        "8:6 'z/0': '/0' is no note length; left out",
    ]


def test_an_accidental_in_another_octave_is_told(tune: Tune, told: Told, notes: Notes) -> None:
    reading = tune("^Ff F2")
    assert told(reading) == ["6:3 f takes the accidental of another octave in its bar"]


@pytest.mark.parametrize(
    ("scope", "bar"),
    [
        ("pitch", "F#4:1 F#4:1 F#5:1 F5:1"),
        ("octave", "F#4:1 F#4:1 F5:1 F5:1"),
        ("not", "F#4:1 F4:1 F5:1 F5:1"),
    ],
)
def test_how_far_accidentals_reach(scope: str, bar: str, tune: Tune, notes: Notes) -> None:
    """Section 11.3; the last note has a natural."""
    assert notes(tune(f"%%propagate-accidentals {scope}\n^FFf=f").chart) == bar


# What stands between bar lines in 4/4: meter, length, p for a pickup.
LENGTHS = [
    ("C|C4", "4/4:1p 4/4:4"),
    ("C4|C3:|C|C4|C3:|", "4/4:4 3/4:3 4/4:1p 4/4:4 3/4:3"),
    ("C4|C3|C|C4", "4/4:4 3/4:3 1/4:1 4/4:4"),  # nothing parts them
    ("C4|C4||C|C4", "4/4:4 4/4:4 4/4:1p 4/4:4"),  # a short bar after a double line leads in
    ("C4|C2[1C2:|[2C2|C4", "4/4:4 2/4:2 4/4:2p 4/4:2p 4/4:4"),  # endings within a bar
    ("C4|C5|C4", "4/4:4 5/4:5 4/4:4"),
    ("C4|C7/3|C4", "4/4:4 4/4:4 4/4:4"),  # no meter has such a bar: filled up
    ("C4C4C4C4C2C4", "4/4:4 4/4:4 4/4:4 4/4:4 4/4:4 2/4:2"),  # no bar lines: counted off
]


@pytest.mark.parametrize(("music", "expected"), LENGTHS)
def test_lengths(tune: Tune, music: str, expected: str) -> None:
    bars = tune(music).chart.bars
    assert " ".join(f"{b.meter}:{b.length}{'p' * b.pickup}" for b in bars) == expected


def test_a_bar_that_is_counted_off_keeps_its_notes(tune: Tune, notes: Notes, told: Told) -> None:
    reading = tune('C4D2E4F2"G"G2"Am"A4B2|')
    assert notes(reading.chart) == ("C4:4 | D4:2 E4:2~ | E4:2 F4:2 | G4:2 A4:2~ | A4:2 B4:2")
    chords = [(str(c.at), c.symbol.text) for bar in reading.chart.bars for c in bar.changes]
    assert chords == [("0", "G"), ("2", "Am")]
    assert told(reading) == ["6:1 a bar far too long: bars of 4/4 are counted off"]


def test_free_meter(tune: Tune) -> None:
    """Section 3.1.6: bar lines can be placed anywhere."""
    bars = tune("C2|CDE|C7/2|", M="none").chart.bars
    assert [str(bar.meter) for bar in bars] == ["2/4", "3/4", "7/8"]


def test_a_repeat_count_without_end_is_refused(tune: Tune) -> None:
    with pytest.raises(ValueError, match="more than 20000 bars"):
        tune("Z999|" * 30)


def test_without_bar_lines_an_accidental_holds_to_the_end_of_its_line(
    tune: Tune, notes: Notes
) -> None:
    bars = notes(tune("C4C4C4^FFC2\nF4|").chart)
    assert bars == "C4:4 | C4:4 | C4:4 | F#4:1 F#4:1 C4:2 | F4:4"
