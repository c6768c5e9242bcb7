"""A chart as a score of one part."""

from collections.abc import Sequence
from math import lcm
from typing import Final
from xml.etree.ElementTree import Element

from chartwalk.chart import FINEST, Bar, Chart
from chartwalk.musicxml.out.head import PART, head
from chartwalk.musicxml.out.measure import Held, Laid, measure
from chartwalk.musicxml.out.notes import Voice, voices
from chartwalk.musicxml.out.road import stops
from chartwalk.musicxml.out.xml import node
from chartwalk.problems import ChartError, Problem

MOST_DIVISIONS: Final = 16_383
"""The most units of a quarter that all programs take (MusicXML 4.0 ``divisions``)."""


def score(chart: Chart) -> tuple[Element, tuple[Problem, ...]]:
    """Return the root element, and the bars that other programs may not be able to take.

    The chart is one that MusicXML can hold (`bounds.bounded`). Raises ChartError where a bar has
    lengths that no number of a file can hold.
    """
    laid = _laid(chart)
    shared = _shared_units(laid)
    held = Held()
    part = node("part", (measure(each, shared or each.units, held) for each in laid), id=PART)
    fine = tuple(
        Problem(
            f"lengths so fine that other programs may not take them ({each.units} to a quarter)",
            bar=each.bar.number,
            index=index,
        )
        for index, each in enumerate(laid)
        if each.units > MOST_DIVISIONS
    )
    return node("score-partwise", [*head(chart), part], version="4.0"), fine


def _laid(chart: Chart) -> list[Laid]:
    bars = chart.bars
    names = {index: section.name for index, section in chart.section_starts()}
    if not names[0]:
        del names[0]  # what has no name needs none until another section begins
    ends = stops(bars, [index for index, _ in chart.section_starts()])
    joined: dict[int, bool] = {}
    found = []
    for index, (bar, before) in enumerate(zip(bars, (None, *bars), strict=False)):
        parts = voices(bar, before, joined)
        units = _units(bar, parts)
        if units >= FINEST:
            message = "the lengths are too fine to be written as numbers"
            raise ChartError([Problem(message, bar=bar.number, index=index)])
        last = index + 1 == len(bars)
        found.append(Laid(bar, parts, units, names.get(index), ends.get(index), last))
    return found


def _units(bar: Bar, parts: Sequence[Voice]) -> int:
    """Return into how many units a quarter falls so that all places of a bar are whole numbers."""
    places = [each.value.length for voice in parts for each in voice]
    places += [change.at for change in bar.changes] + list(bar.fermatas)
    return lcm(bar.length.denominator, *(place.denominator for place in places))


def _shared_units(laid: Sequence[Laid]) -> int | None:
    """Return the units of a quarter that fit all bars; None where that are too many."""
    units = 1
    for each in laid:
        units = lcm(units, each.units)
        if units > MOST_DIVISIONS:
            return None
    return units
