"""Palettes: the spelled notes a chord symbol asks for, and a plain way to lay them on keys."""

from dataclasses import dataclass
from enum import Enum
from functools import lru_cache
from typing import Final

from chartwalk.chord.degree import Degree
from chartwalk.pitch import Name, Pitch

LOWEST_OCTAVE: Final = 3  # the bass lies between C3 and B3
EXTENSIONS_FROM: Final = 8  # degrees from here on lie in the octave above


class Use(Enum):
    """What players do with a note that a symbol holds."""

    PLAYED = "played"
    LEFT_OUT = "usually left out"
    CHOICE = "one of two to choose from"


ALTERED: Final = frozenset({Degree(5, -1), Degree(5, 1), Degree(9, -1), Degree(9, 1)})
"""Fifth and ninth both ways: what ``alt`` leaves open."""


@lru_cache(maxsize=1024)
def uses_of(chord: tuple[Degree, ...]) -> tuple[Use, ...]:
    """Say what players do with each degree of a chord.

    Where a natural 11th meets the major 3rd in a stack of thirds one of them goes: the 11th in a
    13 (Hutchinson, jazz chord symbols), the 3rd in an 11 (common practice, no source). Without a
    9th there is no stack: ``C7(11)`` is played whole. Of ``alt`` one fifth and one ninth are
    chosen.

    >>> eleventh = (Degree(1), Degree(3), Degree(5), Degree(7, -1), Degree(9), Degree(11))
    >>> [use.name for use in uses_of(eleventh)]
    ['PLAYED', 'LEFT_OUT', 'PLAYED', 'PLAYED', 'PLAYED', 'PLAYED']
    """
    numbers = {degree.number for degree in chord}
    uses = dict.fromkeys(chord, Use.PLAYED)
    if ALTERED.issubset(chord):
        uses |= dict.fromkeys(ALTERED, Use.CHOICE)
    if {Degree(3), Degree(11)}.issubset(chord) and {7, 9} <= numbers:
        uses[Degree(11) if 13 in numbers else Degree(3)] = Use.LEFT_OUT
    return tuple(uses[degree] for degree in chord)


@dataclass(frozen=True, slots=True)
class Tone:
    """One note of a palette: its degree, its name, spelled by the degree, and its use."""

    degree: Degree
    name: Name
    use: Use = Use.PLAYED

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
    def slashed(self) -> bool:
        """Whether the lowest note is another than the root."""
        return bool(self.tones) and self.bass != self.tones[0].name

    @property
    def usual(self) -> tuple[Tone, ...]:
        """The tones that are usually played: none left out, and of ``alt`` the raised ones.

        The choice of ♯5 and ♯9 is one of several references' (shown, not imposed: common practice,
        no source).
        """
        return tuple(
            tone
            for tone in self.tones
            if tone.use is Use.PLAYED or (tone.use is Use.CHOICE and tone.degree.alter > 0)
        )

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
        return self._laid_out(self.tones)

    @property
    def usual_keys(self) -> tuple[Pitch, ...]:
        """The `usual` tones on the same keys: what sounds when the chord is played."""
        return self._laid_out(self.usual)

    def _laid_out(self, tones: tuple[Tone, ...]) -> tuple[Pitch, ...]:
        if self.bass is None:
            return ()
        bass = _in_octave(self.bass)
        above = [
            _above(bass, tone.name, tone.extension)
            for tone in tones
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
