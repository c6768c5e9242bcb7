"""What the companion can play along: the chords, the bass and the tune of one step.

The chords are struck where they change and at each bar line, on the keys that the Stand lights; the
bass plays their lowest note an octave below; the tune is played where it is written (common
practice, no source). Eighths swing where the sheet says so, but a quarter with shorter notes after
its offbeat goes straight. Notes that no MIDI key has are left out.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from enum import Enum
from fractions import Fraction
from typing import Final

from chartwalk.chart import Bar
from chartwalk.chord import ChordSymbol, Palette
from chartwalk.click import swings, swung
from chartwalk.clock.messages import KEYS
from chartwalk.song import Song
from chartwalk.tune import tune_of

OCTAVE: Final = 12
OFFBEAT: Final = Fraction(1, 2)  # of a quarter


class Part(Enum):
    """The parts of the guide; the values are the player's words."""

    CHORDS = "chords"
    BASS = "bass"
    TUNE = "tune"


@dataclass(frozen=True, slots=True)
class Voice:
    """How a part sounds: its MIDI channel (1 to 16), its program (1 to 128) and volume (0 to 127).

    The programs are those of General MIDI level 1, counted from 1 as they are printed; None leaves
    what the instrument has chosen.
    """

    channel: int
    program: int | None = None
    volume: int = 80

    def __post_init__(self) -> None:
        limits = ((self.channel, 1, 16), (self.program or 1, 1, 128), (self.volume, 0, 127))
        if not all(least <= value <= most for value, least, most in limits):
            raise ValueError(f"a part has a channel of 16, a program of 128, a volume: {self}")


VOICES: Final = {Part.CHORDS: Voice(2), Part.BASS: Voice(3), Part.TUNE: Voice(4)}
"""How the parts sound unless the player chose otherwise: channel 1 is left to the player's hands,
the others are pianos (General MIDI level 1)."""


@dataclass(frozen=True, slots=True)
class Guide:
    """The parts that play, and how each part sounds."""

    parts: frozenset[Part] = frozenset()
    voices: Mapping[Part, Voice] = field(default_factory=lambda: VOICES)

    def with_all(self) -> "Guide":
        """Return the guide with every part playing, if none plays."""
        return self if self.parts else Guide(frozenset(Part), self.voices)


@dataclass(frozen=True, slots=True)
class Heard:
    """A key of a part (MIDI number), ``at`` and ``length`` in quarter notes from the bar line.

    ``held`` says that it sounds since the bar before, ``on`` that it goes on in the bar after.
    """

    part: Part
    at: Fraction
    length: Fraction
    key: int
    held: bool = False
    on: bool = False


def heard(song: Song, step: int, part: Part, swing: Fraction = Fraction(2)) -> list[Heard]:
    """Return what a part plays in a step of the play order; ``swing`` is a ratio to 1."""
    bar = song.bars[song.steps[step].bar]
    notes = list(_tune(song, step) if part is Part.TUNE else _chords(song, step, part))
    return _swung(notes, bar, swing) if bar.feel == "swing" and swings(bar.meter) else notes


def _tune(song: Song, step: int) -> Iterator[Heard]:
    notes = tune_of(song, song.steps[step])
    for note in notes:
        if note.pitch is not None and note.pitch.midi in KEYS:
            held = note is notes[0] and _joined(song, step - 1)
            on = note is notes[-1] and _joined(song, step)
            yield Heard(Part.TUNE, note.at, note.length, note.pitch.midi, held, on)


def _joined(song: Song, step: int) -> bool:
    """Whether a tie leads out of a step into the next one, as they are played: over a jump too.

    What is printed before a bar may be another one than what is played before it.
    """
    if not 0 <= step < len(song.steps) - 1:
        return False
    tune, coming = (song.bars[song.steps[index].bar].tune for index in (step, step + 1))
    if not tune or not coming:
        return False
    last = tune[-1]
    return last.tied and last.pitch is not None and last.pitch == coming[0].pitch


def _chords(song: Song, step: int, part: Part) -> Iterator[Heard]:
    bar = song.bars[song.steps[step].bar]
    soundings = song.soundings[song.steps[step].bar]
    ends = [*(sounding.at for sounding in soundings[1:]), bar.length]
    for sounding, end in zip(soundings, ends, strict=True):
        symbol = sounding.symbol or _before(song, step)
        for key in _keys(symbol.palette, part) if symbol else ():
            yield Heard(part, sounding.at, end - sounding.at, key)


def _before(song: Song, step: int) -> ChordSymbol | None:
    """Return the chord that sounds when a step begins, where its bar holds none on paper."""
    played = (song.soundings[earlier.bar][-1].symbol for earlier in reversed(song.steps[:step]))
    return next((symbol for symbol in played if symbol), None)


def _keys(palette: Palette, part: Part) -> list[int]:
    keys = [pitch.midi for pitch in palette.usual_keys]
    return [key - OCTAVE for key in keys[:1]] if part is Part.BASS else keys


def _swung(notes: Sequence[Heard], bar: Bar, ratio: Fraction) -> list[Heard]:
    """Let the eighths of a part swing, but not in a quarter with notes after its offbeat."""
    lead = bar.lead_in
    edges = {edge + lead for note in notes for edge in (note.at, note.at + note.length)}
    straight = {edge // 1 for edge in edges if edge % 1 > OFFBEAT}
    places = {at: at if at // 1 in straight else swung(at, ratio) for at in edges}
    found = []
    for note in notes:
        start, end = (places[at + lead] - lead for at in (note.at, note.at + note.length))
        found.append(replace(note, at=start, length=end - start))
    return found
