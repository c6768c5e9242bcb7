"""Tempo steps: the marks of a metronome, with the goal among them."""

from bisect import bisect_left, bisect_right
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
    if up:
        above = bisect_right(MARKS, tempo)
        marks = (*map(Fraction, MARKS[above : above + 1]), *([goal] if goal > tempo else []))
        return min(marks, default=tempo)
    below = bisect_left(MARKS, tempo)
    marks = (*map(Fraction, MARKS[max(0, below - 1) : below]), *([goal] if goal < tempo else []))
    return max(marks, default=tempo)
