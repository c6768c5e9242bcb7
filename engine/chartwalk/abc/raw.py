"""What is gathered of a bar while its music is read."""

from dataclasses import dataclass, field
from fractions import Fraction
from itertools import accumulate

from chartwalk.chart import Sign, Syllable
from chartwalk.chord import ChordSymbol
from chartwalk.key import Key
from chartwalk.meter import Meter
from chartwalk.pitch import Pitch


@dataclass(slots=True)
class RawNote:
    """A note or a rest, with a fermata on it or without.

    ``words`` holds its syllable in each verse, None where it has none.
    """

    length: Fraction
    pitch: Pitch | None = None
    tied: bool = False
    words: list[Syllable | None] = field(default_factory=list)
    fermata: bool = False


@dataclass(slots=True)
class RawSign:
    """A road sign where it stands; ``sign`` is None in a coda sign without a word.

    ``before`` counts the notes before it in its bar; ``at_end`` tells that none follows.
    """

    sign: Sign | None
    before: int
    at_end: bool


@dataclass(slots=True)
class RawBar:
    """A bar as it is read, from one bar line to the next.

    ``meter`` is None in free meter; ``tempo`` is in quarter notes a minute; ``chords`` have the
    index of the note they stand on. ``opens`` and ``closes`` say how often a repeat is played that
    begins or ends here, 1 for none, and ``times`` what words say of it, 0 for nothing. ``part`` is
    the name of a part that begins here; ``split`` tells that a sign parts this bar from the one
    before.
    """

    line: int = 0
    column: int = 0
    meter: Meter | None = None
    key: Key = Key()
    tempo: Fraction | None = None
    feel: str = "straight"
    notes: list[RawNote] = field(default_factory=list)
    chords: list[tuple[int, ChordSymbol]] = field(default_factory=list)
    signs: list[RawSign] = field(default_factory=list)
    ending: tuple[int, ...] | None = None
    opens: int = 1
    closes: int = 1
    times: int = 0
    double: bool = False
    part: str | None = None
    split: bool = False

    @property
    def length(self) -> Fraction:
        """How long its notes are, in quarter notes."""
        return sum((note.length for note in self.notes), Fraction(0))

    @property
    def fermatas(self) -> tuple[Fraction, ...]:
        """Where the notes and rests begin that are held, in quarter notes after the bar line."""
        starts = accumulate((note.length for note in self.notes), initial=Fraction(0))
        return tuple(at for at, note in zip(starts, self.notes, strict=False) if note.fermata)

    def hold_last(self) -> None:
        """Put a fermata on the last note, a rest only where no note sounds."""
        sounding = (note for note in reversed(self.notes) if note.pitch is not None)
        next(sounding, self.notes[-1]).fermata = True

    @property
    def bare(self) -> bool:
        """Whether no sign of a road stands at it."""
        return self.opens == self.closes == 1 and self.ending is None and not self.signs
