"""Chord symbols and words of tunes, worked out by hand from ABC 2.1."""

from collections.abc import Callable

import pytest

from chartwalk.abc import loads
from chartwalk.chart import Chart
from chartwalk.reading import Reading

Tune = Callable[..., Reading]
Told = Callable[[Reading], list[str]]

# Section 4.18 and 4.19: the chords of each bar with their places in quarters.
CHORDS = [
    ('"Am7"A2"D/F#"D2', "Am7@0 D/F#@2"),
    ('"C"z2"G7"x2', "C@0 G7@2"),
    ('"C""G7"c4', "C@0 G7@2"),  # several on one note share it
    ('"C""G7""C"c3d', "C@0 G7@1 C@2"),
    ('"C" [CEG]2 "F"[FAc]2', "C@0 F@2"),
    ('"G(Em)"c4', "G@0"),  # an alternative, for print
    ('"(Em)"c4', ""),
    ('"C7(b9)"c4', "C7(b9)@0"),
    ('"N.C."c4', "N.C.@0"),
    ('"B♭"c2"F♯m"c2', "B♭@0 F♯m@2"),
    ('"^above""_below""<left"">right""@3,4 free"c4', ""),
    ('c2"G"|c4', " | G@0"),  # at the bar line: the note after it
    ('c2"G"y c2', "G@2"),
    ('"C"c>"G"d c2', "C@0 G@3/2"),
]


@pytest.mark.parametrize(("music", "expected"), CHORDS)
def test_chords(tune: Tune, music: str, expected: str) -> None:
    bars = tune(music).chart.bars
    found = " | ".join(
        " ".join(f"{change.symbol.text}@{change.at}" for change in bar.changes) for bar in bars
    )
    assert found == expected


def test_texts_that_are_no_chords_are_told(tune: Tune, told: Told) -> None:
    reading = tune('"C7zz"c"4"d"4"e"^gently"f|"C')
    assert [warning.partition(";")[0] for warning in told(reading)] == [
        "6:1 chord 'C7zz': 'zz' can't be read",
        "6:8 '4' is no chord: left out (2 times)",
        "6:16 text '^gently' is left out",
        "6:27 text 'C' is never closed: left out",
    ]


def test_a_chord_after_the_last_note_is_told(tune: Tune, told: Told) -> None:
    assert told(tune('c4|"G7"|]')) == ["6:1 G7 after the last note is left out"]


def test_feel(tune: Tune) -> None:
    bars = tune('c4|"^Swing"c4|"^straight"c4|').chart.bars
    assert [bar.feel for bar in bars] == ["straight", "swing", "straight"]
    assert tune("c4", Q='"Medium swing" 1/4=140').chart.bars[0].feel == "swing"


def words(chart: Chart, verse: int = 0) -> str:
    """The syllables of a verse: - joins, _ holds; / between the bars."""
    bars = []
    for bar in chart.bars:
        line = bar.words[verse] if verse < len(bar.words) else ()
        bars.append(" ".join(s.text + "-" * s.joined or "_" for s in line))
    return " / ".join(bars)


# Section 5.1: the music, the line of words, and the syllables by bar.
WORDS = [
    ("CDEF", "doh re mi fa", "doh re mi fa"),
    ("CDE2", "syll-a-ble", "syll- a- ble"),
    ("CDEF", "syll-a--ble", "syll- a- _ ble"),
    ("CDEF", "syll-a -ble", "syll- a _ ble"),
    ("CDEF", "time__ o", "time _ _ o"),
    ("C4", "of~the~day", "of‿the‿day"),
    ("CDEF", "a * b c", "a _ b c"),
    ("C2D2", r"up\-down go", "up-down go"),
    ("CDEF|G4", "a b | c", "a b / c"),
    ("CD E2|G4", "a b c | d", "a b c / d"),  # enough syllables: the bar line is ignored
    ("C4|D4|E4", "a | | c", "a /  / c"),
    ("C2z2|D2{a}E2", "a b c", "a / b c"),  # none for rests and grace notes
    ("C2-C2|(DE)F2", "a _ b c d", "a / b c d"),  # tied notes count; we keep one for both
    ("C2D2", "1.~Three blind", "Three blind"),  # 5.3
    ("C2D2", "2. Three blind", "Three blind"),
    ("C4|D4|", "", " / "),
]


@pytest.mark.parametrize(("music", "line", "expected"), WORDS)
def test_words(tune: Tune, music: str, line: str, expected: str) -> None:
    assert words(tune(f"{music}\nw:{line}").chart) == expected


def test_verses(tune: Tune) -> None:
    """Section 5.2: adjacent lines are verses."""
    chart = tune("C2D2|\nw:one two\nw:three four\nE2F2|\nw:five six\nw:sev-en").chart
    assert words(chart) == "one two / five six"
    assert words(chart, 1) == "three four / sev- en"


def test_words_after_several_lines(tune: Tune) -> None:
    """Section 5.1, its two equivalent examples, and the empty line of words."""
    apart = tune("C D E F|\nw: doh re mi fa\nG A B c|\nw: sol la ti doh").chart
    after = tune("C D E F|\nG A B c|\nw: doh re mi fa sol la ti doh").chart
    assert words(apart) == words(after) == "doh re mi fa / sol la ti doh"
    chart = tune("C D E F|\nw: doh re mi fa\nG G G G|\nw:\nF E F C|\nw: fa mi re doh").chart
    assert words(chart) == "doh re mi fa /  / fa mi re doh"


def test_words_of_the_last_line_alone() -> None:
    """Section 10.2: before 2.1 words stood under the line of music right before them."""
    text = "X:1\nM:4/4\nL:1/4\nK:C\nCDEF|\nGABc|\nw:sol la ti doh\n"
    assert words(loads(text).chart) == " / sol la ti doh"
    assert words(loads(f"%abc-2.1\n{text}").chart) == "sol la ti doh / "


def test_too_many_syllables_are_told(tune: Tune, told: Told) -> None:
    assert told(tune("C4|\nw:one two three")) == ["7:1 2 syllables more than notes: left out"]


def test_words_go_on_in_the_next_line(tune: Tune) -> None:
    """Section 3.3, its example cut short."""
    chart = tune("CDEF|GA Bc|\nw:will~ye come to the\n+:Wa-x-ies dar-gle").chart
    assert words(chart).startswith("will‿ye come to the / Wa- x- ies dar-")


def test_a_part_sung_again_sings_its_next_verse(tune: Tune) -> None:
    """Section 5.2: the first line is used the first time the part is played, then the second."""
    chart = tune("P:A\nC4|\nw:one\nw:two\nw:three\nP:B\nD4|\n", P="ABAABA").chart
    assert words(chart) == "one /  / two / three /  / three"


def test_an_alternative_chord_is_told_and_not_played() -> None:
    reading = loads('X:1\nT:Lamp\nM:4/4\nL:1/4\nK:C\n"C"CD"G(Em)"EF|"(Am)"CDEF|\n')
    chords = [change.symbol.text for bar in reading.chart.bars for change in bar.changes]
    assert chords == ["C", "G"]
    told = [warning.message for warning in reading.warnings]
    assert [message for message in told if "(Em)" in message or "(Am)" in message] == [
        "text '(Em)' is left out",
        "text '(Am)' is left out",
    ]
