"""Texts of files as they may be shown and written: every one of them is whole and on one line."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chartwalk.abc.text import text_string
from chartwalk.mending.texts import one_line

# A text, and what is shown. The halves of characters are those of UTF-16 (Unicode 15, section 3.9).
TEXTS = [
    ("Ebb", "Ebb"),
    ("  Ebb \n\tTide ", "Ebb Tide"),
    ("Ebb\x1b[2JTide", "Ebb [2JTide"),
    ("Ebb \ud83c\udf0a Tide", "Ebb \U0001f30a Tide"),
    ("Ebb \ud83c Tide", "Ebb \ufffd Tide"),
    ("caf\udce9", "caf\ufffd"),
]


@pytest.mark.parametrize(("text", "shown"), TEXTS)
def test_one_line(text: str, shown: str) -> None:
    assert one_line(text) == shown


@given(st.text(st.characters()))
def test_any_text_can_be_written(text: str) -> None:
    line = one_line(text)
    assert line.encode().decode() == line == one_line(line)
    assert line == " ".join(line.split())


def test_characters_by_their_codes() -> None:
    """ABC 2.1 section 8.2: a code has four digits, so some characters need two codes."""
    assert text_string(r"Ebb \ud83c\udf0a, \ud83c") == "Ebb \U0001f30a, \ufffd"
