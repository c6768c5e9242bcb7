"""The play order of the corpus's tunes that music21 does not follow, expanded by another reader.

The reader here is a small one of its own: it knows nothing of bars and takes a tune as a row of
notes and signs. It follows ABC 2.1: sections 3.1.9 (the order of parts), 4.4 (broken rhythms), 4.8
to 4.10 (repeats and endings), 4.13 (tuplets), 4.17 (chords, the top note is sung), 7.1 (voices).
Every tune with an order of parts, with several voices or with a chord cut by the end of a line is
taken in every run.
"""

import re
from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction
from functools import cache
from pathlib import Path

import pytest

from chartwalk.abc import loads, tunes
from chartwalk.abc.text import decode
from chartwalk.chart import Chart
from chartwalk.reading import Reading
from chartwalk.roadmap import unroll

Heard = tuple[str, int, Fraction]  # letter, octave, length in quarter notes
Event = Heard | str  # a note, or a sign: |: :| || [1,2 or P:A
Tune = Callable[..., Reading]

FOLDERS = ("airdsAirs", "josquin", "miscFolk", "nottingham-dataset", "oneills1850", "ryansMammoth")
HOW_MANY = {"order of parts": 67, "voices": 15, "cut chord": 3}

TOKENS = re.compile(
    r"(?P<skip>\{[^}]*\}|![^!]*!|\+[a-z]+\+)|(?P<text>\"[^\"]*\")|(?P<field>\[[A-Za-z]:[^]]*\])"
    r"|(?P<ending>(?:\[|(?<=\|))\s*[1-9][\d,\-]*)|(?P<tuplet>\(\d[:\d]*)"
    r"|(?P<chord>\[[^][|]*[A-Ga-g][^][|]*\][\d/]*)|(?P<bar>(?:\[(?=\|)|\||:(?=[|:])|(?<=[|:]):)[|:\]]*)"
    r"|(?P<note>[_^=]*[A-Ga-gzxZ][,']*[\d/]*)|(?P<broken>[<>]+)"
)
TUPLETS = {2: 3, 3: 2, 4: 3, 6: 2, 8: 3}


def number(text: str) -> Fraction:
    """A length in unit notes: 3, 3/2, / and //."""
    above, slashes, below = re.fullmatch(r"(\d*)(/*)(\d*)", text).groups()  # type: ignore[union-attr]
    divisor = int(below) if below else 2 ** len(slashes)
    return Fraction(int(above or 1), divisor)


def heard(text: str, unit: Fraction) -> Heard:
    match = re.fullmatch(r"[_^=]*([A-Ga-gzxZ])([,']*)([\d/]*)[-.]*", text)
    assert match
    letter = match[1]
    octave = 4 + letter.islower() + match[2].count("'") - match[2].count(",")
    return letter.upper(), octave, number(match[3]) * unit


def sung(chord: str, unit: Fraction) -> Heard:
    inside, _, times = chord[1:].rpartition("]")
    notes = [heard(note, unit) for note in re.findall(r"[_^=]*[A-Ga-g][,']*[\d/]*", inside)]
    letter, octave, _ = max(notes, key=lambda note: (note[1], "CDEFGAB".index(note[0])))
    return letter, octave, notes[0][2] * number(times)


