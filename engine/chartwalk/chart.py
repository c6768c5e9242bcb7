"""The chart: one lead sheet as a value, ready to be walked, drawn and written.

Conventions
-----------
- Places and lengths inside a bar are exact fractions of a quarter note, from the bar line (0).
- Every bar carries the meter, key, tempo and feel in force, so it can be read by itself.
- A bar lasts as long as its meter says; only a pickup bar is shorter, and counts from the end.
- Segno, coda, repeat starts and endings act at the start of their bar; repeat ends, to coda, fine
  and the jumps act at its end (common engraving practice).
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from itertools import chain
from math import lcm
from typing import Final

from chartwalk.chord import ChordSymbol
from chartwalk.key import Key
from chartwalk.meter import Meter
from chartwalk.pitch import Pitch

SLOWEST: Final = 1
FASTEST: Final = 999
FEELS: Final = ("straight", "swing")
MOST_TIMES: Final = 99
FINEST: Final = 10**60  # a number with more digits is no music and can not be written
DEFAULT_TEMPO: Final = Fraction(96)  # beats a minute, where a chart gives none


class Sign(Enum):
    """The kinds of road marks; the values are their words in a `.lead` file."""

    REPEAT_START = "|:"
    REPEAT_END = ":|"
    ENDING = "ending"
    SEGNO = "segno"
    CODA = "coda"
    TO_CODA = "to coda"
    FINE = "fine"
    DC = "dc"
    DS = "ds"
    DC_AL_FINE = "dc al fine"
    DS_AL_FINE = "ds al fine"
    DC_AL_CODA = "dc al coda"
    DS_AL_CODA = "ds al coda"

    @property
    def words(self) -> str:
        """The sign as it is printed: D.S. al Coda, Fine, To Coda."""
        return _PRINTED.get(self, self.value)


_PRINTED: Final = {
    Sign.SEGNO: "Segno", Sign.CODA: "Coda", Sign.TO_CODA: "To Coda", Sign.FINE: "Fine",
    Sign.DC: "D.C.", Sign.DS: "D.S.",
    Sign.DC_AL_FINE: "D.C. al Fine", Sign.DS_AL_FINE: "D.S. al Fine",
    Sign.DC_AL_CODA: "D.C. al Coda", Sign.DS_AL_CODA: "D.S. al Coda",
}  # fmt: skip

_ORDER: Final = {sign: place for place, sign in enumerate(Sign)}
_NUMBER: Final = re.compile(r"[^\s,|\x00-\x1f\x7f-\x9f]+")
_CONTROL: Final = re.compile(r"[\x00-\x1f\x7f-\x9f]")  # they would steer the terminal
_LEADING: Final = re.compile(r"\d{1,9}")
JUMPS: Final = frozenset(sign for sign in Sign if sign.value.startswith(("dc", "ds")))
"""The signs that send the player back: D.C. and D.S., plain, al Fine and al Coda."""


@dataclass(frozen=True, slots=True)
class RoadMark:
    """A repeat sign, an ending, or a jump and its goals.

    ``passes`` are the passes an ending serves, from 1; ``times`` is how often the bars before a
    closing repeat sign are played in all (2 unless written; 0 leaves them out: MusicXML 4.0
    ``times``); ``after_jump`` has the repeat taken after a D.C. or D.S. too (``after-jump``).
    """

    sign: Sign
    passes: tuple[int, ...] = ()
    times: int = 2
    after_jump: bool = False

    def __post_init__(self) -> None:
        if not all(1 <= number <= MOST_TIMES for number in self.passes):
            raise ValueError(f"passes count from 1 to {MOST_TIMES}")
        if not 0 <= self.times <= MOST_TIMES:
            raise ValueError(f"a repeat is played at most {MOST_TIMES} times")


@dataclass(frozen=True, slots=True)
class Change:
    """A chord symbol and its place: ``at`` quarter notes after the bar line."""

    at: Fraction
    symbol: ChordSymbol


@dataclass(frozen=True, slots=True)
class Note:
    """A note of the tune, or a rest (``pitch`` None), ``length`` quarter notes long.

    ``tied`` joins it to the next note, also across the bar line.
    """

    pitch: Pitch | None
    length: Fraction
    tied: bool = False


@dataclass(frozen=True, slots=True)
class Syllable:
    """What is sung on one note: ``joined`` to the next by a hyphen; empty text holds over."""

    text: str
    joined: bool = False

    def __post_init__(self) -> None:
        text = self.text
        spaced = text != "".join(text.split()) or _CONTROL.search(text)
        if spaced or "|" in text or text == "_":
            raise ValueError(f"{text!r} can't be sung on one note")
        if (self.joined and not text) or text.endswith("-"):
            raise ValueError("a hyphen joins one syllable to the next: use joined")


@dataclass(frozen=True, slots=True)
class Bar:
    """One written measure.

    ``number`` is what the page prints. No ``changes``: the chord before goes on. No ``tune``: a
    bar's rest (or a chart without a tune). ``words`` holds a tuple of syllables a verse, one for
    each sounded note that no tie leads into; the last verse is never empty. ``double`` is a double
    bar line at the end. ``fermatas`` are the places of notes or chords that are held longer than
    written, in quarter notes after the bar line.
    """

    number: str
    meter: Meter = Meter()
    key: Key = Key()
    tempo: Fraction = DEFAULT_TEMPO
    feel: str = "straight"
    length: Fraction = Fraction(4)
    pickup: bool = False
    changes: tuple[Change, ...] = ()
    tune: tuple[Note, ...] = ()
    words: tuple[tuple[Syllable, ...], ...] = ()
    marks: tuple[RoadMark, ...] = ()
    double: bool = False
    fermatas: tuple[Fraction, ...] = ()

    def __post_init__(self) -> None:
        object.__setattr__(self, "marks", tuple(sorted(self.marks, key=_sign_order)))
        if problem := _unsound(self):
            raise ValueError(f"bar {self.number}: {problem}")

    def mark(self, *signs: Sign) -> RoadMark | None:
        """Return the first road mark of these kinds, or None."""
        return next((mark for mark in self.marks if mark.sign in signs), None)

    @property
    def lead_in(self) -> Fraction:
        """What a pickup bar lacks before its first note, in quarter notes; 0 in a full bar."""
        return self.meter.quarters - self.length

    def beat_at(self, at: Fraction) -> Fraction:
        """Return the beat the player counts, from 1, at a place in this bar.

        >>> rest = Note(None, Fraction(1))
        >>> Bar("0", length=Fraction(1), pickup=True, tune=(rest,)).beat_at(Fraction(0))
        Fraction(4, 1)
        """
        return self.meter.beat_at(at + self.lead_in)

    def offset_of(self, beat: Fraction) -> Fraction:
        """Return the place in this bar of a beat the player counts."""
        return self.meter.offset_of(beat) - self.lead_in


def _sign_order(mark: RoadMark) -> int:
    return _ORDER[mark.sign]


def _unsound(bar: Bar) -> str | None:
    """Say what in a bar contradicts the conventions; None in a sound bar.

    Every bar of every chart comes through here, so fractions are compared by their whole numbers.
    """
    return next(chain(_wrong_setting(bar), _wrong_music(bar), _wrong_marks(bar)), None)


def _wrong_setting(bar: Bar) -> Iterator[str]:
    full, tempo = bar.meter.quarters, bar.tempo
    if not _NUMBER.fullmatch(bar.number):
        yield "a bar number has no spaces, commas or bar lines"
    if bar.pickup and not 0 < bar.length < full:
        yield "a pickup is shorter than a bar"
    if not bar.pickup and bar.length != full:
        yield f"a bar of {bar.meter} has {full} quarters"
    if bar.pickup and not bar.tune:
        yield "a pickup needs notes or rests for its length"
    if not SLOWEST * tempo.denominator <= tempo.numerator <= FASTEST * tempo.denominator:
        yield f"a tempo is {SLOWEST} to {FASTEST} beats a minute"
    if max(tempo.numerator, tempo.denominator) >= FINEST:
        yield "a tempo finer than can be written"
    if bar.feel not in FEELS:
        yield f"a feel is {' or '.join(FEELS)}"


def _wrong_music(bar: Bar) -> Iterator[str]:
    places = [change.at for change in bar.changes]
    if any(note.length.numerator <= 0 for note in bar.tune):
        yield "a note without length"
    if bar.tune and total_length(bar.tune) != bar.length:
        yield "the tune does not fit"
    if len(places) > 1 and places != sorted(set(places)):
        yield "changes out of order"
    if list(bar.fermatas) != sorted(set(bar.fermatas)):
        yield "fermatas out of order"
    if any(not 0 <= at < bar.length for at in bar.fermatas):
        yield "a fermata outside the bar"
    if places and not (places[0].numerator >= 0 and places[-1] < bar.length):
        yield "a change outside the bar"
    if bar.words:
        notes = len(sung(bar))
        limited = notes or (bar.tune and not bar.pickup)  # a pickup without a tune may have words
        if limited and any(len(verse) > notes for verse in bar.words):
            yield "more syllables than notes"
        if not bar.words[-1]:
            yield "an empty last verse"


def _wrong_marks(bar: Bar) -> Iterator[str]:
    if any(mark.sign is Sign.ENDING and not mark.passes for mark in bar.marks):
        yield "an ending serves at least one pass"
    if bar.double and bar.mark(Sign.REPEAT_END):
        yield "a repeat sign is no double bar too"
    if len({mark.sign for mark in bar.marks}) < len(bar.marks):
        yield "a road mark twice"


def total_length(notes: Sequence[Note]) -> Fraction:
    """Return how long notes last one after the other, in quarter notes.

    >>> str(total_length([Note(None, Fraction(1, 3)), Note(None, Fraction(1, 2))]))
    '5/6'
    """
    whole = lcm(*(note.length.denominator for note in notes))
    parts = (note.length.numerator * (whole // note.length.denominator) for note in notes)
    return Fraction(sum(parts), whole)


@dataclass(frozen=True, slots=True)
class Section:
    """A named stretch of bars: Verse, Bridge; the name may be empty."""

    name: str
    bars: tuple[Bar, ...]

    def __post_init__(self) -> None:
        if not self.bars:
            raise ValueError("a section has at least one bar")
        _check_line("a section's name", self.name)


@dataclass(frozen=True, slots=True)
class Chart:
    """One lead sheet. ``voice`` is the singer's comfortable lowest and highest note."""

    title: str
    sections: tuple[Section, ...]
    credit: str = ""
    note: str = ""
    voice: tuple[Pitch, Pitch] | None = None

    def __post_init__(self) -> None:
        if not self.title:
            raise ValueError("a chart has a title")
        _check_line("a title", self.title)
        _check_line("a credit", self.credit)
        for line in self.note.split("\n"):
            _check_line("a line of the note", line)

    @property
    def bars(self) -> tuple[Bar, ...]:
        """Every bar, as written from start to end."""
        return tuple(bar for section in self.sections for bar in section.bars)

    def section_starts(self) -> Iterator[tuple[int, Section]]:
        """Yield each section with the index of its first bar."""
        index = 0
        for section in self.sections:
            yield index, section
            index += len(section.bars)


