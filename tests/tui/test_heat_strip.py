"""The heat strip as plain rows: shades above, bar numbers below."""

import pytest
from tests.tui.plain_rows import plain_rows

from chartwalk_tui.widgets.heat_strip import SHADES, Heat, HeatBar, draw_heat


def bars(*troubles: float, begins: tuple[int, ...] = (0,)) -> tuple[HeatBar, ...]:
    return tuple(
        HeatBar(str(place + 1), trouble, begins=place in begins)
        for place, trouble in enumerate(troubles)
    )


def test_the_more_trouble_the_fuller_and_each_bar_two_cells() -> None:
    value = Heat("One", bars(0, 0.1, 0.5, 1, 2))
    assert plain_rows(draw_heat(value, 40)) == [" One", " ··░░▒▒▓▓██", " 1       5"]
    assert SHADES[0] not in "░▒▓█"


def test_sections_are_numbered_where_they_begin() -> None:
    rows = plain_rows(draw_heat(Heat("One", bars(*[0] * 12, begins=(0, 6))), 40))
    assert rows[2].split() == ["1", "5", "7", "11"]
    assert rows[2].index("7") == 1 + 2 * 6, "below its bar"


@pytest.mark.parametrize("width", [20, 40, 60])
def test_of_bars_that_share_a_cell_the_worst_is_shown(width: int) -> None:
    troubles = [0.0] * 200
    troubles[150] = 2
    shades = plain_rows(draw_heat(Heat("Long", bars(*troubles)), width))[1]
    assert len(shades.strip()) <= width - 2
    assert shades.count("█") == 1
    assert set(shades.strip()) == {"·", "█"}


def test_the_spot_is_told_from_others_by_its_role() -> None:
    value = Heat("One", (HeatBar("1", 1), HeatBar("2", 1, here=True), HeatBar("3")))
    roles = [role for _, role in draw_heat(value, 40)[1]]
    assert [role for role in roles if role != "plain"] == ["mark", "here", "dim"]


def test_without_a_song_there_is_a_title_alone() -> None:
    assert plain_rows(draw_heat(Heat("nothing yet"), 40)) == [" nothing yet"]
