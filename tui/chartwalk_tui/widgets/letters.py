"""Big letters: text drawn with strokes into quarter-block characters, at any size.

A character cell holds two by two points. Cells are about twice as high as wide, so a point is
half as wide as it is high.
"""

import math
from functools import lru_cache
from itertools import pairwise
from typing import Final

from chartwalk_tui.widgets.strokes import GLYPHS, Stroke

QUARTERS: Final = " ▘▝▀▖▌▞▛▗▚▐▜▄▙▟█"
"""Block characters by the points set: 1 upper left, 2 upper right, 4 lower left, 8 lower right."""

PEN: Final = 0.085  # half the width of a stroke, in heights of a capital
FINE_PEN: Final = {"♯": 0.062}  # where strokes cross too close for the common pen
GAP: Final = 0.1  # between two letters


def drawable(text: str) -> bool:
    """Whether there are strokes for every character."""
    return all(character in GLYPHS for character in text)


def width_of(text: str, rows: float) -> int:
    """Return the columns that text takes with capitals this many rows high."""
    return sum(len(_glyph(character, rows)[0]) for character in text) if text else 0


def big(text: str, rows: float) -> list[str]:
    """Draw text with capitals ``rows`` rows high; every row of the result is equally long.

    Raises KeyError for a character without strokes: ask `drawable` first.
    """
    glyphs = [_glyph(character, rows) for character in text]
    return ["".join(parts) for parts in zip(*glyphs, strict=True)] if glyphs else []


@lru_cache(maxsize=1024)
def _glyph(character: str, rows: float) -> tuple[str, ...]:
    """Draw one character into ceil(rows) rows, with the gap to the next one."""
    width, strokes = GLYPHS[character]
    height = 2 * rows  # in points
    columns = math.ceil((width + GAP) * rows * 2)
    pen = FINE_PEN.get(character, PEN)
    points = [
        [
            _inked((x + 0.5) / (2 * height), (y + 0.5) / height, strokes, pen)
            for x in range(2 * columns)
        ]
        for y in range(2 * math.ceil(rows))
    ]
    return tuple(
        "".join(
            QUARTERS[upper[x] + 2 * upper[x + 1] + 4 * lower[x] + 8 * lower[x + 1]]
            for x in range(0, 2 * columns, 2)
        )
        for upper, lower in zip(points[::2], points[1::2], strict=True)
    )


def _inked(x: float, y: float, strokes: tuple[Stroke, ...], pen: float) -> bool:
    """Whether the pen covers a point."""
    return any(
        _distance(x, y, start, end) <= pen for stroke in strokes for start, end in pairwise(stroke)
    )


def _distance(x: float, y: float, start: tuple[float, float], end: tuple[float, float]) -> float:
    """Return the distance from a point to a line between two points."""
    (x0, y0), (x1, y1) = start, end
    dx, dy = x1 - x0, y1 - y0
    length = dx * dx + dy * dy
    along = max(0.0, min(1.0, ((x - x0) * dx + (y - y0) * dy) / length)) if length else 0.0
    return math.hypot(x - x0 - along * dx, y - y0 - along * dy)
