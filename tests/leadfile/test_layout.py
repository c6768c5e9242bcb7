"""Lines: headers, systems, comments, spacing; what holds from the next bar on."""

from collections.abc import Callable
from fractions import Fraction

import pytest

from chartwalk.chart import DEFAULT_TEMPO, Bar, Chart
from chartwalk.key import Key
from chartwalk.leadfile import loads
from chartwalk.meter import Meter
from chartwalk.pitch import Pitch

Bars = Callable[..., tuple[Bar, ...]]

SONG = """\
title  Free Spacing
credit me, and you
key    F minor
meter  3/4
tempo  92.5
feel   swing
voice  Bb3 F#5
note   one line
note   and two

section A
road  | pickup |      | segno |
chords |       |: Fm  | C7    :|
tune  | C4:1   | F4:3 | E4:3  |
words | Oh     | la   | lo    |
"""


@pytest.fixture(scope="module")
def chart() -> Chart:
    return loads(SONG).chart


def test_the_header_words(chart: Chart) -> None:
    assert (chart.title, chart.credit) == ("Free Spacing", "me, and you")
    assert chart.note == "one line\nand two"
    assert chart.voice == (Pitch.parse("Bb3"), Pitch.parse("F#5"))
    bar = chart.bars[1]
    assert (bar.key, bar.meter) == (Key(-4, "minor"), Meter(3, 4))
    assert (bar.tempo, bar.feel) == (Fraction("92.5"), "swing")


def test_title_and_meter_are_enough() -> None:
    bar = loads("title T\nmeter 4/4\nchords | C |\n").chart.bars[0]
    assert (bar.key, bar.tempo, bar.feel) == (Key(0), DEFAULT_TEMPO, "straight")


SPACINGS = {
    "carriage returns": SONG.replace("\n", "\r\n"),
    "tabs": SONG.replace("  ", "\t").replace("| ", "|\t"),
    "no spaces around bar lines": SONG.replace("| ", "|").replace(" |", "|"),
    "many spaces": SONG.replace("|", "   |   ").replace("|   :", "|:").replace(":   |", ":|"),
    "indented": "\n".join("   " + line for line in SONG.split("\n")),
    "no line end at the end": SONG.rstrip("\n"),
    "spaces at line ends": SONG.replace("\n", "  \t\n"),
    "blank lines with spaces": SONG.replace("\n\n", "\n  \t \n\n\n"),
    "no blank lines": SONG.replace("\n\n", "\n"),
    "comments": SONG.replace("\n", "\n# a | comment :|\n"),
}


@pytest.mark.parametrize("what", SPACINGS)
def test_spacing_is_free(chart: Chart, what: str) -> None:
    assert SPACINGS[what] != SONG
    assert loads(SPACINGS[what]).chart == chart


@pytest.mark.parametrize("word", ["chords", "words", "tune", "road"])
def test_a_row_may_begin_right_after_its_word(bars: Bars, word: str) -> None:
    (bar,) = bars(f"{word}| |")
    assert bar.number == "1"


@pytest.mark.parametrize("order", [(3, 2, 1, 0), (1, 0, 3, 2), (2, 3, 0, 1)])
def test_the_rows_stand_in_any_order(chart: Chart, order: tuple[int, ...]) -> None:
    lines = SONG.splitlines()
    rows = [lines[-4:][place] for place in order]
    assert loads("\n".join([*lines[:-4], *rows])).chart == chart


def test_a_comment_does_not_part_a_system(bars: Bars) -> None:
    (bar,) = bars("chords | C |\n# between\ntune | B4:4 |")
    assert bar.changes
    assert bar.tune


def test_a_blank_line_parts_systems(bars: Bars) -> None:
    first, second = bars("chords | C |\n\ntune | B4:4 |")
    assert (bool(first.changes), bool(first.tune)) == (True, False)
    assert (bool(second.changes), bool(second.tune)) == (False, True)


def test_a_header_parts_systems(bars: Bars) -> None:
    assert len(bars("chords | C |\nkey D major\nchords | D |")) == 2


def test_header_words_hold_from_the_next_bar_on(bars: Bars) -> None:
    read = bars(
        "chords | C |\n\nkey D major\nchords | D |\n\nmeter 3/4\ntempo 60\nchords | D | D |\n\n"
        "feel swing\nmeter 6/8\nkey B minor\nchords | Bm |"
    )
    assert [bar.key for bar in read] == [Key(), Key(2), Key(2), Key(2), Key(2, "minor")]
    assert [str(bar.meter) for bar in read] == ["4/4", "4/4", "3/4", "3/4", "6/8"]
    assert [bar.length for bar in read] == [4, 4, 3, 3, 3]
    # From 3/4 to 6/8 the eighths go on as they were: 120 of them are 40 dotted quarters.
    assert [bar.tempo for bar in read] == [DEFAULT_TEMPO, DEFAULT_TEMPO, 60, 60, 40]
    assert [bar.feel for bar in read] == ["straight"] * 4 + ["swing"]


def test_a_meter_before_any_bar_replaces_the_one_before() -> None:
    assert str(loads("title T\nmeter 4/4\nmeter 3/4\nchords | C |").chart.bars[0].meter) == "3/4"


def test_sections(chart: Chart) -> None:
    text = (
        "title T\nmeter 4/4\nchords | C |\n\nsection A B [1]\nchords | C | D |\n\n"
        "section\nchords | C |"
    )
    sections = loads(text).chart.sections
    assert [(section.name, len(section.bars)) for section in sections] == [
        ("", 1),
        ("A B [1]", 2),
        ("", 1),
    ]


def test_a_section_without_bars_is_left_out() -> None:
    text = "title T\nmeter 4/4\nsection Empty\nsection Full\nchords | C |\n\nsection End"
    assert [section.name for section in loads(text).chart.sections] == ["Full"]


@pytest.mark.parametrize(
    "title", ["# not a comment", "| C |: D :|", "title", "Ünïcödé 夜の港", "a  b", "[bold]x[/bold]"]
)
def test_titles_are_taken_as_they_are(title: str) -> None:
    assert loads(f"title   {title}  \nmeter 4/4\nchords | C |").chart.title == title
