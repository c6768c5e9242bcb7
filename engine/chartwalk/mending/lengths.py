"""How long each bar is: full, a pickup, the half of a split bar, or one with a meter of its own.

Real files hardly ever mark a short bar, so its length decides.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import Final

from chartwalk.mending.notices import Notice
from chartwalk.meter import UNITS, Meter

MOST_COUNTED: Final = 12
ZERO: Final = Fraction(0)


@dataclass(frozen=True, slots=True)
class Measured:
    """What decides a bar's length: how long its notes are, in quarter notes, and its meter.

    ``split`` tells that a repeat sign, an ending or a double bar line stands before it,
    ``implicit`` that the file itself says the bar is not counted, and ``leads_in`` that it is known
    to lead into the next bar.
    """

    length: Fraction
    meter: Meter
    split: bool = False
    implicit: bool = False
    leads_in: bool = False


@dataclass(frozen=True, slots=True)
class Span:
    """A bar's meter and length, and whether it counts from the end."""

    meter: Meter
    length: Fraction
    pickup: bool = False


def spans(bars: Iterable[Measured]) -> tuple[tuple[Span, ...], tuple[Notice, ...]]:
    """Return every bar's length, and what had to be padded or cut.

    >>> half = Measured(Fraction(2), Meter()), Measured(Fraction(2), Meter(), split=True)
    >>> [(str(span.meter), span.pickup) for span in spans((*half, *half))[0]]
    [('4/4', True), ('2/4', False), ('2/4', False), ('4/4', True)]
    """
    found: list[Span] = []
    notices: list[Notice] = []
    first_half = ZERO  # the bar before, if it was short and no second half itself
    for place, bar in enumerate(bars):
        meter, length, full = bar.meter, bar.length, bar.meter.quarters
        whole = not length or length == full
        short = not whole and length < full
        fills = short and first_half > 0 and first_half + length == full
        second = fills and (bar.implicit or bar.split)
        if whole:
            span = Span(meter, full)
        elif short and (place == 0 or second or bar.leads_in):
            span = Span(meter, length, pickup=True)
        else:
            own = meter_of(length, meter.unit)
            span = Span(own or meter, length if own else full)
            if own and (length > longest(meter) or not (bar.implicit or bar.split)):
                notices.append(Notice(_doubt(length, meter, own), place))
            if not own:
                verb = "filled up" if short else "cut"
                message = f"the bar's length fits no meter: {verb} to {meter}"
                notices.append(Notice(message, place))
        found.append(span)
        first_half = length if short and place and not second else ZERO
    return tuple(found), tuple(notices)


def _doubt(length: Fraction, meter: Meter, own: Meter) -> str:
    if length > longest(meter):
        return f"its notes last {_quarters(length)}, too many to count: bar lines are missing"
    return (
        f"its notes last {_quarters(length)}, not {_quarters(meter.quarters)}: "
        f"read as a bar of {own}"
    )


def _quarters(length: Fraction) -> str:
    return f"{length} quarter{'' if length == 1 else 's'}"


@lru_cache(maxsize=64)
def longest(meter: Meter) -> Fraction:
    """Return how long a bar can be, in quarter notes, and still be counted as one.

    A bar is counted by the notes of its meter's lower number, and the largest of the usual meters
    have twelve of them: 12/8, 12/4. Where twice the meter is more, that is the limit: one bar line
    left out makes such a bar. In a longer one bar lines must be missing (common practice, no
    source).

    >>> [str(longest(Meter(count, unit))) for count, unit in ((4, 4), (6, 8), (12, 8), (4, 2))]
    ['12', '6', '12', '24']
    """
    return max(Fraction(4 * MOST_COUNTED, meter.unit), 2 * meter.quarters)


def meter_of(quarters: Fraction, unit: int) -> Meter | None:
    """Return the meter of a bar's length, counted in the given unit or the next finer that fits.

    >>> str(meter_of(Fraction(3), 4)), str(meter_of(Fraction(7, 2), 4)), meter_of(Fraction(1, 3), 4)
    ('3/4', '7/8', None)
    """
    for finer in UNITS[UNITS.index(unit) :]:
        count = quarters * finer / 4
        if count.denominator == 1:
            return Meter(int(count), finer) if 1 <= count <= 99 else None
    return None
