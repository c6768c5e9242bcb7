"""Note values: how a length is drawn, as one note, as several tied ones, or in a tuplet.

Rules (common engraving practice; MusicXML 4.0 ``type``, ``dot``, ``time-modification``,
``tuplet``)
-----
- A length is one note value, plain or with one dot; another is cut into the largest such values,
  the small ones first where they lead to a stronger place in the bar.
- Lengths whose denominators are no powers of two are drawn in tuplets: 3 in the time of 2, 5 in
  that of 4, and so on. A tuplet lasts until the tune is back on the grid of the plain values.
- What no note value shows has none; its duration still tells how long it is.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache
from math import lcm
from typing import Final

from chartwalk.musicxml.measure import NOTE_TYPES

DRAWN: Final = tuple(sorted(
    ((length * (2 - Fraction(1, 2**dots)), name, dots)
     for name, length in NOTE_TYPES.items() for dots in (0, 1)),
    reverse=True,
))  # fmt: skip
"""The lengths that one note shows, in quarter notes, with its value and dots; longest first."""

LARGEST_TUPLET: Final = 63
"""The most notes in a tuplet that anybody draws."""


@dataclass(frozen=True, slots=True)
class Value:
    """One note as drawn: ``length`` is how long it sounds, in quarter notes.

    ``ratio`` is (3, 2) in a triplet; ``starts`` and ``stops`` say that a tuplet begins or ends
    here. ``name`` is empty where no note value shows the length.
    """

    length: Fraction
    name: str = ""
    dots: int = 0
    ratio: tuple[int, int] | None = None
    starts: bool = False
    stops: bool = False


def drawn(lengths: Sequence[Fraction], start: Fraction = Fraction(0)) -> list[list[Value]]:
    """Return how the notes of a bar are drawn, each as one value or several.

    ``start`` is the place in a full bar where they begin: more than 0 in a pickup.

    >>> [[(v.name, v.dots) for v in note] for note in drawn([Fraction(3), Fraction(5, 4)])]
    [[('half', 1)], [('quarter', 0), ('16th', 0)]]
    >>> [note[0].ratio for note in drawn([Fraction(2, 3), Fraction(1, 3), Fraction(1)])]
    [(3, 2), (3, 2), None]
    """
    result: list[list[Value]] = []
    at = start
    for group in _groups(lengths, start):
        notes = _group(group, at)
        at += sum(group)
        if notes[0][0].ratio:
            notes[0][0] = replace(notes[0][0], starts=True)
            notes[-1][-1] = replace(notes[-1][-1], stops=True)
        result += notes
    return result


def _groups(lengths: Sequence[Fraction], start: Fraction) -> Iterator[list[Fraction]]:
    """Yield the lengths from one place on the plain grid to the next one."""
    group: list[Fraction] = []
    at = start
    for length in lengths:
        group.append(length)
        at += length
        if _odd(at) == 1:
            yield group
            group = []
    if group:
        yield group


def _odd(place: Fraction) -> int:
    """Return the odd part of a denominator; 1 on the grid of the plain note values."""
    denominator = place.denominator
    return denominator // (denominator & -denominator)


def _group(lengths: Sequence[Fraction], at: Fraction) -> list[list[Value]]:
    actual = lcm(*map(_odd, lengths))
    if actual > LARGEST_TUPLET:
        return [[Value(length)] for length in lengths]
    normal = 1 << (actual.bit_length() - 1)
    ratio = (actual, normal) if actual > 1 else None
    scale = Fraction(actual, normal)
    origin, notes = at, []
    for length in lengths:
        place = at if ratio is None else (at - origin) * scale
        notes.append([
            Value(shown / scale, name, dots, ratio) if name else Value(length)
            for shown, name, dots in _pieces(length * scale, place)
        ])  # fmt: skip
        at += length
    return notes


@lru_cache(maxsize=4096)
def _pieces(length: Fraction, at: Fraction) -> tuple[tuple[Fraction, str, int], ...]:
    """Cut a length into note values, in the order that keeps to the strong places of the bar."""
    rest, pieces = length, []
    for value in DRAWN:
        while rest >= value[0]:
            pieces.append(value)
            rest -= value[0]
    if rest:
        return ((length, "", 0),)
    if _strength(at + pieces[-1][0]) > _strength(at):
        pieces.reverse()
    return tuple(pieces)


def _strength(place: Fraction) -> Fraction:
    """Return the largest power of two that a place is a multiple of; the bar line beats all."""
    if not place:
        return Fraction(2**9)
    return Fraction(place.numerator & -place.numerator, place.denominator)
