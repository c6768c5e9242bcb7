"""The road row, the bar lines and the printed numbers."""

from collections.abc import Callable

import pytest

from chartwalk.chart import Bar, RoadMark, Sign

Bars = Callable[..., tuple[Bar, ...]]

REPEATS = (Sign.REPEAT_START, Sign.REPEAT_END)

WORDS = [
    ("segno", Sign.SEGNO), ("coda", Sign.CODA), ("to coda", Sign.TO_CODA), ("fine", Sign.FINE),
    ("dc", Sign.DC), ("ds", Sign.DS), ("dc al fine", Sign.DC_AL_FINE),
    ("ds al fine", Sign.DS_AL_FINE), ("dc al coda", Sign.DC_AL_CODA),
    ("ds al coda", Sign.DS_AL_CODA),
]  # fmt: skip
# Bar lines before, between and after two bars, and the signs they give.
LINES = [
    ("| C | D |", [[], []], [False, False]),
    ("|: C | D :|", [["|:"], [":|"]], [False, False]),
    ("|: C :| D |", [["|:", ":|"], []], [False, False]),
    ("| C |: D :|", [[], ["|:", ":|"]], [False, False]),
    ("| C || D ||", [[], []], [True, True]),
    ("| C || D |", [[], []], [True, False]),
    ("|:C|D:|", [["|:"], [":|"]], [False, False]),
]
ENDINGS = [
    ("1.", (1,)), ("2.", (2,)), ("1. 2.", (1, 2)), ("1.2.", (1, 2)), ("1. 2. 3.", (1, 2, 3)),
    ("2. 4.", (2, 4)), ("12.", (12,)),
]  # fmt: skip


@pytest.mark.parametrize(("word", "sign"), WORDS)
def test_road_words(bars: Bars, word: str, sign: Sign) -> None:
    for text in (word, word.upper(), f"  {word}  ", word.replace(" ", "   ")):
        (bar,) = bars(f"road | {text} |\nchords | C |")
        assert bar.marks == (RoadMark(sign),)


@pytest.mark.parametrize(("word", "passes"), ENDINGS)
def test_endings(bars: Bars, word: str, passes: tuple[int, ...]) -> None:
    (bar,) = bars(f"road | {word} |\nchords | C |")
    assert bar.marks == (RoadMark(Sign.ENDING, passes=passes),)


@pytest.mark.parametrize(("row", "signs", "double"), LINES)
@pytest.mark.parametrize("word", ["chords", "tune", "road"])
def test_bar_lines_count_in_any_row(
    bars: Bars, word: str, row: str, signs: list[list[str]], double: list[bool]
) -> None:
    cells = {"chords": "CD", "tune": ["r:4", "r:4"], "road": ["fine", "segno"]}[word]
    rows = f"{word} {row.replace('C', cells[0]).replace('D', cells[1])}"
    if word != "chords":
        rows += "\nchords | C | D |"
    read = bars(rows)
    found = [[mark.sign.value for mark in bar.marks if mark.sign in REPEATS] for bar in read]
    assert found == signs
    assert [bar.double for bar in read] == double


def test_several_marks_in_one_bar(bars: Bars) -> None:
    (bar,) = bars("road | segno,2., 3x ,to coda |\nchords |: C :|")
    assert set(bar.marks) == {
        RoadMark(Sign.SEGNO),
        RoadMark(Sign.ENDING, passes=(2,)),
        RoadMark(Sign.TO_CODA),
        RoadMark(Sign.REPEAT_START),
        RoadMark(Sign.REPEAT_END, times=3),
    }


@pytest.mark.parametrize(
    ("word", "times"), [("0x", 0), ("1x", 1), ("2x", 2), ("3x", 3), ("12x", 12)]
)
def test_how_often_a_repeat_is_played(bars: Bars, word: str, times: int) -> None:
    _, bar = bars(f"road | | {word} |\nchords |: C | D :|")
    assert bar.marks == (RoadMark(Sign.REPEAT_END, times=times),)


def test_a_repeat_is_played_twice_unless_written(bars: Bars) -> None:
    (bar,) = bars("chords |: C :|")
    assert bar.mark(Sign.REPEAT_END) == RoadMark(Sign.REPEAT_END, times=2, after_jump=False)


def test_a_repeat_taken_after_a_jump_too(bars: Bars) -> None:
    # MusicXML 4.0: repeat, after-jump.
    (bar,) = bars("road | 3x, repeat after jump |\nchords |: C :|")
    assert bar.mark(Sign.REPEAT_END) == RoadMark(Sign.REPEAT_END, times=3, after_jump=True)


def test_the_page_counts_its_bars(bars: Bars) -> None:
    read = bars("chords | C | D |\n\nchords | E |\n\nsection B\nchords | F |")
    assert [bar.number for bar in read] == ["1", "2", "3", "4"]


def test_a_pickup_at_the_start_is_0_and_a_later_one_repeats_the_number(bars: Bars) -> None:
    # Common practice, no source.
    rows = "road | pickup | | pickup | |\nchords | C | D | E | F |\ntune | r:1 | | r:1 | |"
    assert [bar.number for bar in bars(rows)] == ["0", "1", "1", "2"]


@pytest.mark.parametrize(
    ("number", "following"),
    [("17", "18"), ("12a", "13"), ("X1", "1"), ("0", "1"), ("8-9", "9"), ("1.", "2")],
)
def test_a_printed_number_of_its_own(bars: Bars, number: str, following: str) -> None:
    rows = f"road | | bar {number} | |\nchords | C | D | E |"
    assert [bar.number for bar in bars(rows)] == ["1", number, following]


def test_a_printed_number_beside_other_marks(bars: Bars) -> None:
    (bar,) = bars("road | pickup, bar 7, segno |\nchords | C |\ntune | r:1 |")
    assert (bar.number, bar.pickup, bar.marks) == ("7", True, (RoadMark(Sign.SEGNO),))


@pytest.mark.parametrize("digits", [30, 5000])
def test_a_long_printed_number_is_kept_or_refused_with_its_place(
    problems_in_rows: Callable[..., list[str]], digits: int
) -> None:
    found = problems_in_rows(f"road | bar {'9' * digits} | |\nchords | C | D |")
    assert all(problem.startswith("x.lead:4:8 ") for problem in found)


@pytest.mark.parametrize("word", ["Bar 4", "BAR 4"])
def test_capitals_do_not_matter_in_a_printed_number_either(bars: Bars, word: str) -> None:
    (bar,) = bars(f"road | {word} |\nchords | C |")
    assert bar.number == "4"


@pytest.mark.parametrize("cell", ["bar 4, bar 5", "3x, 4x"])
def test_two_numbers_of_one_kind_contradict_each_other(
    problems_in_rows: Callable[..., list[str]], cell: str
) -> None:
    (problem,) = problems_in_rows(f"road | {cell} |\nchords |: C :|")
    assert problem.startswith("x.lead:4:")
