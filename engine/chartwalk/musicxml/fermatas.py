"""Where the music is held: fermatas on notes and rests, on bar lines, and drawn above the staff.

Sources: MusicXML 4.0 ``fermata`` (in ``notations`` and in ``barline``) and ``symbol`` (a sign by
its SMuFL name; those of the fermatas are fermataAbove, fermataShortBelow and so on).
"""

from collections.abc import Sequence, Set
from fractions import Fraction
from typing import Final
from xml.etree.ElementTree import Element

from chartwalk.chart import Change, Note
from chartwalk.mending.fermatas import last_begun
from chartwalk.mending.notices import Notice
from chartwalk.musicxml.measure import Measure
from chartwalk.musicxml.tune import Voice, lead_notes

TAGS: Final = frozenset({"fermata", "symbol"})
Held = tuple[tuple[Fraction, ...], ...]


def fermatas(
    tags: Sequence[Set[str]],
    laid: Sequence[Measure],
    voice: Voice,
    tunes: Sequence[tuple[Note, ...]],
    changes: Sequence[tuple[Change, ...]],
) -> tuple[Held, tuple[Notice, ...]]:
    """Return the places of every bar's fermatas, in order, and what is told of others.

    ``tags`` are the kinds of elements in each measure, ``tunes`` and ``changes`` those of the
    bars: a fermata on a bar line is one on the last note or chord before it.
    """
    held: list[set[Fraction]] = [set() for _ in laid]
    notices: list[Notice] = []
    for index, measure in enumerate(laid):
        if tags[index].isdisjoint(TAGS):
            continue
        places = held[index]
        places.update(item.at for item in measure.directions if is_drawn(item.element))
        for line in measure.barlines:
            before = index - line.left
            if line.element.find("fermata") is not None and before >= 0:
                held[before].add(last_begun(tunes[before], changes[before]))
        marked = [item for item in measure.notes if is_held(item.element)]
        read = {id(item) for item in lead_notes(measure, voice)} if marked else ()
        ends = {item.end for item in marked if id(item) in read}
        places.update(item.at for item in marked if id(item) in read)
        if any(item.end not in ends for item in marked):
            notices.append(Notice("fermatas on notes that are not read are left out", index))
    return tuple(tuple(sorted(places)) for places in held), (*notices[:1],)


def is_held(note: Element) -> bool:
    """Whether a fermata stands on a note or rest, of any shape."""
    notations = note.findall("notations")
    return any(notation.find("fermata") is not None for notation in notations)


def is_drawn(direction: Element) -> bool:
    """Whether a direction draws a fermata, of any shape."""
    symbols = direction.iterfind("direction-type/symbol")
    return any((symbol.text or "").strip().startswith("fermata") for symbol in symbols)
