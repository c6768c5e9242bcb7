"""Big letters: text drawn with strokes into quarter-block characters, at any size.

A character cell holds two by two points. Cells are about twice as high as wide, so a point is
half as wide as it is high.
"""

import math
from functools import lru_cache
from itertools import pairwise
from typing import Final

from chartwalk_tui.widgets.strokes import GLYPHS, Point

QUARTERS: Final = " ▘▝▀▖▌▞▛▗▚▐▜▄▙▟█"
"""Block characters by the points set: 1 upper left, 2 upper right, 4 lower left, 8 lower right."""

PEN: Final = 0.085  # half the width of a stroke, in heights of a capital
FINE_PEN: Final = {"♯": 0.072}  # where strokes cross too close for the common pen
GAP: Final = 0.1  # between two letters


def drawable(text: str) -> bool:
    """Whether there are strokes for every character."""
    return all(character in GLYPHS for character in text)


def width_of(text: str, rows: float) -> int:
    """Return the columns that text takes with capitals this many rows high."""
    return sum(_columns(character, rows) for character in text)


def big(text: str, rows: float) -> list[str]:
    """Draw text with capitals ``rows`` rows high; every row of the result is equally long.

    Raises KeyError for a character without strokes: ask `drawable` first.
    """
    glyphs = [_glyph(character, rows) for character in text]
    return ["".join(parts) for parts in zip(*glyphs, strict=True)] if glyphs else []


def _columns(character: str, rows: float) -> int:
    return math.ceil((GLYPHS[character][0] + GAP) * rows * 2)


@lru_cache(maxsize=1024)
def _glyph(character: str, rows: float) -> tuple[str, ...]:
    """Draw one character into ceil(rows) rows, with the gap to the next one."""
    columns = _columns(character, rows)
    grid = [[False] * (2 * columns) for _ in range(2 * math.ceil(rows))]
    pen = FINE_PEN.get(character, PEN)
    for stroke in GLYPHS[character][1]:
        for start, end in pairwise(stroke):
            _ink(grid, start, end, pen, 2 * rows)
    return tuple(
        "".join(
            QUARTERS[upper[x] + 2 * upper[x + 1] + 4 * lower[x] + 8 * lower[x + 1]]
            for x in range(0, 2 * columns, 2)
        )
        for upper, lower in zip(grid[::2], grid[1::2], strict=True)
    )


def _ink(grid: list[list[bool]], start: Point, end: Point, pen: float, height: float) -> None:
    """Set the points that the pen covers on a straight line; ``height`` is a capital's, in points.

    Only the points in the box around the line are looked at.
    """
    left, right = min(start[0], end[0]) - pen, max(start[0], end[0]) + pen
    top, bottom = min(start[1], end[1]) - pen, max(start[1], end[1]) + pen
    for row in range(max(0, int(top * height)), min(len(grid), int(bottom * height) + 1)):
        y = (row + 0.5) / height
        line = grid[row]
        for column in range(
            max(0, int(left * 2 * height)), min(len(line), int(right * 2 * height) + 1)
        ):
            if _distance((column + 0.5) / (2 * height), y, start, end) <= pen:
                line[column] = True


def _distance(x: float, y: float, start: Point, end: Point) -> float:
    """Return the distance from a point to a line between two points."""
    (x0, y0), (x1, y1) = start, end
    dx, dy = x1 - x0, y1 - y0
    length = dx * dx + dy * dy
    along = max(0.0, min(1.0, ((x - x0) * dx + (y - y0) * dy) / length)) if length else 0.0
    return math.hypot(x - x0 - along * dx, y - y0 - along * dy)