def _check_line(what: str, text: str) -> None:
    if text != text.strip() or _CONTROL.search(text):
        raise ValueError(f"{what} is one line without spaces around it, not {text!r}")


def sung(bar: Bar, before: Bar | None = None) -> tuple[int, ...]:
    """Return the places in ``bar.tune`` of the notes that take a syllable, in order.

    Rests take none, nor do notes that a tie leads into; ``before`` is the bar before on paper,
    whose last note may be tied over the bar line.
    """
    places = []
    held = before.tune[-1] if before and before.tune else None
    for place, note in enumerate(bar.tune):
        tied = held is not None and held.tied and held.pitch == note.pitch
        if note.pitch is not None and not tied:
            places.append(place)
        held = note
    return tuple(places)


def carried_tempo(before: Bar, meter: Meter) -> Fraction:
    """Return the tempo of a bar that states none, in beats a minute of its own meter.

    The notes keep their lengths when the meter changes (common practice, no source): after 4/4 at
    120 a bar of 7/8 has 240 eighths a minute, and one of 6/8 has 80 dotted quarters.
    """
    tempo = before.tempo * before.meter.beat / meter.beat
    return max(Fraction(SLOWEST), min(Fraction(FASTEST), tempo))


def next_number(before: str | None, pickup: bool = False) -> str:
    """Return the number a page prints after the bar numbered ``before`` (None: the first bar).

    A pickup at the start is 0; later it is the second half of the bar before and repeats its
    number (common practice, no source).

    >>> next_number(None, pickup=True), next_number("0"), next_number("4", pickup=True)
    ('0', '1', '4')
    """
    if pickup:
        return before or "0"
    count = _LEADING.match(before or "")
    return str(int(count[0]) + 1) if count else "1"
