"""A chord taken apart: rows of a word and its sentence, with a cursor that moves along them."""

from collections.abc import Iterator
from dataclasses import dataclass
from textwrap import wrap
from typing import Final

from chartwalk_tui.widgets.drawing import Drawing, Picture, Row, clip

LEAST_TEXT: Final = 16  # columns for a sentence, or it is not wrapped


@dataclass(frozen=True, slots=True)
class StudyRow:
    """A word, what there is to say about it, and the heading that begins with it."""

    word: str
    line: str
    heading: str = ""


@dataclass(frozen=True, slots=True)
class StudyView:
    """The rows; the cursor stands on one of them."""

    rows: tuple[StudyRow, ...]
    cursor: int


def draw_study(value: StudyView, width: int, height: int) -> Picture:
    """Draw the rows with their sentences wrapped, as far as there is room around the cursor."""
    words = max((len(row.word) for row in value.rows), default=0)
    lines: Picture = []
    first = last = 0
    for place, row in enumerate(value.rows):
        here = place == value.cursor
        start = len(lines)
        lines += _lines(row, words, width, here)
        if here:
            first, last = start + bool(row.heading), len(lines)
    middle = (first + last - height) // 2
    top = max(0, min(first, middle, len(lines) - height))
    return [clip(line, width) for line in lines[top : top + height]]


def _lines(row: StudyRow, words: int, width: int, here: bool) -> Iterator[Row]:
    if row.heading:
        yield [(row.heading, "dim")]
    role = "now" if here else "strong"
    text = "now" if here else "plain"
    room = width - words - 4
    sentences = (wrap(row.line, room) if room >= LEAST_TEXT else []) or [row.line]
    for place, sentence in enumerate(sentences):
        mark = "▶ " if here and not place else "  "
        word = "" if place else row.word
        yield [(mark, "cursor"), (f"{word:<{words}}  ", role), (sentence, text)]


class Study(Drawing[StudyView]):
    """Shows a chord taken apart."""

    def draw(self, value: StudyView, width: int, height: int) -> Picture:
        """Draw the rows at the size of the widget."""
        return draw_study(value, width, height)
