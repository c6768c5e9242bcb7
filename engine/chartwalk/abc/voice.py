"""One voice of a tune while its music is read: notes into bars, signs to their places.

Source: ABC 2.1 chapter 4; section numbers stand at the methods. Accidentals hold to the end of the
bar for their letter in every octave, which is the default of ``propagate-accidentals`` (11.3).
"""

from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Final

from chartwalk.abc.barline import Barline
from chartwalk.abc.key import SIGNS
from chartwalk.abc.raw import RawBar, RawNote, RawSign
from chartwalk.chart import MOST_TIMES, Sign
from chartwalk.chord import ChordSymbol
from chartwalk.key import Key
from chartwalk.mending.marks import AT_END
from chartwalk.meter import Meter
from chartwalk.pitch import Name, Pitch

OCTAVES: Final = range(10)
SCOPES: Final = ("pitch", "octave", "not")
_TUPLETS: Final = {2: 3, 3: 2, 4: 3, 6: 2, 8: 3}
MOST_BARS: Final = 20_000
IMPLIED: Final = "the line before ends with a full bar: a bar line is taken to stand there"


@dataclass(slots=True)
class Force:
    """What is in force: ``unit`` in quarter notes, ``tempo`` in quarter notes a minute."""

    meter: Meter | None = None
    unit: Fraction = Fraction(1, 2)
    key: Key = Key()
    alters: dict[str, int] = field(default_factory=dict)
    octave: int = 0
    tempo: Fraction | None = None
    feel: str = "straight"
    scope: str = SCOPES[0]


class TooLongError(Exception):
    """A tune with more bars than any music has."""


