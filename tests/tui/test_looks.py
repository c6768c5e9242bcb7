"""The looks: contrast of every text on its ground, the setting, and plain signs.

Reference: WCAG 2.2, relative luminance and contrast ratio; 1.4.3 asks 4.5 to 1 for text, 1.4.11
3 to 1 for what is drawn and tells something.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len

from chartwalk.settings import SETTINGS
from chartwalk_tui.looks import LOOKS, Look
from chartwalk_tui.plain_signs import plain_signs

DRAWN = {"faint"}  # lines between things
KEYS = {"white", "black"}  # the keys of the keyboard: their ink draws the edge


def luminance(colour: str) -> float:
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    lighter, darker = sorted((luminance(one), luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def test_contrast_is_computed_as_the_standard_does() -> None:
    # Black on white is 21 to 1; #777777 on white is the standard's well-known near miss, 4.48.
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.005)


@pytest.mark.parametrize("look", LOOKS.values(), ids=list(LOOKS))
def test_every_text_can_be_read(look: Look) -> None:
    grounds = (look.background, look.surface, look.panel)
    weak = [
        (role, ground, round(contrast(ink, ground), 2))
        for role, ink in look.inks.items()
        if role not in KEYS
        for ground in ([look.grounds[role]] if role in look.grounds else grounds)
        if contrast(ink, ground) < (3 if role in DRAWN else 4.5)
    ]
    assert not weak


@pytest.mark.parametrize("look", LOOKS.values(), ids=list(LOOKS))
def test_the_line_under_the_cursor_can_be_read(look: Look) -> None:
    for role in ("now", "dim", "plain"):
        assert contrast(look.inks[role], look.grounds["beat"]) >= 4.5


@pytest.mark.parametrize("look", LOOKS.values(), ids=list(LOOKS))
def test_lit_keys_stand_out_from_the_others(look: Look) -> None:
    # The lit keys have letters too, so that colour is not needed to tell them.
    assert contrast(look.grounds["white"], look.grounds["black"]) >= 3


def test_the_setting_names_the_looks() -> None:
    assert SETTINGS["look.colours"].values == tuple(LOOKS)


@given(st.text())
def test_plain_signs_are_ascii_of_the_same_width(text: str) -> None:
    plain = plain_signs(text)
    assert plain.isascii()
    assert cell_len(plain) == cell_len(text)


@pytest.mark.parametrize(
    ("text", "plain"),
    [
        ("╭─ Stand ─╮╰┘", "+- Stand -+++"),
        ("├─━━▄▄━─┤", "|-==,,=-|"),
        ("don’t — “stay”", 'don\'t - "stay"'),
        ("C⌀7 C˚7 C–7", "C07 Co7 C-7"),
    ],
)
def test_no_sign_of_ours_becomes_a_question_mark(text: str, plain: str) -> None:
    assert plain_signs(text) == plain
