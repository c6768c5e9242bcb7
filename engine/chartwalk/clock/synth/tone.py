"""A struck string: what a key of the keyboard sounds like.

A tone is a sum of partials that die away, the high ones first. They lie a little sharp of the
multiples of the lowest, as those of a stiff string do: the square of partial n is n^2 (1 + B n^2)
(H. Fletcher 1964, Journal of the Acoustical Society of America 36:203); the lowest has the pitch of
equal temperament with A4 at 440 Hz (ISO 16). A hammer that strikes a seventh along the string
leaves the seventh partial out; low strings ring longer than high ones, and a harder blow is
brighter (common practice, no source, as are the figures).

A tone is not kept as samples: its partials at the start of a block times a table of how they go on
through a block give the block, however long the tone has rung.
"""

from dataclasses import dataclass
from functools import cache
from typing import Final, Protocol

import numpy as np
import numpy.typing as npt

from chartwalk.clock.synth import RATE

Samples = npt.NDArray[np.float32]

BLOCK: Final = 480  # the most samples that are asked for at once
A4_KEY: Final = 69
A4: Final = 440.0  # Hz
KEYS: Final = 128
LOUDEST: Final = 127  # MIDI 1.0, velocities

PARTIALS: Final = 16
HIGHEST: Final = 9_000.0  # Hz, of the partials above the first
STIFFNESS: Final = 1e-4  # B of middle C; twice that an octave higher
HAMMER: Final = 1 / 7  # of the string's length
SLOPE: Final = 1.1  # power of the partial's number by which it is softer
DULL: Final = 0.22  # by which each partial is softer than the one below where the blow is softest
MIDDLE_C: Final = 60
LONGEST: Final = 14.0  # seconds in which the lowest A of a piano falls by 60 dB
LOWEST_KEY: Final = 21
HALVING: Final = 26  # keys by which that time halves
FASTER: Final = 0.15  # more speed of decay for each partial
FALL: Final = 6.9078  # 60 dB, as a power of e
SPREAD: Final = 0.618  # turns between the phases of two partials, so that no peaks meet
ATTACK: Final = 96


class Sound(Protocol):
    """One note, struck once."""

    @property
    def length(self) -> int:
        """Samples until nothing is heard any more."""

    def samples(self, age: int, count: int) -> Samples:
        """Give the next ``count`` samples, ``BLOCK`` at most, of a sound ``age`` samples old."""


def frequency(key: int) -> float:
    """Return the frequency of a MIDI key in Hz, in equal temperament.

    >>> frequency(69), round(frequency(60), 3)
    (440.0, 261.626)
    """
    return float(A4 * 2 ** ((key - A4_KEY) / 12))


@dataclass(frozen=True, slots=True, eq=False)
class Tone:
    """A key at its loudest: for each partial its start and its way of a sample, complex numbers.

    ``table`` has a row of real parts for each partial, then one of imaginary parts for each.
    """

    length: int
    starts: npt.NDArray[np.complex128]
    ways: npt.NDArray[np.complex128]
    table: Samples

    def samples(self, age: int, count: int) -> Samples:
        """Give the next ``count`` samples, ``BLOCK`` at most, of a tone ``age`` samples old."""
        now = self.starts * np.exp(self.ways * age)
        parts = np.concatenate((now.real, now.imag)).astype(np.float32)
        samples: Samples = np.einsum("p,pn->n", parts, self.table[:, :count])
        if age < ATTACK:
            rise = _RISE[age : age + count]
            samples[: rise.size] *= rise
        return samples

    def struck(self, velocity: int) -> "Tone":
        """Return the tone of a blow of that velocity: as loud at its start, but not as bright."""
        softness = 1 - velocity / LOUDEST
        order = np.arange(self.starts.size)
        return Tone(
            self.length,
            _level(self.starts * np.exp(-DULL * softness * order)),
            self.ways,
            self.table,
        )


def _tone(key: int) -> Tone:
    """Compute the tone of a MIDI key."""
    lowest, stiffness = frequency(key), STIFFNESS * 2 ** ((key - MIDDLE_C) / 12)
    numbers = np.arange(1, PARTIALS + 1)
    pitches = lowest * numbers * np.sqrt((1 + stiffness * numbers**2) / (1 + stiffness))
    numbers = numbers[(numbers == 1) | (pitches < HIGHEST)]
    pitches = pitches[: numbers.size]
    seconds = LONGEST * 2 ** ((LOWEST_KEY - key) / HALVING)
    decays = FALL / seconds * (1 + FASTER * (numbers - 1))
    ways = (2j * np.pi * pitches - decays) / RATE
    starts = np.abs(np.sin(np.pi * HAMMER * numbers)) / numbers**SLOPE
    starts = _level(starts * np.exp(2j * np.pi * SPREAD * numbers))
    turns = np.exp(ways[:, np.newaxis] * np.arange(BLOCK))
    table = np.concatenate((turns.real, -turns.imag)).astype(np.float32)
    return Tone(round(seconds * RATE), starts, ways, table)


def _level(starts: npt.NDArray[np.complex128]) -> npt.NDArray[np.complex128]:
    """Scale partials so that their sum has a root mean square of 1."""
    scaled: npt.NDArray[np.complex128] = starts / np.sqrt(np.sum(np.abs(starts) ** 2) / 2)
    return scaled


_RISE: Final[Samples] = (0.5 - 0.5 * np.cos(np.pi * np.arange(ATTACK) / ATTACK)).astype(np.float32)


@cache
def tones() -> tuple[Tone, ...]:
    """Compute the tones of all keys, once: some 8 MB."""
    return tuple(_tone(key) for key in range(KEYS))
