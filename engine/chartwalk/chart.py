"""The chart: one lead sheet as a value, ready to be walked, drawn and written.

Conventions
-----------
- Places and lengths inside a bar are exact fractions of a quarter note, from the bar line (0).
- Every bar carries the meter, key, tempo and feel in force, so it can be read by itself.
- A bar lasts as long as its meter says; only a pickup bar is shorter, and counts from the end.
- Segno, coda, repeat starts and endings act at the start of their bar; repeat ends, to coda, fine
  and the jumps act at its end (common engraving practice).
"""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from typing import Final

from chartwalk.chord import ChordSymbol
from chartwalk.key import Key
from chartwalk.meter import Meter
from chartwalk.pitch import Pitch

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


@dataclass(frozen=True, slots=True)
class Bar:
    """One written measure.

    ``number`` is what the page prints. No ``changes``: the chord before goes on. No ``tune``: a
    bar's rest (or a chart without a tune). ``words`` holds a tuple of syllables a verse, one for
    each sounded note that no tie leads into; the last verse is never empty. ``double`` is a double
    bar line at the end.
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

    def mark(self, *signs: Sign) -> RoadMark | None:
        """Return the first road mark of these kinds, or None."""
        return next((mark for mark in self.marks if mark.sign in signs), None)

    @property
    def lead_in(self) -> Fraction:
        """What a pickup bar lacks before its first note, in quarter notes; 0 in a full bar."""
        return self.meter.quarters - self.length

    def beat_at(self, at: Fraction) -> Fraction:
        """Return the beat the player counts, from 1, at a place in this bar.

        >>> Bar("0", length=Fraction(1), pickup=True).beat_at(Fraction(0))
        Fraction(4, 1)
        """
        return self.meter.beat_at(at + self.lead_in)

    def offset_of(self, beat: Fraction) -> Fraction:
        """Return the place in this bar of a beat the player counts."""
        return self.meter.offset_of(beat) - self.lead_in


@dataclass(frozen=True, slots=True)
class Section:
    """A named stretch of bars: Verse, Bridge; the name may be empty."""

    name: str
    bars: tuple[Bar, ...]


@dataclass(frozen=True, slots=True)
class Chart:
    """One lead sheet. ``voice`` is the singer's comfortable lowest and highest note."""

    title: str
    sections: tuple[Section, ...]
    credit: str = ""
    note: str = ""
    voice: tuple[Pitch, Pitch] | None = None

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


def sung(bar: Bar, entering_tie: bool = False) -> tuple[int, ...]:
    """Return the places in ``bar.tune`` of the notes that take a syllable, in order.

    Rests take none, nor do notes that a tie leads into (``entering_tie``: from the bar before).
    """
    places = []
    tied = entering_tie
    for place, note in enumerate(bar.tune):
        if note.pitch is not None and not tied:
            places.append(place)
        tied = note.tied
    return tuple(places)


def numbered(bars: int, pickups: frozenset[int] = frozenset()) -> list[str]:
    """Return the numbers a page prints: a pickup is 0, or the second half of the bar before it.

    >>> numbered(4, frozenset({0, 3}))
    ['0', '1', '2', '2']
    """
    numbers: list[str] = []
    count = 0
    for index in range(bars):
        count += index not in pickups
        numbers.append(str(count))
    return numbers