class Reader:
    """Reads one voice of a tune; ``unit`` is its unit note length in quarter notes."""

    def __init__(self, head: str) -> None:
        meter = re.search(r"(?m)^M: *(C\|?|\d+/\d+)", head)
        stated = re.search(r"(?m)^L: *(\d+/\d+)", head)
        size = Fraction(1) if not meter or meter[1][0] == "C" else Fraction(meter[1])
        self.compound = size.denominator == 8 or bool(meter and meter[1] in ("6/8", "12/8"))
        self.unit = 4 * (
            Fraction(stated[1]) if stated else Fraction(1, 16 if size < Fraction(3, 4) else 8)
        )
        self.events: list[Event] = []
        self.factors: list[Fraction] = []  # of the tuplet that is open, for the notes to come
        self.after = Fraction(1)  # of a broken rhythm, for the next note

    def field(self, name: str, value: str) -> None:
        if name == "L":
            self.unit = 4 * Fraction(value)
        elif name == "P":
            self.events.append(f"P:{value.strip()}")

    def line(self, text: str) -> None:
        for match in TOKENS.finditer(text):
            kind, token = match.lastgroup, match[0]
            if kind == "field":
                self.field(token[1], token[3:-1])
            elif kind == "ending":
                self.events.append("[" + token.strip(" ["))
            elif kind == "bar":
                self.bar(token)
            elif kind == "tuplet":
                self.tuplet([int(part or 0) for part in token[1:].split(":")])
            elif kind == "broken":
                self.broken(token)
            elif kind in ("note", "chord"):
                note = (heard if kind == "note" else sung)(token, self.unit)
                self.note(note)

    def note(self, note: Heard) -> None:
        factor = self.after * (self.factors.pop() if self.factors else 1)
        self.after = Fraction(1)
        self.events.append((*note[:2], note[2] * factor))

    def tuplet(self, parts: list[int]) -> None:
        count, into, over = (*parts, 0, 0)[:3]
        into = into or TUPLETS.get(count) or (3 if self.compound else 2)
        self.factors = [Fraction(into, count)] * (over or count)

    def broken(self, signs: str) -> None:
        short = Fraction(1, 2 ** len(signs))
        before, self.after = (2 - short, short) if signs[0] == ">" else (short, 2 - short)
        last = self.events[-1]
        if not isinstance(last, str):
            self.events[-1] = (*last[:2], last[2] * before)

    def bar(self, token: str) -> None:
        if token.startswith(":"):
            self.events.append(":|")
        if token.endswith(":"):
            self.events.append("|:")
        if ":" not in token and len(token.replace("[|]", "")) > 1:
            self.events.append("||")


def bodies(text: str) -> tuple[str, dict[str, list[str]]]:
    """The head of a tune and the lines of each voice; a field between them is for every voice."""
    head, _, body = text.partition("\nK:")
    voices: dict[str, list[str]] = {}
    fields: list[str] = []
    name = ""
    for line in body.splitlines()[1:]:
        bare = line.partition("%")[0]
        if match := re.match(r"V: *(\S+)|\[V: *([^]\s]+)[^]]*\]", bare):
            name = match[1] or match[2]
            bare = bare[match.end() :] if match[2] else ""
        if re.match(r"[LMP]:", bare):
            fields.append(bare)
            for lines in voices.values():
                lines.append(bare)
        elif bare.strip():
            voices.setdefault(name, list(fields)).append(bare)
    return head, voices


def events(text: str) -> list[Event]:
    """What stands in the voice that is read: the first with words, or with chords, or at all."""
    head, voices = bodies(text)
    names = [name for name, lines in voices.items() if re.search(r"[A-Ga-gz]", "".join(lines))]
    sings = [name for name in names if any(line.startswith("w:") for line in voices[name])]
    chords = [name for name in names if re.search(r'"[A-G][^"]*"', "".join(voices[name]))]
    reader = Reader(head)
    for line in voices[(sings or chords or names)[0]]:
        if re.match(r"[A-Za-z]:(?![|:])", line):
            reader.field(line[0], line[2:])
        else:
            reader.line(line)
    return reader.events


def repeated(row: Sequence[Event]) -> Iterator[Heard]:
    """A row of notes as it is played, its repeats and endings taken."""
    at = start = 0
    turn = 1
    signed = ended = False  # whether the repeat has an opening sign, and endings
    while at < len(row):
        event = row[at]
        at += 1
        if not isinstance(event, str):
            yield event
        elif event == "|:":
            start, turn, signed, ended = at, 1, True, False
        elif event.startswith("["):
            ended = True
            if str(turn) not in event:
                at = next(n for n in range(at, len(row)) if str(row[n]).startswith("[")) + 1
        elif event == ":|" and turn == 1:
            at, turn = start, 2
        elif event == ":|" or ended or not signed:
            start, turn, signed, ended = at, 1, False, False


