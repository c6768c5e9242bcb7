"""How long each bar is: full, a pickup, the half of a split bar, or one with a meter of its own.

Real files hardly ever mark a short measure ``implicit`` (MusicXML 4.0 ``measure``), so its length
decides.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from chartwalk.meter import Meter
from chartwalk.musicxml.elements import text_of
from chartwalk.musicxml.measure import ZERO, Measure
from chartwalk.musicxml.notices import Notice
from chartwalk.musicxml.setting import Setting, meter_of

SPLITS: Final = frozenset({"light-light", "heavy-light", "light-heavy", "heavy-heavy"})


@dataclass(frozen=True, slots=True)
class Span:
    """A bar's meter and length, and whether it counts from the end."""

    meter: Meter
    length: Fraction
    pickup: bool = False


def usual_meter(
    measures: Sequence[Measure], settings: Sequence[Setting]
) -> tuple[Meter, tuple[Notice, ...]]:
    """Return the meter of bars before the first signature, if any: the first one, or 4/4.

    A file without any signature gets the meter that most of its bars fill.
    """
    stated = next((setting.meter for setting in settings if setting.meter), None)
    if stated:
        return stated, ()
    fitting = Counter(
        meter for measure in measures if (meter := meter_of(measure.length, 4)) is not None
    )
    meter = fitting.most_common(1)[0][0] if fitting else Meter()
    return meter, (Notice(f"there is no meter: {meter} is assumed"),)


def spans(
    measures: Sequence[Measure], settings: Sequence[Setting], usual: Meter
) -> tuple[tuple[Span, ...], tuple[Notice, ...]]:
    """Return every bar's length, and what had to be padded or cut."""
    found: list[Span] = []
    notices: list[Notice] = []
    first_half = ZERO  # the bar before, if it was short and no second half itself
    for bar, (measure, setting) in enumerate(zip(measures, settings, strict=True)):
        meter = setting.meter or usual
        length = measure.length
        short = 0 < length < meter.quarters
        fills = first_half > 0 and first_half + length == meter.quarters
        second = short and fills and (measure.implicit or _split(measures, bar))
        if not length or length == meter.quarters:
            span = Span(meter, meter.quarters)
        elif short and (bar == 0 or second):
            span = Span(meter, length, pickup=True)
        else:
            own = meter_of(length, meter.unit)
            span = Span(own or meter, length if own else meter.quarters)
            if not own:
                verb = "filled up" if short else "cut"
                notices.append(Notice(f"the bar's length fits no meter: {verb} to {meter}", bar))
        found.append(span)
        first_half = length if short and bar and not second else ZERO
    return tuple(found), tuple(notices)


def _split(measures: Sequence[Measure], bar: int) -> bool:
    """Whether a repeat sign or a double bar line stands before a bar."""
    before = [line.element for line in measures[bar - 1].barlines if not line.left]
    here = [line.element for line in measures[bar].barlines if line.left]
    return any(
        line.find("repeat") is not None or text_of(line, "bar-style") in SPLITS
        for line in before + here
    )
