"""The road ahead: the steps to come, with their chords, jumps, endings and trouble marks."""

from dataclasses import dataclass
from typing import Final

from chartwalk_tui.widgets.drawing import Drawing, Picture, Row, clip, pad, row_width

LEAST: Final = 9  # columns a bar
MOST: Final = 26
END: Final = "▐ end"


@dataclass(frozen=True, slots=True)
class RoadBar:
    """One step: its number, its chords, the jump that leads to it, its signs and its marks.

    ``flag`` says that something is wrong with the bar in the file; ``news`` tells what changes with
    it: a meter, a key, a tempo.
    """

    number: str
    chords: str
    why: str = ""
    signs: str = ""
    marks: int = 0
    section: str = ""
    news: str = ""
    flag: bool = False


@dataclass(frozen=True, slots=True)
class RoadView:
    """The steps from the one under way on; the first is now."""

    bars: tuple[RoadBar, ...]
    ends: bool  # whether the song ends after the last of them


def most_bars(width: int) -> int:
    """Return how many bars may fit into a width."""
    return max(1, width // LEAST)


def draw_road(value: RoadView, width: int, height: int) -> Picture:
    """Draw a column a bar, as wide as the bar needs: number, chords, signs and sections.

    A strip of one row has numbers and chords side by side.
    """
    numbers: Row = []
    chords: Row = []
    signs: Row = []
    used = 0
    for place, bar in enumerate(value.bars):
        rows = _bar(bar, place == 0, height)
        column = max(LEAST, min(MOST, max(map(row_width, rows)) + 1))
        if place and used + column > width:
            break
        for row, cells in zip((numbers, chords, signs), rows, strict=False):
            row.extend(pad(cells, min(column, width)))
        used += column
    else:
        if value.ends and used + len(END) <= width:
            numbers.append((END, "dim"))
    return [clip(row, width) for row in (numbers, chords, signs)[:height]]


def _bar(bar: RoadBar, first: bool, height: int) -> list[Row]:
    edge = ("▌", "cursor") if first else ("│", "faint")
    head: Row = [edge if first or not bar.why else ("»", "jump")]
    head.append((bar.number, "now" if first else "strong"))
    if bar.flag:
        head.append((" !", "mark"))
    if bar.marks:
        head.append((f" {'×' * min(bar.marks, 3)}", "mark"))
    if bar.why and not first:
        head.append((f" {bar.why}", "jump"))
    if bar.news and not first:
        head.append((f" {bar.news}", "jump"))
    if height == 1:
        return [[*head, (f" {bar.chords}", "plain")]]
    words = " ".join(filter(None, (bar.section, bar.signs)))
    return [head, [edge, (bar.chords, "plain")], [edge, (words, "dim")]][:height]


class RoadStrip(Drawing[RoadView]):
    """Shows the road ahead."""

    def draw(self, value: RoadView, width: int, height: int) -> Picture:
        """Draw the strip at the size of the widget."""
        return draw_road(value, width, height)
