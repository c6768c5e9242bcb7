"""Reading `.lead` text into a chart, with every problem and its place."""

from collections import Counter
from dataclasses import replace
from fractions import Fraction
from typing import Final

from chartwalk.chart import (
    DEFAULT_TEMPO,
    FASTEST,
    FEELS,
    SLOWEST,
    Bar,
    Chart,
    Section,
    carried_tempo,
    next_number,
)
from chartwalk.key import Key
from chartwalk.leadfile.bar import BarCells, InForce, check_symbols, read_bar
from chartwalk.leadfile.cells import read_tune, read_words
from chartwalk.leadfile.layout import Header, Row, System, Token, layout
from chartwalk.leadfile.number import parse_number
from chartwalk.leadfile.road import read_road
from chartwalk.meter import Meter
from chartwalk.pitch import Pitch
from chartwalk.problems import ChartError, Problem
from chartwalk.reading import PartlyReadError, Reading

MOST_BARS: Final = 20_000
MOST_PROBLEMS: Final = 200
ONCE: Final = frozenset({"title", "credit", "voice"})
MAY_BE_EMPTY: Final = frozenset({"note", "credit", "section"})


def loads(text: str, file: str = "") -> Reading:
    """Read a chart; raise ChartError with every problem of the text, in the order of the lines."""
    reader = _Reader(file)
    for item in layout(text, file, reader.problems):
        if isinstance(item, Header):
            reader.header(item)
        else:
            reader.system(item)
    return reader.finish()


