"""A key for the singer as one row: its name, the way there, the tune against the voice, strain."""

from dataclasses import dataclass
from typing import Final

from chartwalk_tui.widgets.drawing import Drawing, Picture, Row, Span, clip, joined, pad

WIDE: Final = 90  # columns from which the interval is written out
NARROW: Final = 70  # columns below which the drawing takes less
KEY, SIGNATURE, SUNG = 9, 2, 8  # columns of the key, its signature, its range
MOVES: Final = (24, 7)  # columns of the interval, in words and in short
SPANS: Final = (28, 24, 15)  # columns of the drawing: wide, middling, narrow
HERE: Final = "● "


@dataclass(frozen=True, slots=True)
class Scale:
    """What the drawings of all rows share, in MIDI keys: their ends, and the singer's range."""

    low: int
    high: int
    voice: tuple[int, int]

    def column(self, midi: int, width: int) -> int:
        """Return the column of a key in a drawing of some width."""
        return round((midi - self.low) * (width - 1) / max(1, self.high - self.low))


@dataclass(frozen=True, slots=True)
class KeyRow:
    """One key. ``reach`` and ``band`` are MIDI keys: where the tune goes, and where it sits.

    The short forms stand in where there is little room; ``here`` marks the key that is in force.
    """

    key: str
    signature: str
    move: str
    short_move: str
    sung: str
    reach: tuple[int, int]
    band: tuple[int, int]
    strain: str = ""
    short_strain: str = ""
    here: bool = False


@dataclass(frozen=True, slots=True)
class Head:
    """The line above the rows; ``voice`` names the ends of the singer's range."""

    scale: Scale
    voice: tuple[str, str]


def draw_key_row(row: KeyRow, scale: Scale, width: int) -> Row:
    """Draw a row in some columns."""
    move, span = _columns(width)
    fixed: Row = [
        *pad(
            [(HERE if row.here else " " * len(HERE), "here"), (row.key, "strong")], KEY + len(HERE)
        ),
        *pad([(row.signature, "dim")], SIGNATURE + 1),
        *pad([(row.move if width >= WIDE else row.short_move, "plain")], move + 1),
        *draw_span(row.reach, row.band, scale, span),
        (" ", "plain"),
        *pad([(row.sung, "plain")], SUNG + 1),
    ]
    room = width - sum(len(text) for text, _ in fixed)
    strain = row.strain if len(row.strain) <= room else row.short_strain
    return clip([*fixed, (strain, "mark")], width)


def draw_head(head: Head, width: int) -> Row:
    """Draw the names of the columns, the ends of the singer's range over their places."""
    move, span = _columns(width)
    ends: Row = [("", "plain")]
    for midi, name in zip(head.scale.voice, head.voice, strict=True):
        start = min(head.scale.column(midi, span), span - len(name))
        ends = [*pad(ends, max(0, start)), (name, "dim")]
    return clip(
        [
            *pad([(" " * len(HERE) + "key", "dim")], KEY + len(HERE) + SIGNATURE + 1),
            *pad([("move", "dim")], move + 1),
            *pad(ends, span + 1),
            *pad([("sung", "dim")], SUNG + 1),
            ("strains", "dim"),
        ],
        width,
    )


def draw_span(reach: tuple[int, int], band: tuple[int, int], scale: Scale, width: int) -> Row:
    """Draw the tune over the singer's range, ``├──━━▄▄▄━━─┤``: its reach, and where it sits."""
    cells: list[Span] = [(" ", "plain")] * width
    low, high = (scale.column(midi, width) for midi in scale.voice)
    for sign, role, ends in (("─", "dim", scale.voice), ("━", "now", reach), ("▄", "now", band)):
        first, last = (scale.column(midi, width) for midi in ends)
        for column in range(first, last + 1):
            cells[column] = (sign, role if low <= column <= high else "mark")
    cells[low] = ("├", cells[low][1])
    cells[high] = ("┤", cells[high][1])
    return joined(cells)


def _columns(width: int) -> tuple[int, int]:
    """Return the columns of the interval and of the drawing."""
    wide, middling, narrow = SPANS
    if width >= WIDE:
        return MOVES[0], wide
    return MOVES[1], middling if width >= NARROW else narrow


class VoiceHead(Drawing[Head]):
    """Shows the line above the rows."""

    def draw(self, value: Head, width: int, height: int) -> Picture:
        """Draw the line."""
        return [draw_head(value, width)]
