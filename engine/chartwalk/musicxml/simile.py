"""Bars that are written as a sign to play the bars before again.

Source: MusicXML 4.0 ``measure-repeat``: its number says how many bars one sign repeats.
"""

from collections.abc import Sequence
from dataclasses import replace

from chartwalk.chart import Bar
from chartwalk.musicxml.elements import text_of, whole
from chartwalk.musicxml.measure import Measure


def simile(bars: Sequence[Bar], measures: Sequence[Measure]) -> tuple[Bar, ...]:
    """Fill the empty bars under a repeat-the-bar sign with chords and tune of the ones repeated."""
    filled: list[Bar] = []
    distance = 0
    for bar, measure in zip(bars, measures, strict=True):
        distance = _distance(measure, distance)
        source = filled[-distance] if 0 < distance <= len(filled) else None
        empty = not bar.changes and not bar.tune
        same = source is not None and empty and bar.length == source.length
        filled.append(
            replace(bar, changes=source.changes, tune=source.tune) if source and same else bar
        )
    return tuple(filled)


def _distance(measure: Measure, held: int) -> int:
    """Return how many bars back the sign in force points; 0 without one."""
    for item in measure.attributes:
        sign = item.element.find("measure-style/measure-repeat")
        if sign is not None:
            held = (whole(text_of(sign)) or 1) if sign.get("type") == "start" else 0
    return held
