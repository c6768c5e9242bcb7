"""The tempo of a bar in its own beats, where a file counts quarter notes a minute."""

from fractions import Fraction
from functools import lru_cache
from typing import Final

from chartwalk.chart import DEFAULT_TEMPO, FASTEST, SLOWEST
from chartwalk.meter import Meter

GRAIN: Final = 1000  # 133.33333 is 400/3


@lru_cache(maxsize=256)
def counted_in_beats(quarters: Fraction | None, meter: Meter, first: Meter) -> Fraction:
    """Return the beats a minute of a meter, within what a chart can hold.

    ``quarters`` is None where the file says nothing: the usual tempo, in beats of the ``first``
    meter.

    >>> counted_in_beats(Fraction(126), Meter(6, 8), Meter(6, 8))
    Fraction(84, 1)
    """
    tempo = ((quarters or DEFAULT_TEMPO * first.beat) / meter.beat).limit_denominator(GRAIN)
    return max(Fraction(SLOWEST), min(Fraction(FASTEST), tempo))
