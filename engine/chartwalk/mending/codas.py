"""Coda signs without a word: which one lets leave, and which one lets land.

On most sheets To Coda is nothing but a coda sign: the first is where to leave, the second where to
land. One at the very start of a bar can be meant for the bar line before it or for the bar; it is
read as the bar line, with a warning.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from chartwalk.chart import JUMPS, RoadMark, Sign
from chartwalk.mending.marks import Marks, Mended, first, found, put
from chartwalk.mending.notices import Notice


@dataclass(frozen=True, slots=True)
class BareCoda:
    """A coda sign without a word: the bar at whose end it lets leave, and where it lets land.

    ``at_start`` tells that it stands at the very start of a bar, where only custom decides.
    """

    leave: int
    land: int
    at_start: bool


def place_codas(marks: Marks, codas: Sequence[BareCoda]) -> Mended:
    """Give every bare coda sign its meaning, and leave out those that have none."""
    if not codas:
        return marks, ()
    jump = next((bar for bar, _ in found(marks, *JUMPS)), None)
    if jump is None:
        return marks, (Notice("a coda sign without D.C. or D.S. is left out", codas[0].land),)
    rest = list({coda.land: coda for coda in reversed(codas)}.values())[::-1]
    notices: list[Notice] = []
    landings = [bar for bar, _ in found(marks, Sign.CODA)]
    alone = len(rest) == 1 and not landings
    if first(marks, Sign.TO_CODA) is None and not (alone and rest[0].land > jump):
        leaving = rest.pop(0)
        marks = put(marks, leaving.leave, RoadMark(Sign.TO_CODA))
        if leaving.at_start:
            message = "the coda sign at a bar's start is read as To Coda at the end of this bar"
            notices.append(Notice(message, leaving.leave))
    if not landings:
        within = [coda for coda in rest if coda.land < len(marks)]
        landing = next((coda for coda in within if coda.land > jump), None) or next(
            iter(within), None
        )
        if landing:
            marks = put(marks, landing.land, RoadMark(Sign.CODA))
            rest.remove(landing)
    notices += [Notice("one coda sign too many: left out", coda.leave) for coda in rest]
    return marks, tuple(notices)
