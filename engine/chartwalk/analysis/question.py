"""What the worker is asked. Both questions hash, so that an answer is asked for once."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class NumeralQuestion:
    """The Roman numeral of a triad in a key.

    ``triad`` holds three pitches such as ``Bb4``, the root first and lowest; ``tonic`` and ``mode``
    are the key. ``secondary`` asks for the triad as the dominant of another chord of the key.
    """

    triad: tuple[str, str, str]
    tonic: str
    mode: str
    secondary: bool


@dataclass(frozen=True, slots=True)
class KeyQuestion:
    """How well each key fits the notes: pairs of a name and the quarter notes it sounds in all."""

    lengths: tuple[tuple[str, float], ...]


Question = NumeralQuestion | KeyQuestion
