"""Degrees: the notes of a chord counted from its root, in the root's major scale."""

from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from chartwalk.pitch import Interval, Name, accidental, natural_semitones

ORDINALS: Final = {1: "root", 2: "2nd", 3: "3rd"}


@dataclass(frozen=True, slots=True, order=True)
class Degree:
    """A degree: its number (1 the root, 7 the seventh, 13 ...) and its alteration in semitones.

    6, 9, 11 and 13 count in the root's major scale whatever the chord is, and so does 7: the plain
    7th is the major one and the seventh of ``C7`` is the ♭7 (Hutchinson, *Music Theory for the
    21st-Century Classroom*, jazz chord symbols).

    >>> Degree(7, -1).label, Degree(3).label, Degree(7, -1).ascii, Degree(1).ascii
    ('♭7', '3rd', 'b7', '1')
    """

    number: int
    alter: int = 0

    @property
    def interval(self) -> Interval:
        """The interval from the root up to this degree."""
        letters = self.number - 1
        return Interval(letters, natural_semitones(letters) + self.alter)

    @property
    def label(self) -> str:
        """The degree as a player says it: root, 3rd, ♭7."""
        if self.alter:
            return f"{accidental(self.alter)}{self.number}"
        return ORDINALS.get(self.number, f"{self.number}th")

    @property
    def ascii(self) -> str:
        """The degree as JSON has it: 1, 3, b7, #11."""
        return f"{accidental(self.alter, ascii_only=True)}{self.number}"


@lru_cache(maxsize=4096)
def spelled(root: Name, degree: Degree) -> Name:
    """Return the name of a degree of a root.

    >>> str(spelled(Name("B", -1), Degree(7, -1)))
    'A♭'
    """
    return root + degree.interval