class Voice:
    """A voice: its finished bars, the bar that is open, and what waits for the next note."""

    def __init__(self, name: str, force: Force) -> None:
        self.name = name
        self.force = replace(force, alters=dict(force.alters))
        self.bars: list[RawBar] = []
        self.bar = RawBar()
        self.lines: list[list[tuple[int, RawNote]]] = [[]]  # the notes of each line, for words
        self.sung = False  # whether words were given since the last line of music
        self.chords: list[ChordSymbol] = []
        self.signs: list[Sign | None] = []
        self.fermata = False
        self.part: str | None = None
        self.remarks: list[tuple[str, int, int]] = []  # what was assumed, with line and column
        self._accidentals: dict[tuple[str, int | None], tuple[int, int]] = {}
        self._held: tuple[str, int, int] | None = None  # letter, octave, alter of a tied note
        self._tuplet: tuple[Fraction, int] | None = None
        self._broken = Fraction(1)
        self._place = (0, 0)
        self._implied = False  # whether the bar before ended with its line, without a bar line

    @property
    def last(self) -> RawNote | None:
        """The note before, in the bar that is open."""
        return self.bar.notes[-1] if self.bar.notes else None

    def at(self, line: int, column: int) -> None:
        """Say where the next piece of music stands."""
        self._place = line, column

    # Notes

    def pitch(self, sign: str | None, letter: str, octaves: str) -> Pitch:
        """Return the pitch of a note as the bar and the key have it (4.1, 4.2)."""
        upper = letter.upper()
        octave = 4 + letter.islower() + octaves.count("'") - octaves.count(",") + self.force.octave
        octave = max(OCTAVES[0], min(OCTAVES[-1], octave))
        place = (upper, octave if self.force.scope == "octave" else None)
        held = self._held
        if sign is not None:
            alter = SIGNS[sign]
            if self.force.scope != "not":
                self._accidentals[place] = alter, octave
        elif held is not None and held[:2] == (upper, octave):
            alter = held[2]
        elif place in self._accidentals:
            alter, written = self._accidentals[place]
            if written != octave and alter != self.force.alters.get(upper, 0):
                message = f"{letter + octaves} takes the accidental of another octave in its bar"
                self.remarks.append((message, *self._place))
        else:
            alter = self.force.alters.get(upper, 0)
        return Pitch(Name(upper, alter), octave)

    def add(self, length: Fraction, pitch: Pitch | None, tied: bool = False) -> None:
        """Add a note, or a rest without a pitch, so many unit notes long (4.3 to 4.5, 4.13)."""
        self._open()
        length *= self.force.unit * self._broken
        self._broken = Fraction(1)
        if self._tuplet:
            factor, left = self._tuplet
            length *= factor
            self._tuplet = (factor, left - 1) if left > 1 else None
        note = RawNote(length, pitch, tied and pitch is not None, fermata=self.fermata)
        at = len(self.bar.notes)
        self.bar.chords += [(at, chord) for chord in self.chords]
        self.bar.signs += [RawSign(sign, at, at_end=False) for sign in self.signs]
        self.chords, self.signs, self.fermata = [], [], False
        self.bar.notes.append(note)
        self._held = (pitch.name.letter, pitch.octave, pitch.name.alter) if pitch and tied else None
        if pitch is not None:
            self.lines[-1].append((len(self.bars), note))

    def tie(self) -> bool:
        """Tie the note before to the next one (4.11); tell whether there is one."""
        note = self.last
        if note is None or note.pitch is None:
            return False
        note.tied = True
        self._held = (note.pitch.name.letter, note.pitch.octave, note.pitch.name.alter)
        return True

    def broken(self, signs: str) -> bool:
        """Lengthen the note before and shorten the next, or the reverse (4.4)."""
        note = self.last
        if note is None:
            return False
        short = Fraction(1, 2 ** min(len(signs), 9))
        before, after = (2 - short, short) if signs[0] == ">" else (short, 2 - short)
        note.length *= before
        self._broken = after
        return True

    def tuplet(self, notes: int, time: int | None, count: int | None) -> None:
        """Put so many notes into the time of others, for the next ``count`` notes (4.13)."""
        compound = self.force.meter is not None and self.force.meter.compound
        time = time or _TUPLETS.get(notes) or (3 if compound else 2)
        self._tuplet = Fraction(time, notes), count or notes

    def rest_bars(self, count: int) -> None:
        """Add bars of rest (4.5)."""
        quarters = self.force.meter.quarters if self.force.meter else Fraction(4)
        for left in range(count, 0, -1):
            self.add(quarters / self.force.unit, None)
            if left > 1:
                self.barline(Barline())

    # Bar lines and signs

    def barline(self, line: Barline) -> None:
        """End the bar that is open, or add to the bar line before (4.8).

        A fermata on a bar line is one on the last note before it (4.14).
        """
        if self.fermata and (self.bar.notes or self.bars):
            (self.bar if self.bar.notes else self.bars[-1]).hold_last()
            self.fermata = False
        if self.bar.notes:
            self.bar.signs += [RawSign(sign, len(self.bar.notes), True) for sign in self.signs]
            self.signs = []
            self._finish()
        elif self.bars:
            self._implied = False
            ending_here = [sign for sign in self.signs if sign in AT_END]
            before = self.bars[-1]
            before.signs += [RawSign(sign, len(before.notes), True) for sign in ending_here]
            self.signs = [sign for sign in self.signs if sign not in AT_END]
            if line.closes > 1:
                self._take_times(before)
        if self.bars:
            before = self.bars[-1]
            before.closes = max(before.closes, line.closes)
            before.double = before.double or line.double
        self.bar.opens = max(self.bar.opens, line.opens)
        self.bar.split = self.bar.split or line.divides

    def ending(self, passes: tuple[int, ...]) -> None:
        """Start an ending, in the middle of a bar too (4.9, 4.10).

        A number right after an opening repeat sign says how often the repeat is played.
        """
        if self.bar.notes:
            self.barline(Barline())
        elif self.bar.opens > 1 and len(passes) == 1 and passes[0] > 1:
            self.bar.opens = passes[0]
            return
        self.bar.ending = passes
        self.bar.split = True

    def times(self, count: int) -> None:
        """Say how often a repeat is played that ends with this bar."""
        self.bar.times = min(count, MOST_TIMES)

    def begin_part(self, name: str) -> None:
        """Start a part at the next bar."""
        self.part = name

    def end_line(self) -> None:
        """End the bar that is open where a line ends and the bar is full.

        In music without bar lines an accidental holds to the end of its line.
        """
        meter = self.force.meter
        length = self.bar.length
        if meter is not None and length and length == meter.quarters:
            self.barline(Barline())
            self._implied = True
        elif meter is not None and length > 2 * meter.quarters:
            self._accidentals = {}

    def new_line(self, joined: bool) -> None:
        """Begin a line of music, for the words; ``joined`` continues the line before."""
        if self.sung:
            self.lines, self.sung = [[]], False
        elif not joined:
            self.lines.append([])

    def end(self) -> None:
        """End the last bar."""
        if self.bar.notes:
            self.barline(Barline())
        elif self.bars:
            before = self.bars[-1]
            before.signs += [RawSign(sign, len(before.notes), True) for sign in self.signs]
            self.signs = []
            self._take_times(before)

    def _take_times(self, before: RawBar) -> None:
        """Give the bar before what words between its bar line and the next say of its repeat."""
        before.times, self.bar.times = before.times or self.bar.times, 0

    def _open(self) -> None:
        """Give a bar its place and what is in force when its first note comes."""
        if self.bar.notes:
            return
        if self._implied:
            self.remarks.append((IMPLIED, *self._place))
            self._implied = False
        bar, force = self.bar, self.force
        bar.line, bar.column = self._place
        bar.meter, bar.key, bar.tempo, bar.feel = force.meter, force.key, force.tempo, force.feel
        if self.part is not None:
            bar.part, self.part, bar.split = self.part, None, True

    def _finish(self) -> None:
        if len(self.bars) == MOST_BARS:
            raise TooLongError
        self.bars.append(self.bar)
        self.bar = RawBar()
        self._accidentals = {}
