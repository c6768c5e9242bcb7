"""The road strip, the footer and the lines of text, as plain rows."""

import pytest

from chartwalk_tui.actions import LOG_SCREEN, SETUP_SCREEN, SHELF_SCREEN, STAND, Action
from chartwalk_tui.screens.room import foot_keys
from chartwalk_tui.widgets.drawing import clip, pad, plain_rows, row_width, spread
from chartwalk_tui.widgets.footer import draw_footer
from chartwalk_tui.widgets.road_strip import RoadBar, RoadView, columns_of, draw_road
from chartwalk_tui.widgets.text_line import Ends, TextLine

ROAD = RoadView(
    (
        RoadBar("7", "Am7 D7", signs="1."),
        RoadBar("8", "G D7sus4", marks=2),
        RoadBar("1", "G D/F♯", why="repeat, 2nd time", section="Verse"),
        RoadBar("2", "Em7 G/D", marks=9),
    ),
    ends=True,
)


def columns(picture_rows: list[str], width: int) -> list[list[str]]:
    """Cut rows where the first row has its bars."""
    edges = [place for place, sign in enumerate(picture_rows[0]) if sign in "▌│»▐"]
    ends = [*edges[1:], width]
    return [
        [row.ljust(width)[start:end].strip() for row in picture_rows]
        for start, end in zip(edges, ends, strict=True)
    ]


def test_each_bar_of_the_road_has_a_column() -> None:
    bars = columns(plain_rows(draw_road(ROAD, 76, 3)), 76)
    numbers = [bar[0].lstrip("▌│»▐ ").split()[0] for bar in bars]
    assert numbers == ["7", "8", "1", "2", "end"]
    assert [bar[1].lstrip("▌│ ") for bar in bars[:4]] == ["Am7 D7", "G D7sus4", "G D/F♯", "Em7 G/D"]


def test_the_bar_under_way_is_told_apart_without_colour() -> None:
    rows = plain_rows(draw_road(ROAD, 76, 3))
    assert all(row.startswith("▌") for row in rows)
    assert "▌" not in "".join(row[1:] for row in rows)


def test_a_jump_stands_at_the_bar_it_leads_to() -> None:
    bar = columns(plain_rows(draw_road(ROAD, 76, 3)), 76)[2]
    assert bar[0].startswith("»1 repeat")
    assert "Verse" in bar[2]


def test_endings_and_sections_stand_below_where_there_is_room() -> None:
    tall, low = (plain_rows(draw_road(ROAD, 76, height)) for height in (3, 2))
    assert "1." in tall[2]
    assert len(low) == 2
    start = RoadView((RoadBar("1", "C", section="Verse"), RoadBar("2", "F")), ends=False)
    assert "Verse" in plain_rows(draw_road(start, 76, 1))[0]


def test_marks_are_shown_at_most_three_times() -> None:
    bars = columns(plain_rows(draw_road(ROAD, 76, 3)), 76)
    assert [bar[0].count("×") for bar in bars[:4]] == [0, 2, 0, 3]


def test_the_end_of_the_song_is_shown_where_it_comes() -> None:
    ends = plain_rows(draw_road(ROAD, 76, 3))[0]
    goes_on = plain_rows(draw_road(RoadView(ROAD.bars, ends=False), 76, 3))[0]
    assert ends.endswith("end")
    assert "end" not in goes_on


def test_a_narrow_strip_shows_the_first_bars() -> None:
    assert columns_of(60) == 5
    row = plain_rows(draw_road(ROAD, 24, 2))[0]
    assert "7" in row
    assert "8" in row
    assert "»" not in row


@pytest.mark.parametrize("width", range(40, 130, 7))
@pytest.mark.parametrize("actions", [STAND, SHELF_SCREEN, LOG_SCREEN, SETUP_SCREEN])
def test_the_footer_fits_and_help_is_always_there(actions: tuple[Action, ...], width: int) -> None:
    (row,) = draw_footer(foot_keys(actions), width)
    (text,) = plain_rows([row])
    assert len(text) <= width, "no key is cut in two"
    assert "? help" in text


def test_at_80_columns_the_footer_names_five_keys_or_more() -> None:
    (row,) = draw_footer(foot_keys(STAND), 80)
    assert sum(role == "now" for _, role in row) >= 5


def test_the_keys_that_matter_most_stay() -> None:
    (text,) = plain_rows(draw_footer(foot_keys(STAND), 40))
    assert text.split()[0] == "space"
    assert "? help" in text
    assert "quit" not in text


def test_a_line_has_two_ends() -> None:
    line = TextLine()
    value = Ends((("left", "plain"),), (("right", "plain"),))
    assert plain_rows(line.draw(value, 20, 1)) == ["left           right"]


def test_a_line_too_long_uses_its_short_form_then_cuts_the_left() -> None:
    line = TextLine()
    value = Ends((("A long title", "title"),), (("right at length", "dim"),), (("right", "dim"),))
    assert plain_rows(line.draw(value, 30, 1)) == ["A long title   right at length"]
    assert plain_rows(line.draw(value, 20, 1)) == ["A long title   right"]
    assert plain_rows(line.draw(value, 12, 1)) == ["A long…right"]


def test_names_that_look_like_markup_are_left_alone() -> None:
    value = Ends((("[A] [b]Blue[/b] [/]", "title"),), (("C7[b9]", "plain"),))
    (row,) = plain_rows(TextLine().draw(value, 60, 1))
    assert row.startswith("[A] [b]Blue[/b] [/]")
    assert row.endswith("C7[b9]")


def test_a_row_is_cut_with_a_sign_that_says_so() -> None:
    row = [("Lanterns ", "plain"), ("at Low Tide", "title")]
    assert plain_rows([clip(row, 12)]) == ["Lanterns at…"]
    assert clip(row, 40) == row
    assert row_width(clip([("港の灯り", "plain")], 4)) == 4
    assert row_width(pad([("港の灯り", "plain")], 5)) == 5
    assert row_width(spread([("港の灯り", "plain")], [("ab", "dim")], 7)) == 7
