"""Where the music is held: fermatas on notes and rests, on bar lines, and drawn above the staff.

Sources: MusicXML 4.0 ``fermata`` (in ``notations`` and in ``barline``) and ``symbol`` (a sign by
its SMuFL name; those of the fermatas are fermataAbove, fermataShortBelow and so on).
"""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Final
from xml.etree.ElementTree import Element

from chartwalk.chart import Bar
from chartwalk.mending.fermatas import last_begun
from chartwalk.mending.notices import Notice
from chartwalk.musicxml.measure import Measure
from chartwalk.musicxml.tune import Voice, lead_notes

TAGS: Final = ("fermata", "symbol")


def with_fermatas(
    bars: Sequence[Bar], elements: Sequence[Element], laid: Sequence[Measure], voice: Voice
) -> tuple[tuple[Bar, ...], tuple[Notice, ...]]:
    """Return the bars with the fermatas of a part, and what is told of others.

    A fermata on a bar line is one on the last note or chord before it.
    """
    held: dict[int, set[Fraction]] = defaultdict(set)
    notices: list[Notice] = []
    for index, (element, measure) in enumerate(zip(elements, laid, strict=True)):
        if not any(True for tag in TAGS for _ in element.iter(tag)):
            continue
        marked = [item for item in lead_notes(measure, voice) if is_held(item.element)]
        held[index] |= {item.at for item in marked}
        held[index] |= {item.at for item in measure.directions if is_drawn(item.element)}
        for line in measure.barlines:
            before = index - line.left
            if line.element.find("fermata") is not None and before >= 0:
                held[before].add(last_begun(bars[before].tune, bars[before].changes))
        ends = {item.end for item in marked}
        if any(item.end not in ends and is_held(item.element) for item in measure.notes):
            notices.append(Notice("fermatas on notes that are not read are left out", index))
    return tuple(_held(bar, held.get(index)) for index, bar in enumerate(bars)), (*notices[:1],)


def is_held(note: Element) -> bool:
    """Whether a fermata stands on a note or rest, of any shape."""
    notations = note.findall("notations")
    return any(notation.find("fermata") is not None for notation in notations)


def is_drawn(direction: Element) -> bool:
    """Whether a direction draws a fermata, of any shape."""
    symbols = direction.iterfind("direction-type/symbol")
    return any((symbol.text or "").strip().startswith("fermata") for symbol in symbols)


def _held(bar: Bar, places: set[Fraction] | None) -> Bar:
    inside = sorted(place for place in places or () if place < bar.length)
    return replace(bar, fermatas=tuple(inside)) if inside else bar
