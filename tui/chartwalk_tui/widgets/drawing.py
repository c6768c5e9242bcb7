"""Rows of text with roles, and the widget that shows them.

A picture is a list of rows, a row a list of spans, a span a text and its role. Roles are names of
meanings (now, next, mark ...); the theme gives each its style, so no widget knows a colour. The
functions that make pictures are plain functions, tested as rows of text.
"""

from collections.abc import Iterable
from typing import Generic, TypeVar

from rich.cells import cell_len, set_cell_size
from rich.segment import Segment
from textual.strip import Strip
from textual.widget import Widget

from chartwalk_tui.printable import printable
from chartwalk_tui.theme import role_styles

Span = tuple[str, str]
Row = list[Span]
Picture = list[Row]
Value = TypeVar("Value")


def row_width(row: Iterable[Span]) -> int:
    """Return the columns that a row takes."""
    return sum(cell_len(text) for text, _ in row)


def joined(cells: Iterable[Span]) -> Row:
    """Join neighbouring spans of one role."""
    row: Row = []
    for text, role in cells:
        if row and row[-1][1] == role:
            row[-1] = (row[-1][0] + text, role)
        else:
            row.append((text, role))
    return row


def clip(row: Row, width: int) -> Row:
    """Cut a row at a width; what is cut shows as a last …."""
    if row_width(row) <= width:
        return row
    clipped: Row = []
    room = max(0, width - 1)
    for text, role in row:
        size = cell_len(text)
        if size > room:
            clipped.append((set_cell_size(text, room), role))
            break
        clipped.append((text, role))
        room -= size
    return [*clipped, ("…", "dim")] if width > 0 else []


def pad(row: Row, width: int) -> Row:
    """Clip a row, or fill it with spaces, to exactly a width."""
    row = clip(row, width)
    return [*row, (" " * (width - row_width(row)), "plain")]


def spread(left: Row, right: Row, width: int) -> Row:
    """Put one row at the left edge and one at the right, a space apart; the left one gives way."""
    room = width - row_width(right) - 1
    if not right or room < 0:
        return pad(left, width)
    return [*pad(left, room), (" ", "plain"), *right]


class Drawing(Widget, Generic[Value]):
    """A widget that draws one value; it draws again only when the value or the size changes."""

    def __init__(self, value: Value | None = None, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._value = value
        self._strips: list[Strip] | None = None

    def draw(self, value: Value, width: int, height: int) -> Picture:
        """Return the picture of a value at a size; a kind of drawing defines this."""
        raise NotImplementedError

    def show(self, value: Value) -> None:
        """Draw another value, if it is another."""
        if value != self._value:
            self._value = value
            self._again()

    def notify_style_update(self) -> None:
        """Draw anew in the colours of another theme."""
        super().notify_style_update()
        self._again()

    def on_resize(self) -> None:
        """Draw anew at another size."""
        self._again()

    def _again(self) -> None:
        self._strips = None
        self.refresh()

    def render_line(self, y: int) -> Strip:
        """Return one row of the screen."""
        if self._strips is None:
            self._strips = self._drawn()
        if y >= len(self._strips):
            return Strip.blank(self.size.width, self.rich_style)
        return self._strips[y]

    def _drawn(self) -> list[Strip]:
        if self._value is None or not self.size:
            return []
        picture = self.draw(self._value, self.size.width, self.size.height)
        ground = self.rich_style
        styles = role_styles(self.app.theme_variables, ground)
        strips = (
            Strip([Segment(printable(text), styles[role]) for text, role in row if text])
            for row in picture[: self.size.height]
        )
        return [strip.adjust_cell_length(self.size.width, ground) for strip in strips]
