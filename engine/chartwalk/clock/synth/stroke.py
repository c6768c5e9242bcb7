"""The strokes of the click: short sounds for the keys of General MIDI percussion it uses.

A stroke is a few modes that die away within a tenth of a second. Those of a wooden block are the
modes of a free bar, 1 : 2.756 : 5.404 (Fletcher & Rossing, The Physics of Musical Instruments,
section 2.15); the frequencies, levels and decays are ours. What rattles is a row of modes too
close and too uneven to be told apart.
"""

from dataclasses import dataclass
from functools import cache
from typing import Final

import numpy as np

from chartwalk.clock.synth import RATE
from chartwalk.clock.synth.tone import FALL, Samples

RISE: Final = 24  # samples of the attack

# Frequency in Hz, level, seconds in which it falls by 60 dB.
Mode = tuple[float, float, float]


@dataclass(frozen=True, slots=True, eq=False)
class Stroke:
    """One stroke as samples that reach 1."""

    wave: Samples

    @property
    def length(self) -> int:
        """Samples until nothing is heard any more."""
        return int(self.wave.size)

    def samples(self, age: int, count: int) -> Samples:
        """Give the next ``count`` samples of a stroke ``age`` samples old."""
        return self.wave[age : age + count]


def _bar(lowest: float, seconds: float) -> tuple[Mode, ...]:
    """Return the modes of a wooden bar."""
    return (
        (lowest, 1.0, seconds),
        (2.756 * lowest, 0.45, seconds / 2),
        (5.404 * lowest, 0.2, seconds / 4),
    )


def _rattle(lowest: float, highest: float, level: float, seconds: float) -> tuple[Mode, ...]:
    """Return a row of uneven modes."""
    spots = [(number * 0.618) % 1 for number in range(1, 25)]
    return tuple((lowest + (highest - lowest) * spot, level, seconds) for spot in spots)


SIDE_STICK: Final = 37
# General MIDI level 1 percussion map; 33 and 34 are of level 2.
MODES: Final[dict[int, tuple[Mode, ...]]] = {
    33: ((2_200.0, 1.0, 0.025), *_rattle(3_000, 7_000, 0.04, 0.012)),  # metronome click
    34: ((2_093.0, 1.0, 0.35), (5_650.0, 0.3, 0.15)),  # metronome bell
    SIDE_STICK: ((480.0, 0.8, 0.06), (1_730.0, 1.0, 0.04), *_rattle(2_000, 6_000, 0.08, 0.02)),
    42: _rattle(6_500, 12_500, 1.0, 0.07),  # closed hi-hat
    56: ((587.0, 1.0, 0.22), (871.0, 0.8, 0.2), (2_110.0, 0.3, 0.1)),  # cowbell
    75: _bar(2_480.0, 0.09),  # claves
    76: _bar(1_245.0, 0.1),  # high wood block
    77: _bar(830.0, 0.11),  # low wood block
}


def _stroke(modes: tuple[Mode, ...]) -> Stroke:
    pitches, levels, seconds = (
        np.array(column)[:, np.newaxis] for column in zip(*modes, strict=True)
    )
    time = np.arange(round(float(seconds.max()) * RATE)) / RATE
    wave = (levels * np.exp(-FALL / seconds * time) * np.sin(2 * np.pi * pitches * time)).sum(0)
    wave[:RISE] *= np.arange(RISE) / RISE
    return Stroke((wave / np.abs(wave).max()).astype(np.float32))


@cache
def strokes() -> dict[int, Stroke]:
    """Compute all strokes, once; a key that is not among them sounds as the side stick."""
    return {key: _stroke(modes) for key, modes in MODES.items()}
