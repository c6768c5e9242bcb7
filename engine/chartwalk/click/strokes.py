"""Where the strokes of the click fall in a bar, and how strong they are.

The first beat of a bar is the strongest, then the first of each other group (5/4 as 3+2), then the
other beats, then what lies between them. Strokes on the backbeat are those of the even beats; in a
bar of three they are 2 and 3 (common practice, no source).
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import IntEnum
from fractions import Fraction
from functools import lru_cache, partial
from math import ceil
from typing import Final

from chartwalk.chart import Bar
from chartwalk.click.style import Beats, Between, ClickStyle
from chartwalk.meter import Meter

EIGHTH: Final = Fraction(1, 2)
QUARTER: Final = Fraction(1)


class Stress(IntEnum):
    """How strong a stroke is."""

    BETWEEN = 0
    BEAT = 1
    GROUP = 2
    FIRST = 3


@dataclass(frozen=True, slots=True)
class Stroke:
    """One stroke of the click, ``at`` quarter notes after the bar line."""

    at: Fraction
    stress: Stress


@dataclass(frozen=True, slots=True)
class _Frame:
    """What the strokes of a bar depend on."""

    length: Fraction
    lead_in: Fraction
    meter: Meter
    feel: str


def strokes(bar: Bar, style: ClickStyle) -> tuple[Stroke, ...]:
    """Return the strokes of a bar, in order."""
    return _strokes(_Frame(bar.length, bar.lead_in, bar.meter, bar.feel), style)


@lru_cache(maxsize=256)  # the bars of a song are nearly all alike
def _strokes(frame: _Frame, style: ClickStyle) -> tuple[Stroke, ...]:
    beats = _beats(frame, style)
    wanted = {at: stress for at, stress in beats.items() if _CHOSEN[style.beats](frame, at, stress)}
    between = _BETWEEN[style.between](frame, style)
    wanted |= {at: Stress.BETWEEN for at in between if at not in beats}
    return tuple(Stroke(at, wanted[at]) for at in sorted(wanted))


def counted(length: Fraction, meter: Meter, style: ClickStyle) -> tuple[Stroke, ...]:
    """Return the strokes of a bar that is counted in: every beat, whatever the run will have."""
    beats = _beats(_Frame(length, Fraction(0), meter, ""), style)
    return tuple(Stroke(at, stress) for at, stress in beats.items())


def swung(at: Fraction, ratio: Fraction) -> Fraction:
    """Return where a place lies once eighths swing, ``ratio`` to 1; only the offbeats move.

    >>> swung(Fraction(3, 2), Fraction(2)), swung(Fraction(5, 4), Fraction(2))
    (Fraction(5, 3), Fraction(5, 4))
    """
    return at // QUARTER + ratio / (ratio + 1) if at % QUARTER == EIGHTH else at


def swings(meter: Meter) -> bool:
    """Whether eighths can swing: where they halve the beat, or a quarter of it.

    >>> swings(Meter(4, 4)), swings(Meter(6, 8)), swings(Meter(7, 8))
    (True, False, False)
    """
    return not meter.compound and meter.unit <= 4


def _beats(frame: _Frame, style: ClickStyle) -> Mapping[Fraction, Stress]:
    meter, length, lead_in = frame.meter, frame.length, frame.lead_in
    groups = set(meter.group_places(length, lead_in, style.groups_of(meter.count)))
    return {
        at: Stress.FIRST if at + lead_in == 0 else Stress.GROUP if at in groups else Stress.BEAT
        for at in meter.beat_places(length, lead_in)
    }


def _even(frame: _Frame, at: Fraction, _: Stress) -> bool:
    beats, beat = frame.meter.beats, frame.meter.beat_at(at + frame.lead_in)
    return beats == 1 or beat % 2 == 0 or beats == beat == 3


_CHOSEN: Final[Mapping[Beats, Callable[[_Frame, Fraction, Stress], bool]]] = {
    Beats.EVERY: lambda _frame, _at, _stress: True,
    Beats.GROUPS: lambda _frame, _at, stress: stress >= Stress.GROUP,
    Beats.BACKBEAT: _even,
    Beats.BAR: lambda _frame, _at, stress: stress is Stress.FIRST,
}


def _every(frame: _Frame, step: Fraction) -> list[Fraction]:
    """Return the places of a bar that lie whole steps after its first beat."""
    first, end = ceil(frame.lead_in / step), ceil((frame.lead_in + frame.length) / step)
    return [step * number - frame.lead_in for number in range(first, end)]


def _eighths(frame: _Frame, style: ClickStyle, *, swing: bool = False) -> list[Fraction]:
    """Two to a quarter; in a compound meter of sixteenths, whose beat they do not divide, those."""
    if frame.meter.compound:
        return _every(frame, min(EIGHTH, frame.meter.beat / 3))
    places = _every(frame, EIGHTH) if frame.meter.beat > EIGHTH else []
    if not (swings(frame.meter) and (swing or frame.feel == "swing")):
        return places
    return [swung(at + frame.lead_in, style.swing) - frame.lead_in for at in places]


def _triplets(frame: _Frame, _: ClickStyle) -> list[Fraction]:
    """Three to a quarter; in a compound meter three to a beat, which its notes are already."""
    meter = frame.meter
    return _every(frame, (meter.beat if meter.compound else min(meter.beat, QUARTER)) / 3)


def _sixteenths(frame: _Frame, _: ClickStyle) -> list[Fraction]:
    return _every(frame, min(EIGHTH, frame.meter.beat) / 2)


_BETWEEN: Final[Mapping[Between, Callable[[_Frame, ClickStyle], list[Fraction]]]] = {
    Between.NOTHING: lambda _frame, _style: [],
    Between.EIGHTHS: _eighths,
    Between.SWUNG: partial(_eighths, swing=True),
    Between.TRIPLETS: _triplets,
    Between.SIXTEENTHS: _sixteenths,
}