class _Reader:
    def __init__(self, file: str) -> None:
        self.file = file
        self.problems: list[Problem] = []
        self.met: set[str] = set()  # the header words met so far, sound or not
        self.texts: dict[str, str] = {}
        self.notes: list[str] = []
        self.voice: tuple[Pitch, Pitch] | None = None
        self.meter: Meter | None = None
        self.key = Key()
        self.tempo: Fraction | None = DEFAULT_TEMPO  # as stated since the last bar
        self.feel = FEELS[0]
        self.sections: list[tuple[str, list[Bar]]] = [("", [])]
        self.places: list[tuple[int, int]] = []
        self.full = False  # whether it has as many bars as a chart may have
        self.lost = False  # whether a row or a bar is missing, so that no road can be told

    def report(self, token: Token, message: str) -> None:
        self.problems.append(token.problem(message, self.file))

    def header(self, header: Header) -> None:
        word, value = header.word.text, header.value
        again = word in self.met
        self.met.add(word)
        if word in ONCE and again:
            self.report(header.word, f"a second {word!r}: a chart has one")
        elif not value.text and word not in MAY_BE_EMPTY:
            self.report(value, f"{word!r} needs a value")
        else:
            try:
                self._set(word, value.text)
            except ValueError as error:
                self.report(value, str(error))

    def _set(self, word: str, text: str) -> None:
        match word:
            case "title" | "credit":
                self.texts[word] = text
            case "note":
                self.notes.append(text)
            case "section":
                self.sections.append((text, []))
            case "key":
                self.key = Key.parse(" ".join(text.split()))
            case "meter":
                self.meter = Meter.parse(text)
            case "tempo":
                self.tempo = _tempo(text)
            case "feel":
                if text.lower() not in FEELS:
                    raise ValueError(f"{text!r} is no feel: write {' or '.join(FEELS)}")
                self.feel = text.lower()
            case "voice":
                self.voice = _range(text)

    def system(self, system: System) -> None:
        first = _measure_of(system)
        rows = {word: row for word, row in system.rows.items() if self._fits(first, row)}
        if "meter" not in self.met:
            top = next(iter(system.rows.values()))
            self.report(top.head, "a meter is needed before the first bar: write 'meter 4/4'")
            self.met.add("meter")
        for row in rows.values():
            self._check_edges(row)
        if len(self.places) + len(first.cells) > MOST_BARS:
            self._refuse_more(first)
            return
        bars = self.sections[-1][1]
        partial = system.broken or len(rows) < len(system.rows)
        self.lost |= partial or self.meter is None
        if self.meter is None:  # no bar can be measured; bars without contents stand in
            for row in rows.values():
                self._check_alone(row)
            for cell in first.cells:
                before = self._last()
                bars.append(Bar(next_number(before.number if before else None)))
                self.places.append((cell.line, cell.column))
            return
        before = self._last()
        tempo = self.tempo or carried_tempo(before, self.meter) if before else self.tempo
        force = InForce(self.meter, self.key, tempo or DEFAULT_TEMPO, self.feel)
        self.tempo = None
        for index in range(len(first.cells)):
            column = BarCells(
                {word: row.cells[index] for word, row in rows.items()},
                frozenset(row.lines[index].text for row in rows.values()),
                frozenset(row.lines[index + 1].text for row in rows.values()),
                partial,
            )
            sound = len(self.problems)
            bar = read_bar(column, force, self._last(), self.report)
            self.problems[sound:] = [
                replace(problem, bar=bar.number, index=len(self.places))
                for problem in self.problems[sound:]
            ]
            bars.append(bar)
            self.places.append((column.place.line, column.place.column))

    def _refuse_more(self, first: Row) -> None:
        """Say once that a chart has so many bars at most."""
        if not self.full:
            self.report(first.head, f"a chart has at most {MOST_BARS} bars: the rest is left out")
        self.full = self.lost = True

    def _last(self) -> Bar | None:
        return next((bars[-1] for _, bars in reversed(self.sections) if bars), None)

    def _fits(self, first: Row, row: Row) -> bool:
        if len(row.cells) == len(first.cells):
            return True
        counts = f"the {row.word} row has {len(row.cells)} bars and the {first.word} row"
        self.report(row.head, f"{counts} {len(first.cells)}")
        self._check_alone(row)
        return False

    def _check_alone(self, row: Row) -> None:
        """Report what is wrong inside the cells of a row whose bars can't be told."""
        for cell in row.cells:
            if row.word == "road":
                read_road(cell, self.report)
            elif row.word == "tune":
                read_tune(cell, self.report)
            elif row.word == "chords":
                check_symbols(cell, self.report)
            else:
                read_words(cell, self.report)

    def _check_edges(self, row: Row) -> None:
        first, last = row.lines[0], row.lines[-1]
        if first.text in {":|", "||"}:
            fits = "write it at the end of the system before"
            self.report(first, f"{first.text!r} ends a bar: {fits}")
        if last.text == "|:":
            self.report(last, "'|:' begins a bar: write it at the head of the next system")

    def finish(self) -> Reading:
        sections = tuple(Section(name, tuple(bars)) for name, bars in self.sections if bars)
        top = Token("", 1, 1)
        if "title" not in self.met:
            self.report(top, "a chart needs a title: write 'title ...'")
        elif not sections and not self.problems:
            self.report(top, "this chart has no bars: write a chords row, | C | G |")
        problems = sorted(self.problems, key=lambda problem: (problem.line, problem.column))
        if not sections:
            raise ChartError(_most_telling(problems))
        chart = Chart(
            title=self.texts.get("title", "untitled"),
            sections=sections,
            credit=self.texts.get("credit", ""),
            note="\n".join(self.notes),
            voice=self.voice,
        )
        reading = Reading(chart, places=tuple(self.places), keyed="key" in self.met)
        if problems:
            raise PartlyReadError(_most_telling(problems), reading, road=not self.lost)
        return reading


def _most_telling(problems: list[Problem]) -> list[Problem]:
    """Return the first problems, and how many more there are: nobody mends a thousand in one go."""
    more = len(problems) - MOST_PROBLEMS
    if more <= 0:
        return problems
    kept = problems[:MOST_PROBLEMS]
    return [*kept, replace(kept[-1], message=f"... and {more} more problems")]


def _measure_of(system: System) -> Row:
    """Return the row that the others are held against: of a number of bars that most rows have.

    Where as many rows say one number as another, the chords decide, then the first row.
    """
    counts = Counter(len(row.cells) for row in system.rows.values())
    most = max(counts.values())
    fitting = {word: row for word, row in system.rows.items() if counts[len(row.cells)] == most}
    return fitting.get("chords") or next(iter(fitting.values()))


def _tempo(text: str) -> Fraction:
    try:
        tempo = parse_number(text)
    except ValueError:
        tempo = Fraction(0)
    if not SLOWEST <= tempo <= FASTEST:
        raise ValueError(f"{text!r} is no tempo: write {SLOWEST} to {FASTEST} beats a minute")
    return tempo


def _range(text: str) -> tuple[Pitch, Pitch]:
    fits = f"{text!r} is no range: write the lowest and the highest note, such as A3 D5"
    pitches = [Pitch.parse(part) for part in text.split()]
    if len(pitches) != 2 or pitches[0] > pitches[1]:
        raise ValueError(fits)
    return pitches[0], pitches[1]
