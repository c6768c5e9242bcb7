"""The piano keyboard with the keys of a chord lit."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from chartwalk_tui.widgets.drawing import Drawing, Picture, Span, joined

LOWEST: Final = 48  # C3
OCTAVES: Final = 3  # fewer where they do not fit
WHITE: Final = (0, 2, 4, 5, 7, 9, 11)  # the white keys of an octave, in semitones from C
BEFORE_BLACK: Final = {0, 2, 5, 7, 9}  # the white keys with a black one above their right edge
MIDDLE_C: Final = 60


@dataclass(frozen=True, slots=True)
class LitKey:
    """A key to light: its MIDI number, the short name written on it and its role."""

    midi: int
    name: str
    role: str


def draw_keyboard(keys: Sequence[LitKey], width: int, height: int) -> Picture:
    """Draw C3 to B5 as wide as the keys fit, two to five columns a white key."""
    lit = {key.midi: key for key in keys}
    octaves = min(OCTAVES, width // 14)
    if not octaves:
        return []
    columns = max(2, min(5, width // (7 * octaves)))
    upper = max(1, (height + 1) // 2)
    margin: Span = (" " * max(0, (width - columns * 7 * octaves) // 2), "plain")
    picture: Picture = []
    for row in range(height):
        cells = _white_keys(lit, columns, octaves, named=row == height - 1)
        if row < upper:
            _black_keys(cells, lit, columns, named=row == upper - 1)
        picture.append([margin, *joined(cells)])
    return picture


def _white_keys(
    lit: Mapping[int, LitKey], columns: int, octaves: int, *, named: bool
) -> list[Span]:
    """Draw a row of white keys, a cell a column; the last column of a key is its edge."""
    cells: list[Span] = []
    for octave in range(octaves):
        for semitone in WHITE:
            midi = LOWEST + 12 * octave + semitone
            key = lit.get(midi)
            role = key.role if key else "white"
            name = key.name if key else "C4" if midi == MIDDLE_C else ""
            if not named or not name:
                text = " " * (columns - 1) + "▕"
            elif columns == 2:
                text = name[:2].rjust(2)  # away from the name on the key before
            else:
                text = name.center(columns - 1)[: columns - 1] + "▕"
            cells += [(character, role) for character in text]
    return cells


def _black_keys(cells: list[Span], lit: Mapping[int, LitKey], columns: int, *, named: bool) -> None:
    """Lay the black keys over a row of white ones, at the edges between them."""
    wide = 1 if columns == 2 else 2
    for place in range(len(cells) // columns):
        octave, letter = divmod(place, 7)
        if WHITE[letter] not in BEFORE_BLACK:
            continue
        key = lit.get(LOWEST + 12 * octave + WHITE[letter] + 1)
        text = "█" * wide
        if key:
            text = (key.name if wide > 1 else "●").ljust(wide)[:wide] if named else " " * wide
        start = (place + 1) * columns - 1
        cells[start : start + wide] = [
            (character, key.role if key else "black") for character in text
        ]


class Keyboard(Drawing[tuple[LitKey, ...]]):
    """Shows the keys of the chord now."""

    def draw(self, value: tuple[LitKey, ...], width: int, height: int) -> Picture:
        """Draw the keyboard at the size of the widget."""
        return draw_keyboard(value, width, height)
