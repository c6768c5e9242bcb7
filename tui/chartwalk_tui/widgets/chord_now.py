"""The chord now, in letters to be read from a metre away, with its palette."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from chartwalk_tui.widgets.drawing import Drawing, Picture, Row, clip, pad, row_width
from chartwalk_tui.widgets.letters import big, drawable, width_of

SMALLEST: Final = 3
CLEAR: Final = 4  # rows from which small letters are clear
SUFFIX: Final = 0.72  # the height of what follows the root, in heights of the root


@dataclass(frozen=True, slots=True)
class ChordLetters:
    """A chord symbol in its parts, and what to say where there is none.

    ``root`` is empty without a chord; ``words`` then stand in its place.
    """

    root: str = ""
    suffix: str = ""
    bass: str = ""
    words: str = ""


@dataclass(frozen=True, slots=True)
class PaletteTone:
    """A note of the palette: its name or names, its degree in words, its role."""

    name: str
    degree: str
    role: str


@dataclass(frozen=True, slots=True)
class ChordNow:
    """The chord now: its letters, its tones and its bass in words."""

    letters: ChordLetters
    tones: tuple[PaletteTone, ...] = ()
    bass: str = ""


def draw_letters(letters: ChordLetters, width: int, height: int, role: str) -> Picture:
    """Draw a symbol as large as it fits; a terminal too small for letters gets bold text."""
    if not letters.root:
        return _middle([[(letters.words, "dim")]], height)
    text = letters.root + letters.suffix + letters.bass
    if drawable(text):
        for rows, small in _sizes(height):
            if width_of(letters.root, rows) + width_of(text[len(letters.root) :], small) <= width:
                return _middle(_parts(letters, rows, small, role), height)
        for rows in range(height, SMALLEST - 1, -1):
            if width_of(letters.root, rows) + len(text) <= width:
                return _middle(_root_and_text(letters, rows, role), height)
    return _middle([[(text, role)]], height)


def _root_and_text(letters: ChordLetters, rows: int, role: str) -> Picture:
    """Set a big root, and the rest of a long symbol in plain letters beside it."""
    picture: Picture = [[(line, role)] for line in big(letters.root, rows)]
    picture[0].append((letters.suffix, role))
    picture[-1].append((letters.bass, "bass"))
    return picture


def _sizes(height: int) -> Iterator[tuple[int, int]]:
    """Yield the rows of the root and of what follows it, the largest first."""
    for rows in range(height, SMALLEST - 1, -1):
        small = max(SMALLEST, round(rows * SUFFIX))
        if small < CLEAR <= rows:
            yield rows, CLEAR
        yield rows, small


def _parts(letters: ChordLetters, rows: int, small: int, role: str) -> Picture:
    """Set the root, what follows it raised to its top, and the bass down on the base line."""
    picture: Picture = [[(line, role)] for line in big(letters.root, rows)]
    for text, top, part in ((letters.suffix, 0, role), (letters.bass, rows - small, "bass")):
        lines = big(text, small)
        width = len(lines[0]) if lines else 0
        for place, row in enumerate(picture):
            inside = top <= place < top + len(lines)
            row.append((lines[place - top] if inside else " " * width, part))
    return picture


def _middle(picture: Picture, height: int) -> Picture:
    above = max(0, height - len(picture)) // 2
    return [[] for _ in range(above)] + picture


def draw_palette(now: ChordNow, width: int, height: int) -> Picture:
    """Draw the tones with their degrees: names above degrees in two rows, or all in one.

    Where there is no room for that the names stand alone.
    """
    wide = [_two_rows(now, gap) for gap in (3, 2, 1)] if height > 1 else [[_one_row(now)]]
    names: Row = [(f"{tone.name} ", tone.role) for tone in now.tones]
    bass: Row = [(now.bass, "bass")] if now.bass else []
    narrow: Picture = [names, bass] if height > 1 else [names + bass]
    fitting = (rows for rows in wide if max(map(row_width, rows)) <= width)
    return [clip(row, width) for row in next(fitting, narrow)]


def _two_rows(now: ChordNow, gap: int) -> Picture:
    upper: Row = []
    lower: Row = []
    for tone in now.tones:
        size = max(len(tone.name), len(tone.degree)) + gap
        upper.append((tone.name.ljust(size), tone.role))
        lower.append((tone.degree.ljust(size), "dim"))
    return [[*upper, (now.bass, "bass")], lower]


def _one_row(now: ChordNow) -> Row:
    row: Row = []
    for tone in now.tones:
        row += [(tone.name, tone.role), (f" {tone.degree}  ", "dim")]
    return [*row, (now.bass, "bass")]


class ChordNowView(Drawing[ChordNow]):
    """Shows the chord now."""

    def draw(self, value: ChordNow, width: int, height: int) -> Picture:
        """Draw letters above the palette; a low widget gives the palette one row."""
        below = 2 if height >= 8 else 1
        above = max(0, height - below)
        letters = draw_letters(value.letters, width, above - (height >= 9), "now")
        rows = [pad(row, width) for row in letters][:above]
        blank: Picture = [[] for _ in range(above - len(rows))]
        return (rows + blank + draw_palette(value, width, below))[:height]
