"""The road strip, the footer and the lines of text, as plain rows."""

from itertools import pairwise

import pytest
from tests.tui.plain_rows import plain_rows

from chartwalk_tui.actions import (
    LOG_SCREEN,
    SETUP_SCREEN,
    SHELF_SCREEN,
    STAND,
    WHILE_RUNNING,
    Action,
)
from chartwalk_tui.screens.room import foot_keys
from chartwalk_tui.widgets.drawing import clip, pad, row_width, spread
from chartwalk_tui.widgets.footer import draw_footer
from chartwalk_tui.widgets.road_strip import RoadBar, RoadView, draw_road, most_bars
from chartwalk_tui.widgets.text_line import Ends, TextLine

ROAD = RoadView(
    (
        RoadBar("7", "Am7 D7", signs="1."),
        RoadBar("8", "G D7sus4", marks=2),
        RoadBar("1", "G D/F♯", why="2nd time", section="Verse"),
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
    assert bar[0] == "»1 2nd time"
    assert bar[2] == "│Verse"


def test_what_changes_stands_at_the_bar_where_it_does() -> None:
    new = RoadView(
        (
            RoadBar("4", "C", news="G major"),
            RoadBar("5", "D", news="3/4, tempo 96"),
            RoadBar("9", "G", why="to coda", news="2/4"),
        ),
        ends=False,
    )
    rows = plain_rows(draw_road(new, 76, 3))
    assert columns(rows, 76) == [
        ["▌4", "▌C", "▌"], ["│5 3/4, tempo 96", "│D", "│"], ["»9 to coda 2/4", "│G", "│"],
    ]  # fmt: skip
    assert {role for text, role in draw_road(new, 76, 3)[0] if "3/4" in text} == {"jump"}


def test_endings_and_sections_stand_below_where_there_is_room() -> None:
    tall, low = (plain_rows(draw_road(ROAD, 76, height)) for height in (3, 2))
    assert columns(tall, 76)[0] == ["▌7", "▌Am7 D7", "▌1."]
    assert low == tall[:2]
    both = RoadView((RoadBar("1", "C", section="Verse", signs="|:"),), ends=False)
    assert plain_rows(draw_road(both, 76, 3))[2] == "▌Verse |:"


def test_one_row_has_numbers_and_chords_side_by_side() -> None:
    (row,) = plain_rows(draw_road(ROAD, 90, 1))
    assert [bar[0] for bar in columns([row], 90)] == [
        "▌7 Am7 D7", "│8 ×× G D7sus4", "»1 2nd time G D/F♯", "│2 ××× Em7 G/D", "▐ end",
    ]  # fmt: skip


def widths(road: RoadView, width: int) -> list[int]:
    """The columns of each bar but the last."""
    row = plain_rows(draw_road(road, width, 3))[0]
    edges = [place for place, sign in enumerate(row) if sign in "▌│»▐"]
    return [end - start for start, end in pairwise(edges)]


def test_a_column_is_as_wide_as_its_bar_needs() -> None:
    chords = ["C", "Am7 D7", "Am7 D7sus4", "F♯m7♭5 B7♭9 Em7 A7 Dm7 G7sus4", "C"]
    road = RoadView(tuple(RoadBar(str(n), text) for n, text in enumerate(chords)), ends=False)
    assert widths(road, 120) == [9, 9, 12, 26], "at least 9, at most 26 columns"
    second = plain_rows(draw_road(road, 120, 3))[1]
    assert columns([second], 120)[3][0] == "│F♯m7♭5 B7♭9 Em7 A7 Dm7 G…"


def test_bars_that_do_not_fit_whole_are_left_out() -> None:
    road = RoadView(tuple(RoadBar(str(n), "Am7 D7sus4") for n in range(8)), ends=True)
    assert len(widths(road, 48)) == 3
    assert len(widths(road, 47)) == 2
    assert "end" not in plain_rows(draw_road(road, 48, 3))[0]


def test_a_bar_wider_than_the_strip_is_cut() -> None:
    road = RoadView((RoadBar("1", "F♯m7♭5 B7♭9 Em7"),), ends=True)
    assert plain_rows(draw_road(road, 12, 3)) == ["▌1", "▌F♯m7♭5 B7♭…", "▌"]


def test_marks_are_shown_at_most_three_times() -> None:
    bars = columns(plain_rows(draw_road(ROAD, 76, 3)), 76)
    assert [bar[0].count("×") for bar in bars[:4]] == [0, 2, 0, 3]


def test_the_end_of_the_song_is_shown_where_it_comes() -> None:
    ends = plain_rows(draw_road(ROAD, 76, 3))[0]
    goes_on = plain_rows(draw_road(RoadView(ROAD.bars, ends=False), 76, 3))[0]
    assert ends.endswith("end")
    assert "end" not in goes_on


def test_a_narrow_strip_shows_the_first_bars() -> None:
    assert [most_bars(width) for width in (1, 9, 60, 80, 100)] == [1, 1, 6, 8, 11]
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


def test_the_footer_of_a_run_names_stop_first_and_all_of_it_at_60_columns() -> None:
    (narrow,), (all_of_it,) = (
        plain_rows(draw_footer(foot_keys(WHILE_RUNNING), width)) for width in (40, 60)
    )
    assert all_of_it == " r stop   - slower   = faster   m mark   ? help   q quit"
    assert narrow == " r stop   - slower   = faster   m mark"


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
    assert plain_rows(line.draw(value, 12, 1)) == ["A lon… right"]


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
