"""A short song with a pickup, a repeat and two endings, every cell of it as written."""

from collections.abc import Callable
from fractions import Fraction

import pytest

from chartwalk.chart import Bar, Chart, RoadMark, Sign
from chartwalk.key import Key
from chartwalk.leadfile import dumps, loads
from chartwalk.meter import Meter
from chartwalk.pitch import Pitch
from chartwalk.roadmap import unroll

EXAMPLE = """\
title    Lanterns at Low Tide
credit   invented for the demo
key      G major
meter    4/4
tempo    84
feel     straight
voice    A3 D5

section  Verse
road     | pickup |                       |                    | 1.               | 2.                 |
chords   |        |: G         D/F#       | Em7      C         | Am7      D7     :| Am7     D7    G /  |
tune     | D4:1   | B4:1.5 A4:.5 G4:1 A4:1| B4:2     C5:1 B4:1 | A4:3     D4:1    | A4:2    G4:2       |
words    | The    | lan-   terns on  the  | wa-      ter  are  | low      the     | low     now        |
"""  # noqa: E501
CHANGES = ["", "0 G, 2 D/F#", "0 Em7, 2 C", "0 Am7, 2 D7", "0 Am7, 1 D7, 2 G"]
TUNES = [
    "D4 1",
    "B4 3/2, A4 1/2, G4 1, A4 1",
    "B4 2, C5 1, B4 1",
    "A4 3, D4 1",
    "A4 2, G4 2",
]
WORDS = ["The", "lan- terns on the", "wa- ter are", "low the", "low now"]
MARKS = [
    (),
    (RoadMark(Sign.REPEAT_START),),
    (),
    (RoadMark(Sign.REPEAT_END), RoadMark(Sign.ENDING, passes=(1,))),
    (RoadMark(Sign.ENDING, passes=(2,)),),
]


@pytest.fixture(scope="module")
def chart() -> Chart:
    return loads(EXAMPLE).chart


def test_the_head(chart: Chart) -> None:
    assert chart.title == "Lanterns at Low Tide"
    assert chart.credit == "invented for the demo"
    assert chart.note == ""
    assert chart.voice == (Pitch.parse("A3"), Pitch.parse("D5"))
    assert [section.name for section in chart.sections] == ["Verse"]


def test_what_holds_in_every_bar(chart: Chart) -> None:
    held = {(bar.meter, bar.key, bar.tempo, bar.feel, bar.double) for bar in chart.bars}
    assert held == {(Meter(4, 4), Key(1), Fraction(84), "straight", False)}


def test_the_pickup_is_a_quarter_and_the_page_counts_from_the_first_full_bar(
    chart: Chart,
) -> None:
    assert [bar.number for bar in chart.bars] == ["0", "1", "2", "3", "4"]
    assert [bar.pickup for bar in chart.bars] == [True, False, False, False, False]
    assert [bar.length for bar in chart.bars] == [1, 4, 4, 4, 4]


def test_the_changes_stand_at_their_places(chart: Chart) -> None:
    found = [
        ", ".join(f"{change.at} {change.symbol.text}" for change in bar.changes)
        for bar in chart.bars
    ]
    assert found == CHANGES


def test_the_tune(chart: Chart, tune: Callable[[Bar], str]) -> None:
    assert [tune(bar) for bar in chart.bars] == TUNES


def test_the_words(chart: Chart, words: Callable[[Bar], list[str]]) -> None:
    assert [words(bar) for bar in chart.bars] == [[line] for line in WORDS]


def test_the_road(chart: Chart) -> None:
    assert [set(bar.marks) for bar in chart.bars] == [set(marks) for marks in MARKS]
    order = [chart.bars[step.bar].number for step in unroll(chart)]
    assert order == ["0", "1", "2", "3", "1", "2", "4"]


def test_each_bar_knows_its_place_in_the_text() -> None:
    places = loads(EXAMPLE).places
    row = EXAMPLE.splitlines()[9]
    assert [line for line, _ in places] == [10] * 5
    columns = [column for _, column in places]
    assert columns[0] == row.index("pickup") + 1
    assert columns[3:] == [row.index("1.") + 1, row.index("2.") + 1]


def test_it_is_written_and_read_again(chart: Chart) -> None:
    text = dumps(chart)
    assert loads(text).chart == chart
    assert dumps(loads(text).chart) == text
