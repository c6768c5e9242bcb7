"""The chord next: when it comes, what it is made of, what stays and what goes where."""

from dataclasses import dataclass

from chartwalk_tui.widgets.chord_now import ChordLetters, draw_letters
from chartwalk_tui.widgets.drawing import Drawing, Picture, Row, pad


@dataclass(frozen=True, slots=True)
class ChordNext:
    """The next chord in words: when it comes and how the hands get there."""

    when: str
    letters: ChordLetters
    names: str = ""
    stays: str = ""
    moves: str = ""
    bass: str = ""


def draw_next(value: ChordNext, width: int, height: int) -> Picture:
    """Draw the time, the letters and the way there, as many rows as there is room for."""
    head: Row = [("coming ", "dim"), (value.when, "strong")]
    below: Picture = [
        row
        for row in (
            [(value.names, "next")],
            [("stays ", "dim"), (value.stays, "stays")] if value.stays else [],
            [("moves ", "dim"), (value.moves, "moves")] if value.moves else [],
            [("bass  ", "dim"), (value.bass, "bass")] if value.bass else [],
        )
        if row
    ]
    if not value.letters.root:
        return [head, [(value.letters.words, "dim")]]
    symbol = value.letters.root + value.letters.suffix + value.letters.bass
    room = height - 1 - len(below)
    if room < 3:
        head += [("  ", "plain"), (symbol, "next")]
        return [head, *below][:height]
    letters = draw_letters(value.letters, width, min(room, 4), "next")
    return [head, *(pad(row, width) for row in letters), *below]


class ChordNextView(Drawing[ChordNext]):
    """Shows the chord next."""

    def draw(self, value: ChordNext, width: int, height: int) -> Picture:
        """Draw the next chord at the size of the widget."""
        return draw_next(value, width, height)
