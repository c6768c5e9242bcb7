"""One bar of a `.lead` system, put together from its cells and the bar lines around it."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction

from chartwalk.chart import (
    DEFAULT_TEMPO,
    Bar,
    Change,
    Note,
    RoadMark,
    Sign,
    Syllable,
    next_number,
    sung,
    total_length,
)
from chartwalk.key import Key
from chartwalk.leadfile.cells import Report, read_chords, read_symbol, read_tune, read_words
from chartwalk.leadfile.layout import Token
from chartwalk.leadfile.number import quarters
from chartwalk.leadfile.road import RoadCell, read_road, with_fermatas
from chartwalk.meter import Meter

NOWHERE = Token("", 0, 0)


@dataclass(frozen=True, slots=True)
class InForce:
    """What the header lines so far say of the next bar."""

    meter: Meter
    key: Key = Key()
    tempo: Fraction = DEFAULT_TEMPO
    feel: str = "straight"


@dataclass(frozen=True, slots=True)
class BarCells:
    """The cells of one bar by their rows, and the bar lines at both sides.

    ``partial`` tells that a row of the system could not be read: what it might have said is not
    told again as missing.
    """

    cells: Mapping[str, Token]
    left: frozenset[str]
    right: frozenset[str]
    partial: bool = False

    @property
    def place(self) -> Token:
        """Where to point for trouble with the road: its cell, or the bar's first one."""
        road = self.cells.get("road", NOWHERE)
        return road if road.text else next(iter(self.cells.values()))


def read_bar(column: BarCells, force: InForce, before: Bar | None, report: Report) -> Bar:
    """Read a bar; ``before`` is the bar before on paper. What is wrong goes to ``report``."""
    cells = column.cells
    road = read_road(cells.get("road", NOWHERE), report)
    tune = read_tune(cells["tune"], report) if "tune" in cells else ()
    number = road.number or next_number(before.number if before else None, road.pickup)
    bar = Bar(number, force.meter, force.key, force.tempo, force.feel, force.meter.quarters)
    sized = _sized(column, road, tune, bar, report)
    changes: tuple[Change, ...] = ()
    if "chords" in cells:
        held = before.changes if before else None
        if sized:
            changes = read_chords(cells["chords"], sized, held, report)
        else:  # what does not fit may be no mistake, but something can be shown all the same
            check_symbols(cells["chords"], report)
            changes = read_chords(cells["chords"], bar, held, _unheard)
    found = replace(
        sized or bar,
        changes=changes,
        words=_words(column, sized, before, report),
        marks=_marks(column, road, report),
        double="||" in column.right and ":|" not in column.right,
    )
    return with_fermatas(found, road, report if sized else _unheard)


def _sized(
    column: BarCells,
    road: RoadCell,
    tune: tuple[Note, ...] | None,
    bar: Bar,
    report: Report,
) -> Bar | None:
    """Return the bar with its length and its tune; None where its length can't be known.

    A tune that can't be read, or a row that is lost, has been told already.
    """
    if road.pickup:
        return _pickup(column, tune, bar, report)
    if tune is None:
        return bar
    if column.partial and "road" not in column.cells:
        return None  # the lost row may have been the road row, and this a pickup
    total = total_length(tune)
    if tune and total != bar.length:
        lengths = f"last {quarters(total)}; a bar of {bar.meter} lasts {quarters(bar.length)}"
        count = total * bar.meter.unit / 4
        short = f" (is it a bar of {count}/{bar.meter.unit}? Then say so: meter ...)"
        advice = short if total < bar.length and count.denominator == 1 else ""
        report(column.cells["tune"], f"the notes of this bar {lengths}{advice}")
        return bar
    return replace(bar, tune=tune)


def _pickup(
    column: BarCells, tune: tuple[Note, ...] | None, bar: Bar, report: Report
) -> Bar | None:
    if tune is None:
        return None
    length = total_length(tune)
    if not tune and "chords" in column.cells:
        length = bar.meter.beat * len(column.cells["chords"].split())
    if 0 < length < bar.length:
        tune = tune or (Note(None, length),)
        return replace(bar, length=length, pickup=True, tune=tune)
    if not (column.partial and not tune):
        fits = f"that last less than a bar of {bar.meter}"
        report(column.place, f"a pickup needs notes, or a chord (or /) a beat, {fits}")
    return None


def _marks(column: BarCells, road: RoadCell, report: Report) -> tuple[RoadMark, ...]:
    marks = {mark.sign: mark for mark in road.marks}
    for sign in marks:
        if sum(mark.sign is sign for mark in road.marks) > 1:
            report(column.place, f"{sign.value!r} stands twice in one bar")
    if "|:" in column.left:
        marks[Sign.REPEAT_START] = RoadMark(Sign.REPEAT_START)
    if ":|" in column.right:
        times = 2 if road.times is None else road.times
        marks[Sign.REPEAT_END] = RoadMark(Sign.REPEAT_END, (), times, road.after_jump)
    elif road.times is not None or road.after_jump:
        report(column.place, "only a bar that closes a repeat (:|) says how often it is played")
    return tuple(marks.values())


def _words(
    column: BarCells, sized: Bar | None, before: Bar | None, report: Report
) -> tuple[tuple[Syllable, ...], ...]:
    verses: dict[int, tuple[Syllable, ...]] = {}
    room = _room(sized, before) if sized else None
    for number, cell in _verse_cells(column):
        syllables = read_words(cell, report)
        if room is not None and len(syllables) > room:
            extra = [token for token in cell.split() if token.text.strip("-")][room]
            report(extra, f"{extra.text!r} has no note: this bar has {room} to sing on")
        else:
            verses[number] = syllables
    count = max((number for number, verse in verses.items() if verse), default=0)
    return tuple(verses.get(number, ()) for number in range(1, count + 1))


def _room(bar: Bar, before: Bar | None) -> int | None:
    """Return how many syllables a bar has notes for; None without a tune to sing them on."""
    rests = not any(note.pitch for note in bar.tune)
    return None if rests and (bar.pickup or not bar.tune) else len(sung(bar, before))


def _verse_cells(column: BarCells) -> Iterator[tuple[int, Token]]:
    for word, cell in column.cells.items():
        if word.startswith("words"):
            yield int(word.split()[1]), cell


def _unheard(token: Token, message: str) -> None:
    """Report to nobody."""


def check_symbols(cell: Token, report: Report) -> None:
    """Report the chord symbols of a cell that can't be read, where its bar is not known."""
    for token in cell.split():
        if token.text not in {"/", "%"}:
            read_symbol(token, report)
