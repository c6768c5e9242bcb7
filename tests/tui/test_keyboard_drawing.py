"""The keyboard as plain rows: C3 to B5, lit keys where they belong."""

import pytest
from tests.tui.plain_rows import plain_rows

from chartwalk_tui.widgets.drawing import Picture, row_width
from chartwalk_tui.widgets.keyboard import LitKey, draw_keyboard

LOWEST, HIGHEST, MIDDLE_C = 48, 83, 60
WHITE_KEYS = [m for m in range(LOWEST, HIGHEST + 1) if m % 12 in {0, 2, 4, 5, 7, 9, 11}]
BLACK_KEYS = [m for m in range(LOWEST, HIGHEST + 1) if m not in WHITE_KEYS]
WIDTHS = {2: 60, 3: 80, 4: 100, 5: 140}  # columns of a white key: columns of the screen


def cells(picture: Picture, row: int) -> list[tuple[str, str]]:
    """Take a row apart: a character and its role a column."""
    return [(character, role) for text, role in picture[row] for character in text]


def margin(width: int, columns: int) -> int:
    return (width - columns * len(WHITE_KEYS)) // 2


@pytest.mark.parametrize(("columns", "width"), WIDTHS.items())
def test_white_keys_are_two_to_five_columns_wide(columns: int, width: int) -> None:
    picture = draw_keyboard((), width, 4)
    white = [role for _, role in cells(picture, 3)][margin(width, columns) :]
    assert white == ["white"] * columns * len(WHITE_KEYS)
    edges = [text for text, _ in cells(picture, 2)].count("▕")
    assert edges == len(WHITE_KEYS)


@pytest.mark.parametrize("width", WIDTHS.values())
def test_there_are_fifteen_black_keys_in_three_octaves(width: int) -> None:
    upper = cells(draw_keyboard((), width, 4), 0)
    groups, inside = 0, False
    for _, role in upper:
        groups += role == "black" and not inside
        inside = role == "black"
    assert groups == len(BLACK_KEYS) == 15


@pytest.mark.parametrize("width", WIDTHS.values())
def test_an_unlit_keyboard_names_middle_c_alone(width: int) -> None:
    names = plain_rows(draw_keyboard((), width, 4))[-1].replace("▕", " ").split()
    assert names == ["C4"]


@pytest.mark.parametrize(("columns", "width"), WIDTHS.items())
@pytest.mark.parametrize("midi", WHITE_KEYS)
def test_a_lit_white_key_is_lit_where_it_lies(columns: int, width: int, midi: int) -> None:
    picture = draw_keyboard([LitKey(midi, "X", "tone-key")], width, 4)
    start = margin(width, columns) + columns * WHITE_KEYS.index(midi)
    bottom = cells(picture, 3)
    lit = [place for place, (_, role) in enumerate(bottom) if role == "tone-key"]
    assert lit == list(range(start, start + columns))
    assert "X" in "".join(text for text, _ in bottom[start : start + columns])


@pytest.mark.parametrize(("columns", "width"), WIDTHS.items())
@pytest.mark.parametrize("midi", BLACK_KEYS)
def test_a_lit_black_key_lies_between_its_white_neighbours(
    columns: int, width: int, midi: int
) -> None:
    picture = draw_keyboard([LitKey(midi, "F♯", "tone-key")], width, 4)
    edge = margin(width, columns) + columns * (WHITE_KEYS.index(midi - 1) + 1)
    for row in (0, 1):
        lit = [p for p, (_, role) in enumerate(cells(picture, row)) if role == "tone-key"]
        assert lit, "a black key is lit in every row of its own"
        assert all(edge - 1 <= place <= edge for place in lit)
    assert all(role != "tone-key" for _, role in cells(picture, 3)), "not down on the white keys"


def test_middle_c_lies_under_its_name() -> None:
    for width in WIDTHS.values():
        plain = cells(draw_keyboard((), width, 4), 3)
        lit = cells(draw_keyboard([LitKey(MIDDLE_C, "C", "root-key")], width, 4), 3)
        named = "".join(text for text, _ in plain).index("C4")
        assert lit[named][1] == "root-key"


def test_a_lit_key_shows_its_name_without_colour() -> None:
    keys = [LitKey(55, "G", "root-key"), LitKey(58, "B♭", "tone-key")]
    for width in (80, 100, 140):
        rows = plain_rows(draw_keyboard(keys, width, 4))
        assert "G" in rows[-1]
        assert any("B♭" in row for row in rows)
    assert "●" in "".join(plain_rows(draw_keyboard(keys, 60, 4))), "no room for two letters"


def test_each_lit_key_keeps_its_own_role() -> None:
    keys = [
        LitKey(48, "C", "bass-key"), LitKey(64, "E", "tone-key"), LitKey(74, "D", "tension-key"),
    ]  # fmt: skip
    bottom = cells(draw_keyboard(keys, 100, 4), 3)
    assert {role for _, role in bottom} >= {"bass-key", "tone-key", "tension-key"}


@pytest.mark.parametrize("height", range(1, 9))
def test_the_keyboard_fills_its_height(height: int) -> None:
    picture = draw_keyboard([LitKey(61, "D♭", "tone-key")], 80, height)
    assert len(picture) == height
    assert len({row_width(row) for row in picture}) == 1, "all rows are equally wide"


def test_keys_beyond_the_keyboard_are_not_drawn() -> None:
    outside = [LitKey(LOWEST - 1, "B", "tone-key"), LitKey(HIGHEST + 1, "C", "tone-key")]
    assert draw_keyboard(outside, 80, 4) == draw_keyboard((), 80, 4)
