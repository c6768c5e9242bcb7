"""The last line of a screen: the keys that matter now."""

from collections.abc import Sequence
from dataclasses import dataclass

from chartwalk_tui.widgets.drawing import Drawing, Picture, Row, row_width


@dataclass(frozen=True, slots=True)
class FootKey:
    """A key and its word; ``rank`` orders them, the low ones stay where there is little room."""

    key: str
    label: str
    rank: int


def draw_footer(keys: Sequence[FootKey], width: int) -> Picture:
    """Draw as many keys as fit, the most important first."""
    row: Row = [(" ", "plain")]
    for key in sorted(keys, key=lambda key: key.rank):
        cell: Row = [(key.key, "now"), (f" {key.label}   ", "dim")]
        if row_width(row) + row_width(cell) - 3 > width:
            break
        row += cell
    return [row]


class Footer(Drawing[tuple[FootKey, ...]]):
    """Shows the keys."""

    def draw(self, value: tuple[FootKey, ...], width: int, height: int) -> Picture:
        """Draw the line."""
        return draw_footer(value, width)
