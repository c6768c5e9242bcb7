"""Tap tempo: the tempo of a row of taps."""

from dataclasses import dataclass
from fractions import Fraction
from statistics import median
from typing import Final, Self

PAUSE: Final = 2.5  # seconds after which a tap begins a new row: slower than 24 a minute
LAST: Final = 6  # taps that count: the tempo a player settles into


@dataclass(frozen=True, slots=True)
class Taps:
    """The moments of the last taps, in seconds of any clock."""

    moments: tuple[float, ...] = ()

    def tap(self, now: float) -> Self:
        """Return the row with a tap now."""
        going_on = self.moments and 0 < now - self.moments[-1] <= PAUSE
        return type(self)((*self.moments[-LAST + 1 :], now) if going_on else (now,))

    @property
    def tempo(self) -> Fraction | None:
        """The taps a minute, whole, or None before the second one.

        The middle one of the intervals is taken, so that one tap off the beat changes little: taps
        spread by 2 to 5 % of the interval (Repp 2005, from memory).

        >>> Taps((10.0, 10.5, 11.0, 11.6, 12.1)).tempo
        Fraction(120, 1)
        """
        if len(self.moments) < 2:
            return None
        pairs = zip(self.moments, self.moments[1:], strict=False)
        return Fraction(round(60 / median(later - earlier for earlier, later in pairs)))
