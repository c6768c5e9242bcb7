"""The big letters: every character of a chord symbol can be drawn, at any size."""

import pytest

from chartwalk.chord import ChordSymbol
from chartwalk_tui.widgets.letters import QUARTERS, big, drawable, width_of
from chartwalk_tui.widgets.strokes import GLYPHS

SYMBOLS = [
    "C", "Db", "D#m", "Ebmaj7", "F#m7b5", "Gbb13", "Abm(maj7)", "A#dim7", "B-7#5", "Cb6/9",
    "C7[b9]", "C7(b9,#11)", "Csus4", "C7sus2", "C2sus4", "C7alt", "Cadd9", "Caug", "C+7", "C-",
    "C−7", "CΔ7", "C△", "C∆9", "Cø", "CØ7", "C∅", "C°7", "Cº", "CMaj7", "CMAJ7", "CMI7", "CMin7",
    "C⌀7", "C˚7", "C–7", "Cno3", "Comit5", "C(no3rd)", "C7(omit5th)", "Co7", "Cm(add11)", "Em7/B#",
    "N.C.",
]  # fmt: skip


@pytest.mark.parametrize("character", sorted(GLYPHS))
@pytest.mark.parametrize("rows", [3, 4, 7, 20, 40])
def test_every_letter_is_drawn_in_rows_of_equal_width(character: str, rows: int) -> None:
    lines = big(character, rows)
    assert len(lines) == rows
    assert {len(line) for line in lines} == {width_of(character, rows)}
    assert set("".join(lines)) <= set(QUARTERS)
    assert "".join(lines).strip(), f"nothing is seen of {character}"


@pytest.mark.parametrize("symbol", SYMBOLS)
def test_every_symbol_a_chart_can_hold_can_be_drawn(symbol: str) -> None:
    shown = ChordSymbol.parse(symbol).display
    assert drawable(shown), [character for character in shown if not drawable(character)]


def test_a_larger_size_takes_more_room_and_looks_different() -> None:
    small, large = big("Gm7", 4), big("Gm7", 8)
    assert len(large) == 2 * len(small)
    assert len(large[0]) > len(small[0])


def test_letters_that_look_alike_on_paper_do_not_look_alike_on_the_screen() -> None:
    for rows in (3, 4, 6):
        for one, other in ("69", "17", "b6", "♭b", "mn", "CG", "DO", "0o", "/7", "5s"):
            if drawable(one + other):
                assert big(one, rows) != big(other, rows), f"{one} and {other} at {rows} rows"


def test_text_is_its_letters_side_by_side() -> None:
    both = big("A7", 5)
    assert both == [left + right for left, right in zip(big("A", 5), big("7", 5), strict=True)]


def test_no_text_takes_no_room() -> None:
    assert big("", 6) == []
    assert width_of("", 6) == 0


def test_what_has_no_strokes_is_told_beforehand() -> None:
    assert not drawable("漢")
    with pytest.raises(KeyError):
        big("漢", 4)