def ordered(text: str) -> str:
    """The order of parts as letters: brackets and numbers written out."""
    head = text.partition("\nK:")[0]
    field = re.search(r"(?m)^P: *([A-Z(][^%\n]+)", head)
    order = re.sub(r"[\s.,]", "", field[1]) if field else ""
    while match := re.search(r"\(([A-Z]*)\)(\d*)|([A-Z])(\d+)", order):
        played = (match[1] or match[3]) * int(match[2] or match[4] or 1)
        order = order[: match.start()] + played + order[match.end() :]
    return order


def expanded(text: str) -> list[Heard]:
    """The notes of a tune in the order they are played, rests left out."""
    parts: dict[str, list[Event]] = {"": []}
    name = ""
    for event in events(text):
        if isinstance(event, str) and event.startswith("P:"):
            name = event[2:].rstrip(".:")
            parts.setdefault(name, [])
        else:
            parts[name].append(event)
    order = [letter for letter in ordered(text) if letter in parts]
    rows = [parts[""], *(parts[letter] for letter in order)] if order else [
        [event for row in parts.values() for event in row]
    ]  # fmt: skip
    return [note for row in rows for note in repeated(row) if note[0] not in "ZX"]


def played(chart: Chart) -> list[Heard]:
    return [
        (note.pitch.name.letter, note.pitch.octave, note.length)
        for step in unroll(chart)
        for note in chart.bars[step.bar].tune
        if note.pitch
    ]


# The other reader itself: the standard's own examples, and orders worked out by hand.


@pytest.mark.parametrize(
    ("order", "letters"),
    [("ABAC", "ABAC"), ("A2.B3", "AABBB"), ("((AB)3.(CD)3)2", "ABABABCDCDCDABABABCDCDCD")],
)
def test_orders_of_parts(order: str, letters: str) -> None:
    """Section 3.1.9."""
    assert ordered(f"X:1\nP:{order}\nK:C\n") == letters


@pytest.mark.parametrize(
    ("music", "letters"),
    [
        ("C|D:|E", "CDCDE"),
        ("C|D||E|F:|", "CDEFEF"),
        ("|:C||D:|E", "CDCDE"),
        ("C|:D::E:|", "CDDEE"),
        ("|:C|1D:|2E|]F:|", "CDCEFF"),
        ("P:A\nC:|\nP:B\nD|1E:|2F|]", "CCDEDFCC"),
    ],
)
def test_repeats_and_endings(music: str, letters: str) -> None:
    """Sections 3.1.9, 4.8 and 4.9."""
    text = f"X:1\nL:1/4\nP:ABA\nK:C\n{music}\n"
    assert "".join(letter for letter, _, _ in expanded(text)) == letters


# The corpus


@cache
def corpus() -> Path:
    from music21 import corpus as module

    return Path(str(module.getWork("nottingham-dataset/reelsa-c"))).parents[1]


def kind(text: str, reading: Callable[[], Reading]) -> str | None:
    head, _, body = text.partition("\nK:")
    if re.search(r"(?m)^\[?V:", body) and any("voices" in w.message for w in reading().warnings):
        return "voices"
    if re.search(r"\[(?!\d)[A-Ga-g0-9,/^_= ]*\n", body):
        return "cut chord"
    return "order of parts" if re.search(r"(?m)^P:[A-Z]{2}", head) else None


@cache
def chosen() -> dict[str, list[tuple[str, str, Reading]]]:
    """Every tune of a kind: its name, its text, and what we read."""
    found: dict[str, list[tuple[str, str, Reading]]] = {name: [] for name in HOW_MANY}
    for path in (path for folder in FOLDERS for path in sorted((corpus() / folder).glob("*.abc"))):
        book = decode(path.read_bytes())
        texts = re.split(r"(?m)^(?=X:)", book)[1:]
        for (tune, _), text in zip(tunes(path), texts, strict=True):
            read = cache(lambda book=book, path=path, tune=tune: loads(book, path.name, tune))
            if name := kind(text, read):
                found[name].append((f"{path.name}#{tune}", text, read()))
    return found


@pytest.mark.parametrize("name", HOW_MANY)
def test_the_order_is_that_of_the_other_reader(name: str) -> None:
    found = chosen()[name]
    assert len(found) == HOW_MANY[name]
    differing = [tune for tune, text, reading in found if played(reading.chart) != expanded(text)]
    assert not differing
