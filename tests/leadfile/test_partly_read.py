"""Files with problems: what can be read of them opens all the same."""

from collections.abc import Callable
from pathlib import Path

import pytest

from chartwalk.files import open_for_practice, open_song
from chartwalk.problems import ChartError

HEAD = "title T\nmeter 4/4\n\n"


@pytest.fixture
def write(tmp_path: Path) -> Callable[[str], Path]:
    def written(text: str) -> Path:
        path = tmp_path / "own.lead"
        path.write_text(text, encoding="utf-8")
        return path

    return written


def chords(path: Path) -> list[str]:
    """The chords of each bar that was read."""
    song = open_for_practice(path)
    return [" ".join(change.symbol.text for change in bar.changes) for bar in song.bars]


def test_what_is_wrong_in_a_bar_is_left_out_and_flags_it(write: Callable[[str], Path]) -> None:
    path = write(HEAD + "chords | G | C7zz D | Em | H7 |\n")
    song = open_for_practice(path)
    assert chords(path) == ["G", "D", "Em", ""]
    assert sorted(song.flagged) == [1, 3]
    assert "C7zz" in song.flagged[1][0].message
    assert [step.bar for step in song.steps] == [0, 1, 2, 3]
    with pytest.raises(ChartError) as caught:
        open_song(path)
    assert caught.value.problems == song.problems


def test_a_problem_names_its_bar_by_the_number_on_the_page(write: Callable[[str], Path]) -> None:
    rows = "road | pickup | | bar 9 |\nchords | H | X | Czz |\ntune | B4:1 | B4:4 | Y |\n"
    problems = open_for_practice(write(HEAD + rows)).problems
    named = [(problem.line, problem.bar, problem.index) for problem in problems]
    assert named == [(5, "0", 0), (5, "1", 1), (5, "9", 2), (6, "9", 2)]


def test_a_road_that_can_not_be_walked_is_played_straight(write: Callable[[str], Path]) -> None:
    song = open_for_practice(write(HEAD + "road | | ds | |\nchords | G | D | Em |\n"))
    assert [(step.bar, step.pass_, step.why) for step in song.steps] == [
        (0, 1, None), (1, 1, None), (2, 1, None),
    ]  # fmt: skip
    assert "segno" in song.problems[0].message
    assert sorted(song.flagged) == [1]


def test_a_road_that_can_be_walked_is_walked(write: Callable[[str], Path]) -> None:
    song = open_for_practice(write(HEAD + "chords |: G | Dzz :| C |\n"))
    assert [step.bar for step in song.steps] == [0, 1, 0, 1, 2]


def test_a_row_of_another_length_is_lost_and_the_others_stay(write: Callable[[str], Path]) -> None:
    path = write(HEAD + "road | dc |\nchords | G | D |\ntune | G4:4 | A4:4 |\n")
    song = open_for_practice(path)
    assert chords(path) == ["G", "D"]
    assert [step.bar for step in song.steps] == [0, 1], "the road may have said more"
    assert "road row" in song.problems[0].message


def test_without_a_meter_the_bars_are_there_and_empty(write: Callable[[str], Path]) -> None:
    song = open_for_practice(write("title T\n\nchords | G | D |\n"))
    assert [bar.number for bar in song.bars] == ["1", "2"]
    assert any("meter" in problem.message for problem in song.problems)


@pytest.mark.parametrize("text", ["", "title T\nmeter 4/4\n", "chords G D\n"])
def test_where_no_bar_can_be_read_nothing_opens(write: Callable[[str], Path], text: str) -> None:
    with pytest.raises(ChartError):
        open_for_practice(write(text))
