"""How long each bar is: full, a pickup, the half of a split bar, or one with a meter of its own.

Real files hardly ever mark a short bar, so its length decides.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from chartwalk.mending.notices import Notice
from chartwalk.meter import UNITS, Meter


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
    first_half = Fraction(0)  # the bar before, if it was short and no second half itself
    for place, bar in enumerate(bars):
        meter, length = bar.meter, bar.length
        short = 0 < length < meter.quarters
        fills = first_half > 0 and first_half + length == meter.quarters
        second = short and fills and (bar.implicit or bar.split)
        if not length or length == meter.quarters:
            span = Span(meter, meter.quarters)
        elif short and (place == 0 or second or bar.leads_in):
            span = Span(meter, length, pickup=True)
        else:
            own = meter_of(length, meter.unit)
            span = Span(own or meter, length if own else meter.quarters)
            if own and not (bar.implicit or bar.split):
                count, quarters = (_quarters(each) for each in (length, meter.quarters))
                notices.append(
                    Notice(f"its notes last {count}, not {quarters}: read as a bar of {own}", place)
                )
            if not own:
                verb = "filled up" if short else "cut"
                message = f"the bar's length fits no meter: {verb} to {meter}"
                notices.append(Notice(message, place))
        found.append(span)
        first_half = length if short and place and not second else Fraction(0)
    return tuple(found), tuple(notices)


def _quarters(length: Fraction) -> str:
    return f"{length} quarter{'' if length == 1 else 's'}"


def meter_of(quarters: Fraction, unit: int) -> Meter | None:
    """Return the meter of a bar's length, counted in the given unit or the next finer that fits.

    >>> str(meter_of(Fraction(3), 4)), str(meter_of(Fraction(7, 2), 4)), meter_of(Fraction(1, 3), 4)
    ('3/4', '7/8', None)
    """
    for finer in UNITS:
        count = quarters * finer / 4
        if finer >= unit and count.denominator == 1:
            return Meter(int(count), finer) if 1 <= count <= 99 else None
    return None
