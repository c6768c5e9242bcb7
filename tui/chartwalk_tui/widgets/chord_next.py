"""The chord next: when it comes, what it is made of, what stays and what goes where."""

from dataclasses import dataclass
from typing import Final

from chartwalk_tui.widgets.chord_now import ChordLetters, draw_letters
from chartwalk_tui.widgets.drawing import Drawing, Picture, Row, clip

LEAST_ROOM: Final = 4  # rows for the letters; more where the screen is high


@dataclass(frozen=True, slots=True)
class ChordNext:
    """The next chord in words: when it comes, the jump before it, how the hands get there.

    Without a root in ``letters`` their words stand alone.
    """

    letters: ChordLetters
    when: str = ""
    why: str = ""
    names: str = ""
    stays: str = ""
    moves: str = ""
    bass: str = ""


def draw_next(value: ChordNext, width: int, height: int) -> Picture:
    """Draw when it comes, the letters and the way there, as many rows as there is room for.

    Where there is no room for letters the symbol stands in the first row, before the time.
    """
    if not value.letters.root:
        return [clip([(value.letters.words, "dim")], width)][:height]
    way = _way(value)
    why: Picture = [[(value.why, "jump")]] if value.why else []
    head: Row = [("coming ", "dim"), (value.when, "strong")]
    room = height - 1 - len(why) - len(way)
    most = max(LEAST_ROOM, height // 2 - 2)
    letters = draw_letters(value.letters, width, min(room, most), "next") if room >= 3 else []
    if letters and len(letters) >= 3:
        rows = [head, *why, *letters, *way]
    else:
        symbol = value.letters.root + value.letters.suffix + value.letters.bass
        head = [(f"{symbol}  ", "next"), (value.when, "strong")]
        rows = [head, *way, *why]
    return [clip(row, width) for row in rows[:height]]


def _way(value: ChordNext) -> Picture:
    rows = (
        ("", value.names, "next"),
        ("stays ", value.stays, "stays"),
        ("moves ", value.moves, "moves"),
        ("bass  ", value.bass, "bass"),
    )
    return [[(head, "dim"), (text, role)] for head, text, role in rows if text]


class ChordNextView(Drawing[ChordNext]):
    """Shows the chord next."""

    def draw(self, value: ChordNext, width: int, height: int) -> Picture:
        """Draw the next chord at the size of the widget."""
        return draw_next(value, width, height)
