"""Measures far too long to be counted: music written without bar lines, or with few.

Such a measure is counted off into measures of its meter; notes are tied over the lines that are
put in, and chords, words and signs stand where they stood. What acts at the end of a bar (MusicXML
4.0 ``sound``: ``dacapo``, ``fine``, ``tocoda``) goes to the measure that ends there.
"""

from bisect import bisect_right
from collections.abc import Callable, Iterable, Iterator, Sequence
from copy import copy
from dataclasses import dataclass, replace
from fractions import Fraction
from xml.etree.ElementTree import Element, SubElement

from chartwalk.mending.lengths import longest
from chartwalk.mending.marks import AT_END
from chartwalk.mending.notices import Notice
from chartwalk.meter import Meter
from chartwalk.musicxml.directions import directed
from chartwalk.musicxml.document import MAX_BARS
from chartwalk.musicxml.measure import Measure, Placed
from chartwalk.musicxml.setting import Setting


@dataclass(frozen=True, slots=True)
class CountedOff:
    """Measures that can be counted; ``starts`` are the places of those that begin on paper."""

    measures: tuple[Measure, ...]
    starts: tuple[int, ...]
    notices: tuple[Notice, ...] = ()

    def spread(self, elements: Sequence[Element]) -> Sequence[Element]:
        """Return an element for each measure: that of the paper, or what stands in a later part."""
        spread: list[Element | None] = [None] * len(self.measures)
        for start, element in zip(self.starts, elements, strict=True):
            spread[start] = element
        pairs = zip(spread, self.measures, strict=True)
        return [_within(measure) if element is None else element for element, measure in pairs]


def _within(measure: Measure) -> Element:
    within = Element("measure")
    placed = (measure.notes, measure.harmonies, measure.directions, measure.sounds)
    within.extend(item.element for items in placed for item in items)
    within.extend(line.element for line in measure.barlines)
    return within


def counted_off(
    measures: Sequence[Measure], settings: Sequence[Setting], usual: Meter
) -> CountedOff:
    """Return all measures, none overlong as long as the file is no longer than any music."""
    laid: list[Measure] = []
    starts: list[int] = []
    notices: list[Notice] = []
    for measure, setting in zip(measures, settings, strict=True):
        starts.append(len(laid))
        meter = setting.meter or usual
        pieces: Sequence[Measure] = (measure,)
        fits = len(laid) + measure.length / meter.quarters <= MAX_BARS
        if measure.length > longest(meter) and fits:
            message = f"a bar far too long: bars of {meter} are counted off"
            notices.append(Notice(message, len(laid)))
            pieces = _divided(measure, meter.quarters)
        laid += pieces
    return CountedOff(tuple(laid), tuple(starts), tuple(notices))


def _divided(measure: Measure, quarters: Fraction) -> Sequence[Measure]:
    """Return a measure in pieces of a length; the last may be shorter.

    The first keeps the printed number, the others add their own to it: 7, 7.2, 7.3.
    """
    count = -(-measure.length // quarters)
    starts = [quarters * place for place in range(count)]
    cut = _Cut(starts)
    notes = cut.spread(measure.notes, cut.note)
    harmonies = cut.spread(measure.harmonies, cut.at_place)
    directions = cut.spread(measure.directions, cut.sign)
    sounds = cut.spread(measure.sounds, cut.sign)
    attributes = cut.spread(measure.attributes, cut.at_place)
    lefts = tuple(line for line in measure.barlines if line.left)
    rights = tuple(line for line in measure.barlines if not line.left)
    return [
        replace(
            measure,
            number=f"{measure.number}.{place + 1}" if place else measure.number,
            length=min(quarters, measure.length - start),
            notes=notes[place],
            harmonies=harmonies[place],
            directions=directions[place],
            sounds=sounds[place],
            attributes=attributes[place],
            barlines=lefts * (place == 0) + rights * (place == count - 1),
        )
        for place, start in enumerate(starts)
    ]


@dataclass(frozen=True, slots=True)
class _Cut:
    """Where the pieces of a measure start; it puts elements into them."""

    starts: Sequence[Fraction]

    def spread(
        self, items: Iterable[Placed], put: Callable[[Placed], Iterator[tuple[int, Placed]]]
    ) -> list[tuple[Placed, ...]]:
        """Return the elements of every piece, in the order of the file."""
        pieces: list[list[Placed]] = [[] for _ in self.starts]
        for item in items:
            for place, placed in put(item):
                pieces[place].append(placed)
        return [tuple(piece) for piece in pieces]

    def at_place(self, item: Placed) -> Iterator[tuple[int, Placed]]:
        """Put an element into the piece it stands in; what stands at a line comes after it."""
        place = self._piece(item.at)
        yield place, replace(item, at=item.at - self.starts[place])

    def sign(self, item: Placed) -> Iterator[tuple[int, Placed]]:
        """Put a direction into its piece, at a line before it if that is where it acts."""
        place = self._piece(item.at)
        if place and item.at == self.starts[place] and _acts_at_end(item):
            place -= 1
        yield place, replace(item, at=item.at - self.starts[place])

    def note(self, item: Placed) -> Iterator[tuple[int, Placed]]:
        """Put a note into its piece and what is left of it into the next ones."""
        place = self._piece(item.at)
        at, end = item.at, item.end
        while place + 1 < len(self.starts) and end > self.starts[place + 1]:
            line = self.starts[place + 1]
            yield place, self._part(item, place, at, line, last=False)
            place, at = place + 1, line
        yield place, self._part(item, place, at, end, last=True)

    def _part(self, item: Placed, place: int, at: Fraction, end: Fraction, *, last: bool) -> Placed:
        start = self.starts[place]
        element = _tied(item.element, first=at == item.at, last=last)
        return Placed(at - start, element, end - at, end - start)

    def _piece(self, at: Fraction) -> int:
        return bisect_right(self.starts, at) - 1


def _acts_at_end(item: Placed) -> bool:
    alone = Measure("", directions=(item,))
    return any(sign in AT_END for sign, _ in directed(alone))


def _tied(note: Element, *, first: bool, last: bool) -> Element:
    """Return a part of a note that bar lines cut: tied to the others, sung first and held last."""
    if first and last:
        return note
    part = copy(note)
    if not first:
        for lyric in part.findall("lyric"):
            part.remove(lyric)
        SubElement(part, "tie", type="stop")
    if not last:
        for notations in part.findall("notations"):
            if notations.find("fermata") is not None:
                part.remove(notations)
        SubElement(part, "tie", type="start")
    return part
