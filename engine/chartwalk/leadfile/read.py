"""Reading `.lead` text into a chart, with every problem and its place."""

from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final

from chartwalk.chart import (
    DEFAULT_TEMPO,
    Bar,
    Change,
    Chart,
    Note,
    RoadMark,
    Section,
    Sign,
    Syllable,
    next_number,
    sung,
)
from chartwalk.key import Key
from chartwalk.leadfile.cells import (
    RoadCell,
    read_chords,
    read_road,
    read_symbol,
    read_tune,
    read_words,
)
from chartwalk.leadfile.layout import Header, Row, System, Token, layout
from chartwalk.leadfile.number import parse_number, quarters
from chartwalk.meter import Meter
from chartwalk.pitch import Pitch
from chartwalk.problems import ChartError, Problem
from chartwalk.reading import Reading

FEELS: Final = ("straight", "swing")
ONCE: Final = frozenset({"title", "credit", "voice"})


@dataclass(slots=True)
class _Force:
    """What is in force from the next bar on."""

    meter: Meter | None = None
    key: Key = Key()
    tempo: Fraction = DEFAULT_TEMPO
    feel: str = "straight"


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
        self.once: dict[str, str] = {}
        self.notes: list[str] = []
        self.voice: tuple[Pitch, Pitch] | None = None
        self.force = _Force()
        self.sections: list[tuple[str, list[Bar]]] = [("", [])]
        self.places: list[tuple[int, int]] = []

    @property
    def bars(self) -> list[Bar]:
        return self.sections[-1][1]

    def report(self, token: Token, message: str) -> None:
        self.problems.append(token.problem(message, self.file))

    def header(self, header: Header) -> None:
        word, value = header.word.text, header.value
        if word in ONCE and word in self.once:
            self.report(header.word, f"a second {word!r}: a chart has one")
        elif not value.text and word not in {"note", "credit", "section"}:
            self.report(value, f"{word!r} needs a value")
        else:
            try:
                self._set(word, value.text)
            except ValueError as error:
                self.report(value, str(error))

    def _set(self, word: str, text: str) -> None:
        match word:
            case "title" | "credit":
                self.once[word] = text
            case "note":
                self.notes.append(text)
            case "section":
                self.sections.append((text, []))
            case "key":
                self.force.key = Key.parse(" ".join(text.split()))
            case "meter":
                self.force.meter = Meter.parse(text)
            case "tempo":
                self.force.tempo = parse_number(text)
                if not 1 <= self.force.tempo <= 999:
                    raise ValueError(f"{text!r} is no tempo: write 1 to 999 beats a minute")
            case "feel":
                if text not in FEELS:
                    raise ValueError(f"{text!r} is no feel: write {' or '.join(FEELS)}")
                self.force.feel = text
            case "voice":
                self.once[word] = text
                low, high = self._range(text)
                self.voice = (low, high)

    @staticmethod
    def _range(text: str) -> list[Pitch]:
        pitches = [Pitch.parse(part) for part in text.split()]
        if len(pitches) != 2 or pitches[0] > pitches[1]:
            raise ValueError(f"{text!r} is no range: write the lowest and the highest note, A3 D5")
        return pitches

    def system(self, system: System) -> None:
        rows = system.rows
        first = next(iter(rows.values()))
        if self.force.meter is None:
            self.report(first.head, "a meter is needed before the first bar: write 'meter 4/4'")
            self.force.meter = Meter()
        rows = {word: row for word, row in rows.items() if self._fits(first, row)}
        for index in range(len(first.cells)):
            self._bar(
                {word: row.cells[index] for word, row in rows.items()},
                {row.lines[index].text for row in rows.values()},
                {row.lines[index + 1].text for row in rows.values()},
            )
        for row in rows.values():
            self._edges(row)

    def _fits(self, first: Row, row: Row) -> bool:
        if len(row.cells) == len(first.cells):
            return True
        self.report(
            row.head,
            f"the {row.word} row has {len(row.cells)} bars "
            f"and the {first.word} row {len(first.cells)}",
        )
        self._check_alone(row)
        return False

    def _check_alone(self, row: Row) -> None:
        """Report what is wrong inside the cells of a row that can't be matched to bars."""
        for cell in row.cells:
            if row.word == "road":
                read_road(cell, self.report)
            elif row.word == "tune":
                read_tune(cell, self.report)
            elif row.word == "chords":
                for token in cell.split():
                    if token.text not in {"/", "%"}:
                        read_symbol(token, self.report)

    def _edges(self, row: Row) -> None:
        if row.lines[0].text in {":|", "||"}:
            self.report(
                row.lines[0],
                f"{row.lines[0].text!r} ends a bar: write it at the end of the system before",
            )
        if row.lines[-1].text == "|:":
            self.report(row.lines[-1], "'|:' begins a bar: write it at the head of the next system")

    def _bar(self, cells: dict[str, Token], left: set[str], right: set[str]) -> None:
        """Read one bar from its cells and the bar lines on both sides."""
        road_cell = cells.get("road", Token("", 0, 0))
        road = read_road(road_cell, self.report)
        marks = self._marks(road, road_cell, left, right)
        before = self._last()
        tune = read_tune(cells["tune"], self.report) if "tune" in cells else ()
        bar = self._frame(road, cells, tune or (), before)
        if tune and not bar.pickup:
            total = sum((note.length for note in tune), Fraction(0))
            if total != bar.length:
                message = (
                    f"the notes of this bar last {quarters(total)}; a bar of {bar.meter} lasts"
                )
                self.report(cells["tune"], f"{message} {quarters(bar.length)}")
                tune = ()
        changes: tuple[Change, ...] = ()
        if "chords" in cells:
            held = before.changes if before else None
            changes = read_chords(cells["chords"], bar, held, self.report)
        if not bar.pickup:
            bar = replace(bar, tune=tune or ())
        words = self._words(cells, bar, before, bool(tune is None))
        self.bars.append(
            replace(
                bar,
                changes=changes,
                words=words,
                marks=marks,
                double="||" in right and ":|" not in right,
            )
        )
        place = road_cell if road_cell.text else next(iter(cells.values()))
        self.places.append((place.line, place.column))

    def _last(self) -> Bar | None:
        return next((bars[-1] for _, bars in reversed(self.sections) if bars), None)

    def _marks(
        self, road: RoadCell, cell: Token, left: set[str], right: set[str]
    ) -> tuple[RoadMark, ...]:
        marks = road.marks
        for sign in {mark.sign for mark in marks}:
            if sum(mark.sign is sign for mark in marks) > 1:
                self.report(cell, f"{sign.value!r} stands twice in one bar")
                marks = tuple({mark.sign: mark for mark in marks}.values())
        if "|:" in left:
            marks += (RoadMark(Sign.REPEAT_START),)
        if ":|" in right:
            times = 2 if road.times is None else road.times
            marks += (RoadMark(Sign.REPEAT_END, times=times, after_jump=road.after_jump),)
        elif road.times is not None or road.after_jump:
            self.report(cell, "only a bar that closes a repeat (:|) says how often it is played")
        return marks

    def _frame(
        self, road: RoadCell, cells: dict[str, Token], tune: tuple[Note, ...], before: Bar | None
    ) -> Bar:
        """Return the bar without its contents: number, length and what is in force."""
        force = self.force
        meter = force.meter or Meter()
        number = road.number or next_number(before.number if before else None, road.pickup)
        bar = Bar(number, meter, force.key, force.tempo, force.feel, meter.quarters)
        if not road.pickup:
            return bar
        length = sum((note.length for note in tune), Fraction(0))
        if not tune and "chords" in cells:
            length = meter.beat * len(cells["chords"].split())
        if not 0 < length < meter.quarters:
            self.report(
                cells["road"],
                "a pickup needs notes, or a chord (or /) a beat, that last "
                f"less than a bar of {meter}",
            )
            return bar
        return replace(bar, length=length, pickup=True, tune=tune or (Note(None, length),))

    def _words(
        self, cells: dict[str, Token], bar: Bar, before: Bar | None, unread: bool
    ) -> tuple[tuple[Syllable, ...], ...]:
        verses: dict[int, tuple[Syllable, ...]] = {}
        room = len(sung(bar, before))
        for word, cell in cells.items():
            if not word.startswith("words"):
                continue
            syllables = read_words(cell)
            if bar.tune and not unread and len(syllables) > room:
                extra = cell.split()[room]
                self.report(extra, f"{extra.text!r} has no note: this bar has {room} to sing on")
                continue
            verses[int(word.split()[1])] = syllables
        count = max((number for number, verse in verses.items() if verse), default=0)
        return tuple(verses.get(number, ()) for number in range(1, count + 1))

    def finish(self) -> Reading:
        if "title" not in self.once:
            self.problems.append(
                Problem(
                    "a chart needs a title: write 'title ...'", file=self.file, line=1, column=1
                )
            )
        sections = [Section(name, tuple(bars)) for name, bars in self.sections if bars]
        if not sections and not self.problems:
            self.problems.append(
                Problem(
                    "this chart has no bars: write a chords row, | C | G |",
                    file=self.file,
                    line=1,
                    column=1,
                )
            )
        if self.problems:
            raise ChartError(sorted(self.problems, key=lambda p: (p.line, p.column)))
        chart = Chart(
            title=self.once["title"],
            sections=tuple(sections),
            credit=self.once.get("credit", ""),
            note="\n".join(self.notes),
            voice=self.voice,
        )
        return Reading(chart, places=tuple(self.places))
