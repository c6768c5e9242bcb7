"""Palettes: the spelled notes a chord symbol asks for, and a plain way to lay them on keys."""

from dataclasses import dataclass
from typing import Final

from chartwalk.chord.degree import Degree
from chartwalk.pitch import Name, Pitch

LOWEST_OCTAVE: Final = 3  # the bass lies between C3 and B3
EXTENSIONS_FROM: Final = 8  # degrees from here on lie in the octave above


@dataclass(frozen=True, slots=True)
class Tone:
    """One note of a palette: its degree and its name, spelled by the degree."""

    degree: Degree
    name: Name

    @property
    def extension(self) -> bool:
        """Whether it lies beyond the seventh: 9, 11 or 13."""
        return self.degree.number >= EXTENSIONS_FROM


@dataclass(frozen=True, slots=True)
class Palette:
    """The notes of a chord in the order of their degrees, and the lowest note.

    ``bass`` is the note after the slash, or the root; None only where nothing is played (N.C.).
    """

    tones: tuple[Tone, ...] = ()
    bass: Name | None = None

    @property
    def names(self) -> tuple[Name, ...]:
        """The names alone, in the order of the degrees."""
        return tuple(tone.name for tone in self.tones)

    @property
    def bass_tone(self) -> Tone | None:
        """The tone whose key the bass plays; None where the bass is no note of the chord."""
        key = self.bass.pitch_class if self.bass else None
        return next((tone for tone in self.tones if tone.name.pitch_class == key), None)

    @property
    def keys(self) -> tuple[Pitch, ...]:
        """The palette on actual keys, the bass first, within C3 to B5.

        The bass lies in the octave from C3, the other notes close above it, 9th, 11th and 13th an
        octave higher, and all of them from low to high. It shows which keys the symbol names; how
        the hands would rather share them is another matter.
        """
        if self.bass is None:
            return ()
        bass = _in_octave(self.bass)
        above = [
            _above(bass, tone.name, tone.extension)
            for tone in self.tones
            if tone.name.pitch_class != self.bass.pitch_class
        ]
        return (bass, *sorted(above))


def _in_octave(name: Name) -> Pitch:
    """Return the pitch of that name whose key lies from C3 to B3 (C♭ and B♯ change octave)."""
    octaves = Pitch(name, LOWEST_OCTAVE).midi // 12 - (LOWEST_OCTAVE + 1)
    return Pitch(name, LOWEST_OCTAVE - octaves)


def _above(bass: Pitch, name: Name, extension: bool) -> Pitch:
    """Return the pitch of that name in the first octave above the bass, or in the second."""
    pitch = Pitch(name, bass.octave)
    octaves = (pitch.midi - bass.midi) // 12
    return Pitch(name, pitch.octave - octaves + extension)
