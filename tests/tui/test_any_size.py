"""Whatever is drawn fits, at any size and with any text: nothing raises, nothing sticks out."""

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st
from rich.cells import cell_len
from tests.tui.plain_rows import plain_rows

from chartwalk_tui.theme import ROLES
from chartwalk_tui.widgets.bar_grid import BarGrid, BarView, Placed
from chartwalk_tui.widgets.chord_next import ChordNext, ChordNextView
from chartwalk_tui.widgets.chord_now import ChordLetters, ChordNow, ChordNowView, PaletteTone
from chartwalk_tui.widgets.drawing import Picture
from chartwalk_tui.widgets.footer import Footer, FootKey
from chartwalk_tui.widgets.heat_strip import Heat, HeatBar, HeatStrip
from chartwalk_tui.widgets.keyboard import Keyboard, LitKey
from chartwalk_tui.widgets.road_strip import RoadBar, RoadStrip, RoadView
from chartwalk_tui.widgets.study import Study, StudyRow, StudyView
from chartwalk_tui.widgets.text_line import Ends, TextLine

WIDTHS, HEIGHTS = st.integers(1, 250), st.integers(1, 70)
HARD = st.sampled_from(
    [
        "",
        "[A]",
        "C7[b9]",
        "[/]",
        "[bold",
        "港の灯り",
        "ｆ",
        "é",
        "e\u0301",
        "F♯♯=G",
        "N.C.",
        "a" * 90,
    ]
)
EASY = st.text(st.characters(exclude_categories=["C", "Z", "M"]), max_size=12)
TEXTS = HARD | EASY
ROLE = st.sampled_from(sorted(ROLES))
SYMBOL_PARTS = TEXTS | st.sampled_from(["B♭", "maj7(♯11)", "/G", "m7♭5", "13"])
LETTERS = st.builds(ChordLetters, SYMBOL_PARTS, SYMBOL_PARTS, SYMBOL_PARTS, TEXTS)
SHARES = st.fractions(0, 1, max_denominator=48)
PLACED = st.lists(
    st.builds(Placed, SHARES, TEXTS, ROLE, TEXTS, st.none() | SHARES), max_size=9
).map(tuple)
BAR = st.builds(
    BarView, PLACED, PLACED, st.none() | PLACED, PLACED, PLACED, st.lists(SHARES).map(tuple),
    st.none() | st.integers(0, 9),
)  # fmt: skip
SPANS = st.lists(st.tuples(TEXTS, ROLE), max_size=4).map(tuple)

QUICKLY = settings(max_examples=60, phases=(Phase.explicit, Phase.generate, Phase.shrink))


def fits(picture: Picture, width: int, height: int) -> None:
    """Hold a picture against its frame, spaces at the ends of rows aside."""
    assert len(picture) <= height
    for row, text in zip(picture, plain_rows(picture), strict=True):
        assert cell_len(text) <= width, text
        assert {role for _, role in row} <= set(ROLES), "a role without a colour"


@QUICKLY
@given(LETTERS, st.lists(st.builds(PaletteTone, TEXTS, TEXTS, ROLE), max_size=8), TEXTS,
       WIDTHS, HEIGHTS)  # fmt: skip
def test_the_chord_now_fits(
    letters: ChordLetters, tones: list[PaletteTone], bass: str, width: int, height: int
) -> None:
    fits(ChordNowView().draw(ChordNow(letters, tuple(tones), bass), width, height), width, height)


@QUICKLY
@given(st.builds(ChordNext, LETTERS, TEXTS, TEXTS, TEXTS, TEXTS, TEXTS, TEXTS), WIDTHS, HEIGHTS)
def test_the_chord_next_fits(value: ChordNext, width: int, height: int) -> None:
    fits(ChordNextView().draw(value, width, height), width, height)


@QUICKLY
@given(st.lists(st.builds(LitKey, st.integers(0, 127), TEXTS, ROLE), max_size=9),
       st.integers(42, 250), HEIGHTS)  # fmt: skip
def test_the_keyboard_fits(keys: list[LitKey], width: int, height: int) -> None:
    fits(Keyboard().draw(tuple(keys), width, height), width, height)


@QUICKLY
@given(st.integers(1, 41), HEIGHTS)
def test_a_keyboard_too_narrow_for_three_octaves_fits(width: int, height: int) -> None:
    fits(Keyboard().draw((LitKey(60, "C", "root-key"),), width, height), width, height)


@QUICKLY
@given(st.lists(st.builds(StudyRow, TEXTS, TEXTS, TEXTS), min_size=1, max_size=20), WIDTHS, HEIGHTS,
       st.data())  # fmt: skip
def test_a_chord_taken_apart_fits_and_shows_the_cursor(
    rows: list[StudyRow], width: int, height: int, data: st.DataObject
) -> None:
    cursor = data.draw(st.integers(0, len(rows) - 1))
    picture = Study().draw(StudyView(tuple(rows), cursor), width, height)
    fits(picture, width, height)
    assert width < 3 or any(text.startswith("▶") for text in plain_rows(picture))


@QUICKLY
@given(BAR, st.none() | BAR, WIDTHS, HEIGHTS)
def test_the_bar_and_the_next_one_fit(
    value: BarView, ahead: BarView | None, width: int, height: int
) -> None:
    fits(BarGrid().draw(replace(value, ahead=ahead), width, height), width, height)


ROAD_BARS = st.lists(
    st.builds(RoadBar, TEXTS, TEXTS, TEXTS, TEXTS, st.integers(0, 200), TEXTS, TEXTS),
    max_size=30,
)


@QUICKLY
@given(st.builds(RoadView, ROAD_BARS.map(tuple), st.booleans()), WIDTHS, HEIGHTS)
def test_the_road_fits(value: RoadView, width: int, height: int) -> None:
    fits(RoadStrip().draw(value, width, height), width, height)


@QUICKLY
@given(st.lists(st.builds(FootKey, TEXTS, TEXTS, st.integers(1, 9)), max_size=12), WIDTHS)
def test_the_footer_fits(keys: list[FootKey], width: int) -> None:
    fits(Footer().draw(tuple(keys), width, 1), width, 1)


HEAT_BARS = st.lists(
    st.builds(HeatBar, TEXTS, st.floats(0, 9), st.booleans(), st.booleans()), max_size=300
)


@QUICKLY
@given(st.builds(Heat, TEXTS, HEAT_BARS.map(tuple)), WIDTHS, st.integers(3, 9))
def test_the_heat_of_a_song_fits_and_shows_the_spot(value: Heat, width: int, height: int) -> None:
    picture = HeatStrip().draw(value, width, height)
    fits(picture, width, height)
    here = [bar for bar in value.bars if bar.here]
    assert width < 3 or not here or any(role == "here" for row in picture for _, role in row)


@QUICKLY
@given(st.builds(Ends, SPANS, SPANS, SPANS), WIDTHS)
def test_a_line_fits(value: Ends, width: int) -> None:
    fits(TextLine().draw(value, width, 1), width, 1)


@pytest.mark.parametrize("width", [1, 2, 10, 59, 60])
def test_a_single_beat_fits(width: int) -> None:
    one = (Placed(Fraction(0), "1", "dim"),)
    fits(BarGrid().draw(BarView(one, beat=0), width, 3), width, 3)
