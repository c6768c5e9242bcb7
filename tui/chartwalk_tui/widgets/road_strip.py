"""The road ahead: the steps to come, with their chords, jumps, endings and trouble marks."""

from dataclasses import dataclass
from typing import Final

from chartwalk_tui.widgets.drawing import Drawing, Picture, Row, clip, pad, row_width

COLUMNS: Final = 14  # columns a bar, if possible
NARROW: Final = 11  # and on a screen of less than WIDE columns
WIDE: Final = 76
MOST: Final = 20


@dataclass(frozen=True, slots=True)
class RoadBar:
    """One step: its number, its chords, the jump that leads to it, its signs and its marks."""

    number: str
    chords: str
    why: str = ""
    signs: str = ""
    marks: int = 0
    section: str = ""


@dataclass(frozen=True, slots=True)
class RoadView:
    """The steps from the one under way on; the first is now."""

    bars: tuple[RoadBar, ...]
    ends: bool  # whether the song ends after the last of them


def columns_of(width: int) -> int:
    """Return how many bars fit into a width."""
    return max(1, width // (COLUMNS if width >= WIDE else NARROW))


def draw_road(value: RoadView, width: int, height: int) -> Picture:
    """Draw a column a bar: number and jump, chords, and signs and sections where there is room."""
    shown = value.bars[: columns_of(width)]
    column = min(MOST, width // columns_of(width))
    numbers: Row = []
    chords: Row = []
    signs: Row = []
    for place, bar in enumerate(shown):
        first = place == 0
        edge = ("▌", "cursor") if first else ("»", "jump") if bar.why else ("│", "faint")
        head: Row = [edge, (bar.number, "now" if first else "strong")]
        if bar.marks:
            head.append((f" {'×' * min(bar.marks, 3)}", "mark"))
        if bar.why and not first:
            head.append((f" {bar.why}", "jump"))
        elif bar.section and height < 3:
            head.append((f" {bar.section}", "dim"))
        numbers += pad(head, column)
        chords += pad([edge if first else ("│", "faint"), (bar.chords, "plain")], column)
        words = " ".join(filter(None, (bar.section, bar.signs)))
        signs += pad([edge if first else ("│", "faint"), (words, "dim")], column)
    if value.ends and len(shown) == len(value.bars) and row_width(numbers) < width:
        numbers.append(("▐ end", "dim"))
    return [clip(row, width) for row in (numbers, chords, signs)[:height]]


class RoadStrip(Drawing[RoadView]):
    """Shows the road ahead."""

    def draw(self, value: RoadView, width: int, height: int) -> Picture:
        """Draw the strip at the size of the widget."""
        return draw_road(value, width, height)
