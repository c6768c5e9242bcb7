"""The bar under way on one line of time: beats, chords, notes and words above each other."""

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from rich.cells import cell_len

from chartwalk_tui.widgets.drawing import Drawing, Picture, Row, Span, clip, joined


@dataclass(frozen=True, slots=True)
class Placed:
    """Something at a place of the bar: where (0 to 1), what, its role.

    ``until`` draws a line to a later place, for a note that is held.
    """

    at: Fraction
    text: str
    role: str
    until: Fraction | None = None


@dataclass(frozen=True, slots=True)
class BarView:
    """The rows of a bar; ``beat`` is the index of the lit one in ``beats``, None at rest.

    ``pulses`` are the places (0 to 1) of the notes that a compound beat falls into.
    """

    beats: tuple[Placed, ...]
    chords: tuple[Placed, ...]
    notes: tuple[Placed, ...]
    words: tuple[Placed, ...]
    pulses: tuple[Fraction, ...] = ()
    beat: int | None = None


def draw_bar(value: BarView, width: int, height: int) -> Picture:
    """Draw the rows that fit: beats and notes with words first, then chords."""
    beats = _beat_row(value, width)
    rows = [beats]
    if height >= 4:
        rows.append(_place(value.chords, width))
    if value.notes:
        rows.append(_notes(value, width))
    if value.words:
        rows.append(_place(value.words, width))
    return [clip(row, width) for row in rows[:height]]


def _column(at: Fraction, width: int) -> int:
    return int(at * (width - 1))


def _beat_row(value: BarView, width: int) -> Row:
    """Draw the beats; the lit one stands in a box of its own, so it shows without colour."""
    cells = _blank(width, "─", "faint")
    for pulse in value.pulses:
        _write(cells, _column(pulse, width) + 1, "·", "dim")
    for index, beat in enumerate(value.beats):
        lit = index == value.beat
        text = f"▐{beat.text}▌" if lit else f" {beat.text} "
        role = ("accent" if index == 0 else "beat") if lit else "dim"
        _write(cells, max(0, _column(beat.at, width)), text, role)
    return joined(cells)


def _notes(value: BarView, width: int) -> Row:
    """Draw the notes; a long one is held by a line with the beats counted out on it."""
    cells = _blank(width)
    for note in value.notes:
        start = _column(note.at, width)
        if note.until is not None:
            end = min(width, _column(note.until, width) - 1)
            for column in range(start + cell_len(note.text), end):
                cells[column] = ("─", "faint")
            for beat in value.beats:
                column = _column(beat.at, width) + 1
                if start + cell_len(note.text) < column < end:
                    cells[column] = (beat.text, "dim")
        _write(cells, start + 1, note.text, note.role)
    return joined(cells)


def _place(items: Iterable[Placed], width: int) -> Row:
    """Write texts at their places; one that would cover the one before moves right."""
    cells: list[Span] = []
    used = 0
    for item in items:
        start = max(_column(item.at, width) + 1, used)
        cells += [(" " * (start - used), "plain"), (item.text, item.role)]
        used = start + cell_len(item.text) + 1
        cells.append((" ", "plain"))
    return joined(cells)


def _blank(width: int, text: str = " ", role: str = "plain") -> list[Span]:
    return [(text, role)] * width


def _write(cells: list[Span], column: int, text: str, role: str) -> None:
    for shift, character in enumerate(text):
        if 0 <= column + shift < len(cells):
            cells[column + shift] = (character, role)


class BarGrid(Drawing[BarView]):
    """Shows the bar under way."""

    def draw(self, value: BarView, width: int, height: int) -> Picture:
        """Draw the bar at the size of the widget."""
        return draw_bar(value, width, height)
