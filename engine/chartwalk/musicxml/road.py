"""The road signs of a part as they stand on the page, bar by bar.

Position: segno, coda, opening repeats and endings act at the start of a bar, so a sign written at a
bar's right end belongs to the next one; closing repeats, To Coda, Fine and the jumps act at the end
of the bar they stand in. Sources: MusicXML 4.0 ``repeat``, ``ending``, ``barline``, ``sound``
(``dacapo``, ``dalsegno``, ``segno``, ``tocoda``, ``coda``, ``fine``, ``forward-repeat``).
"""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Final
from xml.etree.ElementTree import Element

from chartwalk.chart import MOST_TIMES, RoadMark, Sign
from chartwalk.mending.codas import CodaSign
from chartwalk.mending.marks import Marks, with_all
from chartwalk.mending.mend import Road
from chartwalk.mending.passes import read_passes
from chartwalk.mending.words import times_word
from chartwalk.musicxml.directions import STARTING, directed
from chartwalk.musicxml.elements import direction_texts, text_of, whole
from chartwalk.musicxml.measure import Barline, Measure

_GOAL: Final = re.compile(r"\b(?:al|to)\b")


@dataclass(slots=True)
class _Sheet:
    """The road while it is read: ``count`` bars, and what was found on them."""

    count: int
    found: dict[tuple[int, Sign], RoadMark] = field(default_factory=dict)
    codas: list[CodaSign] = field(default_factory=list)
    worded: list[CodaSign] = field(default_factory=list)
    stops: set[int] = field(default_factory=set)

    def add(self, bar: int, mark: RoadMark) -> None:
        """Add a mark once; bars before the first or after the last do not exist."""
        if 0 <= bar < self.count:
            self.found.setdefault((bar, mark.sign), mark)


def road(measures: Sequence[Measure]) -> Road:
    """Return the road signs of a part."""
    sheet = _Sheet(len(measures))
    for bar, measure in enumerate(measures):
        for line in measure.barlines:
            _barline(sheet, bar, line)
        signs = directed(measure)
        for sign, at in signs:
            sheet.add(bar + (sign in STARTING and measure.at_end(at)), RoadMark(sign))
            if sign is Sign.CODA:
                sheet.worded.append(_coda(bar, measure, at))
        if not any(sign in (Sign.TO_CODA, Sign.CODA) for sign, _ in signs):
            _bare_codas(sheet, bar, measure)
    empty: Marks = ((),) * len(measures)
    marks = with_all(empty, _with_times(sheet.found, measures))
    return Road(marks, tuple(sheet.codas), frozenset(sheet.stops), tuple(sheet.worded))


def _bare_codas(sheet: _Sheet, bar: int, measure: Measure) -> None:
    """Add the coda signs of a bar where no word or sound explains them."""
    for item in measure.directions:
        bare = item.element.find("direction-type/coda") is not None
        if bare and not _draws_a_word(item.element):
            sheet.codas.append(_coda(bar, measure, item.at))


def _coda(bar: int, measure: Measure, at: Fraction) -> CodaSign:
    leave, land = (bar, bar + measure.at_end(at)) if at else (max(0, bar - 1), bar)
    return CodaSign(leave, land, not at)


def _draws_a_word(direction: Element) -> bool:
    """Whether a coda sign only draws a word of its own direction: D.S. al ⊕."""
    return any(_GOAL.search(text.lower()) for text in direction_texts(direction))


def _barline(sheet: _Sheet, bar: int, line: Barline) -> None:
    element = line.element
    start, end = (bar, bar - 1) if line.left else (bar + 1, bar)
    repeat, ending = element.find("repeat"), element.find("ending")
    if repeat is not None and repeat.get("direction") == "forward":
        sheet.add(start, RoadMark(Sign.REPEAT_START))
    elif repeat is not None and repeat.get("direction") == "backward":
        sheet.add(end, _closing(repeat))
    if ending is not None and ending.get("type") == "start":
        sheet.add(start, RoadMark(Sign.ENDING, _passes(ending)))
    elif ending is not None and end >= 0:
        sheet.stops.add(end)
    if element.find("segno") is not None or element.get("segno"):
        sheet.add(start, RoadMark(Sign.SEGNO))
    if element.get("coda"):
        sheet.add(start, RoadMark(Sign.CODA))
    elif element.find("coda") is not None:
        sheet.codas.append(CodaSign(max(0, end), start, line.left))


def _closing(repeat: Element) -> RoadMark:
    times = whole(repeat.get("times", ""))
    if times is None or not 0 <= times <= MOST_TIMES:
        times = 2
    return RoadMark(Sign.REPEAT_END, (), times, repeat.get("after-jump") == "yes")


def _passes(ending: Element) -> tuple[int, ...]:
    """Read the passes of an ending, its text where the number says nothing: 1, 2 or 1-3."""
    return read_passes(ending.get("number", "")) or read_passes(text_of(ending))


def _with_times(
    found: Mapping[tuple[int, Sign], RoadMark], measures: Sequence[Measure]
) -> Iterator[tuple[int, RoadMark]]:
    """Give closing repeats the number that words of their bar say: 3x, play 4 times."""
    for (bar, sign), mark in found.items():
        times = _written_times(measures[bar]) if sign is Sign.REPEAT_END else None
        yield bar, replace(mark, times=times) if times and mark.times == 2 else mark


def _written_times(measure: Measure) -> int | None:
    texts = (text for item in measure.directions for text in direction_texts(item.element))
    found = (times_word(text) for text in texts)
    return next((times for times in found if times), None)
