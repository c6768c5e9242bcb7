"""Meters: how long a bar is and where its beats fall.

Lengths and places are exact fractions of a quarter note. The beat is the one that is felt:
the quarter in 4/4, the half in 2/2, the dotted quarter in 6/8, the dotted half in 6/4, one in 3/8
(Open Music Theory, meter; music21 10.5.1 ``beatCount`` for 3/8 and 6/4).
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from itertools import accumulate
from typing import Final, Self

_METER: Final = re.compile(r"([1-9]\d?(?:\+[1-9]\d?)*)/([1-9]\d?)")
UNITS: Final = (1, 2, 4, 8, 16, 32)
USUAL_GROUPS: Final = {5: (3, 2), 7: (2, 2, 3), 8: (3, 3, 2)}
"""How bars of 5, 7 and 8 are grouped where the sheet does not say; 5 and 7 have other groupings
that are as common (MSU open book, chapter 27; 8 in eighths or shorter only)."""


@dataclass(frozen=True, slots=True)
class Meter:
    """A time signature: ``count`` notes of the kind 1/``unit`` in a bar.

    ``groups`` are those the sheet writes (2+2+3/8); none where it writes a plain number.

    >>> Meter(6, 8).beats, Meter(6, 8).beat, Meter(4, 4).quarters
    (2, Fraction(3, 2), Fraction(4, 1))
    """

    count: int = 4
    unit: int = 4
    groups: tuple[int, ...] = ()

    def __post_init__(self) -> None:
        if not 1 <= self.count <= 99:
            raise ValueError(f"a bar holds 1 to 99 notes, not {self.count}")
        if self.unit not in UNITS:
            raise ValueError(f"the lower number of a meter is one of {UNITS}, not {self.unit}")
        if self.groups and (len(self.groups) < 2 or min(self.groups) < 1):
            raise ValueError(f"a bar has two groups or more, or none: {self.groups}")
        if self.groups and sum(self.groups) != self.count:
            raise ValueError(f"the groups {self.groups} do not make {self.count}")

    @classmethod
    def parse(cls, text: str) -> Self:
        """Read ``4/4``, ``6/8``, ``2+2+3/8``; raise ValueError on anything else."""
        match = _METER.fullmatch(text)
        if not match:
            raise ValueError(f"{text!r} is no meter: write it as 4/4, 6/8 or 3+2/4")
        return cls.grouped([int(count) for count in match[1].split("+")], int(match[2]))

    @classmethod
    def grouped(cls, counts: Sequence[int], unit: int) -> Self:
        """Return the meter of these groups; of one group, the plain meter."""
        return cls(sum(counts), unit, tuple(counts) if len(counts) > 1 else ())

    @property
    def quarters(self) -> Fraction:
        """The length of a full bar, in quarter notes."""
        return _part_of_whole(self.count, self.unit)

    @property
    def compound(self) -> bool:
        """Whether each beat falls into three: 6/8, 9/8, 12/8, 6/4, and 3/8 in one.

        Groups of other sizes (2+2+2/8, 4+2/8) make a simple meter of it.
        """
        threes = all(group % 3 == 0 for group in self.groups)
        return threes and self.count % 3 == 0 and (self.count > 3 or self.unit >= 8)

    @property
    def beat(self) -> Fraction:
        """The length of the felt beat, in quarter notes."""
        return _part_of_whole(3 if self.compound else 1, self.unit)

    @property
    def beats(self) -> int:
        """The felt beats of a full bar."""
        return int(self.quarters / self.beat)

    def beat_at(self, offset: Fraction) -> Fraction:
        """Return the beat number, from 1, at a place in quarter notes after the bar line.

        >>> Meter(6, 8).beat_at(Fraction(3, 2)), Meter(4, 4).beat_at(Fraction(5, 2))
        (Fraction(2, 1), Fraction(7, 2))
        """
        return offset / self.beat + 1

    def offset_of(self, beat: Fraction) -> Fraction:
        """Return the place of a beat number, in quarter notes after the bar line."""
        return (beat - 1) * self.beat

    def beat_places(self, length: Fraction, lead_in: Fraction = Fraction(0)) -> list[Fraction]:
        """Return where the felt beats of a bar fall, in quarter notes after its bar line.

        ``length`` is that of the bar; a pickup bar lacks its first ``lead_in`` quarters.

        >>> Meter(6, 8).beat_places(Fraction(3))
        [Fraction(0, 1), Fraction(3, 2)]
        >>> Meter(3, 4).beat_places(Fraction(3, 2), Fraction(3, 2))
        [Fraction(1, 2)]
        """
        beats = (self.beat * number - lead_in for number in range(self.beats))
        return [place for place in beats if 0 <= place < length]

    def group_places(
        self, length: Fraction, lead_in: Fraction = Fraction(0), groups: tuple[int, ...] = ()
    ) -> list[Fraction]:
        """Return where the groups of a bar begin, in quarter notes after its bar line.

        They are those the sheet writes, else ``groups`` if they fill the bar, else the usual ones
        of an asymmetric meter; a bar that falls into none is one group.

        >>> [str(place) for place in Meter(7, 8).group_places(Fraction(7, 2))]
        ['0', '1', '2']
        >>> [str(at) for at in Meter(5, 4).group_places(Fraction(5), groups=(2, 3))]
        ['0', '2']
        """
        wanted = self.groups or (groups if sum(groups) == self.count else self._usual_groups)
        starts = accumulate((0, *wanted[:-1]))
        places = (Fraction(4, self.unit) * start - lead_in for start in starts)
        return [place for place in places if 0 <= place < length]

    @property
    def _usual_groups(self) -> tuple[int, ...]:
        plain_eight = self.count == 8 and self.unit < 8
        return () if plain_eight else USUAL_GROUPS.get(self.count, ())

    def pulse_places(self, length: Fraction, lead_in: Fraction = Fraction(0)) -> list[Fraction]:
        """Return where the notes fall that a compound beat is made of; none in a simple meter.

        >>> [str(place) for place in Meter(6, 8).pulse_places(Fraction(3))]
        ['0', '1/2', '1', '3/2', '2', '5/2']
        """
        if not self.compound:
            return []
        notes = (Fraction(4, self.unit) * number - lead_in for number in range(self.count))
        return [place for place in notes if 0 <= place < length]

    def __str__(self) -> str:
        return f"{'+'.join(map(str, self.groups or (self.count,)))}/{self.unit}"


@cache  # every key press asks for some, hundreds of times
def _part_of_whole(count: int, unit: int) -> Fraction:
    """Return so many of a whole note's parts, in quarter notes."""
    return Fraction(4 * count, unit)
