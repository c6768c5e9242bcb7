"""Tempo steps: the marks of a metronome, with the goal among them."""

from fractions import Fraction
from typing import Final

MARKS: Final = (
    *range(20, 60, 2), *range(60, 72, 3), *range(72, 120, 4),
    *range(120, 144, 6), *range(144, 1000, 8),
)  # fmt: skip
"""The traditional steps of a mechanical metronome, from 40 to 208 (from memory), carried on at
both ends."""


def next_tempo(tempo: Fraction, up: bool, goal: Fraction) -> Fraction:
    """Return the next mark above or below a tempo in beats a minute; the goal counts as one.

    >>> next_tempo(Fraction(84), False, Fraction(84)), next_tempo(Fraction(80), True, Fraction(83))
    (Fraction(80, 1), Fraction(83, 1))
    """
    marks = sorted({*map(Fraction, MARKS), goal})
    if up:
        return next((mark for mark in marks if mark > tempo), tempo)
    return next((mark for mark in reversed(marks) if mark < tempo), tempo)
