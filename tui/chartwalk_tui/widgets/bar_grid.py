"""A bar on one line of time: beats, chords, notes and words; and the next bar beside it."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from rich.cells import cell_len

from chartwalk_tui.widgets.drawing import Drawing, Picture, Row, Span, clip, joined, pad

SHARE: Final = 0.64  # of the width for the bar under way
LEAST_AHEAD: Final = 16  # columns for the next bar, or it is not shown


@dataclass(frozen=True, slots=True)
class Placed:
    """Something at a place of the bar: where (0 to 1), what, its role.

    ``short`` stands in where the text would cover its neighbour. ``until`` draws a line to a later
    place, for a note that is held.
    """

    at: Fraction
    text: str
    role: str
    short: str = ""
    until: Fraction | None = None


@dataclass(frozen=True, slots=True)
class BarView:
    """The rows of a bar; ``beat`` is the index of the lit one in ``beats``, None at rest.

    ``numerals`` stand under the chords, None where they are not wanted. ``pulses`` are the places
    (0 to 1) of the notes that a compound beat falls into. ``ahead`` is the bar that comes next.
    """

    beats: tuple[Placed, ...] = ()
    chords: tuple[Placed, ...] = ()
    numerals: tuple[Placed, ...] | None = None
    notes: tuple[Placed, ...] = ()
    words: tuple[Placed, ...] = ()
    pulses: tuple[Fraction, ...] = ()
    beat: int | None = None
    ahead: "BarView | None" = None


def draw_bar(value: BarView, width: int, height: int) -> Picture:
    """Draw the bar and, where there is room, the next one beside it."""
    here = int(width * SHARE)
    numerals = value.numerals is not None
    if value.ahead is None or width - here - 1 < LEAST_AHEAD:
        return _rows(value, width, height, numerals)
    rows = _rows(value, here, height, numerals)
    coming = _rows(value.ahead, width - here - 1, height, numerals)
    return [
        [*pad(row, here), ("│", "faint"), *clip(next_row, width - here - 1)]
        for row, next_row in zip(rows, coming, strict=True)
    ]


def _rows(value: BarView, width: int, height: int, numerals: bool) -> Picture:
    """Draw beats, chords, numerals, notes and words; a low widget leaves out the chords."""
    starts = _starts(value.notes, width)
    rows = [
        _beat_row(value, width),
        _texts([(_column(item.at, width), item) for item in value.chords]),
        _notes(value, starts, width),
        _texts([(_under(item, value.notes, starts, width), item) for item in value.words]),
    ]
    if numerals:
        rows.insert(2, _numerals(value, width))
    if height < len(rows):
        del rows[1]
    return [clip(row, width) for row in rows[:height]]


def _column(at: Fraction, width: int) -> int:
    return int(at * (width - 1)) + 1


def _beat_row(value: BarView, width: int) -> Row:
    """Draw the beats; the lit one stands in a box of its own, so it shows without colour."""
    cells = [("─", "faint")] * width
    for pulse in value.pulses:
        _write(cells, _column(pulse, width), "·", "dim")
    ends = [*(_column(beat.at, width) for beat in value.beats[1:]), width + 1]
    for index, (beat, end) in enumerate(zip(value.beats, ends, strict=False)):
        lit = index == value.beat
        column = _column(beat.at, width)
        name = beat.text if column + cell_len(beat.text) < end else beat.short or beat.text
        text = f"▐{name}▌" if lit else f" {name} "
        role = ("accent" if index == 0 else "beat") if lit else "dim"
        _write(cells, column - 1, text, role)
    return joined(cells)


def _starts(notes: Sequence[Placed], width: int) -> list[tuple[int, str]]:
    """Return the column and the text of each note; names give way where notes are many."""
    starts: list[tuple[int, str]] = []
    used = 0
    for place, note in enumerate(notes):
        column = max(used, _column(note.at, width))
        following = _column(notes[place + 1].at, width) if place + 1 < len(notes) else width
        fits = column + cell_len(note.text) < following
        text = note.text if fits or not note.short else note.short
        starts.append((column, text))
        used = column + cell_len(text) + 1
    return starts


def _notes(value: BarView, starts: Sequence[tuple[int, str]], width: int) -> Row:
    """Draw the notes; a long one is held by a line with the beats counted out on it."""
    cells = [(" ", "plain")] * width
    for note, (start, text) in zip(value.notes, starts, strict=True):
        if note.until is not None:
            end = min(width, _column(note.until, width) - 2)
            for column in range(start + cell_len(text), end):
                cells[column] = ("─", "faint")
            for beat in value.beats:
                column = _column(beat.at, width)
                if start + cell_len(text) < column < end:
                    cells[column] = ((beat.short or beat.text)[-1:], "dim")
        _write(cells, start, text, note.role)
    return joined(cells)


def _under(
    item: Placed, notes: Sequence[Placed], starts: Sequence[tuple[int, str]], width: int
) -> int:
    """Return the column of the note that a word is sung on, or of the word's own place."""
    for note, (column, _) in zip(notes, starts, strict=True):
        if note.at == item.at:
            return column
    return _column(item.at, width)


def _numerals(value: BarView, width: int) -> Row:
    """Write each numeral under its chord, wherever a long symbol before has moved that to."""
    columns: dict[Fraction, int] = {}
    used = 0
    for chord in value.chords:
        columns[chord.at] = max(_column(chord.at, width), used)
        used = columns[chord.at] + cell_len(chord.text) + 1
    return _texts(
        [(columns.get(item.at, _column(item.at, width)), item) for item in value.numerals or ()]
    )


def _texts(items: Iterable[tuple[int, Placed]]) -> Row:
    """Write texts at their columns; one that would cover the one before moves right."""
    cells: Row = []
    used = 0
    for column, item in items:
        start = max(column, used)
        cells += [(" " * (start - used), "plain"), (item.text, item.role), (" ", "plain")]
        used = start + cell_len(item.text) + 1
    return joined(cells)


def _write(cells: list[Span], column: int, text: str, role: str) -> None:
    for shift, character in enumerate(text):
        if 0 <= column + shift < len(cells):
            cells[column + shift] = (character, role)


class BarGrid(Drawing[BarView]):
    """Shows the bar under way and the next one."""

    def draw(self, value: BarView, width: int, height: int) -> Picture:
        """Draw the bars at the size of the widget."""
        return draw_bar(value, width, height)
