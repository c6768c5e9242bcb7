"""Coda signs that do not say To Coda: which one lets leave, and which one lets land.

On most sheets To Coda is nothing but a coda sign, or the word Coda: the first is where to leave,
the second where to land. One at the very start of a bar can be meant for the bar line before it or
for the bar; it is read as the bar line, with a warning.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from chartwalk.chart import JUMPS, RoadMark, Sign
from chartwalk.mending.marks import Marks, Mended, first, found, put, without
from chartwalk.mending.notices import Notice


@dataclass(frozen=True, slots=True)
class CodaSign:
    """A coda sign or its word: the bar at whose end it lets leave, and where it lets land.

    ``at_start`` tells that it stands at the very start of a bar, where only custom decides.
    """

    leave: int
    land: int
    at_start: bool


def place_codas(marks: Marks, codas: Sequence[CodaSign]) -> Mended:
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


def leave_at_coda(marks: Marks, worded: Sequence[CodaSign]) -> Mended:
    """Read the first Coda as To Coda where none stands, and another Coda follows the jump."""
    jump = next(found(marks, *JUMPS), None)
    leaving = next(iter(worded), None)
    if jump is None or leaving is None or jump[1].sign.value.endswith("fine"):
        return marks, ()
    landing = first(marks, Sign.CODA, jump[0] + 1)
    if first(marks, Sign.TO_CODA) is not None or landing is None or leaving.land > jump[0]:
        return marks, ()
    marks = put(without(marks, leaving.land, Sign.CODA), leaving.leave, RoadMark(Sign.TO_CODA))
    message = "the first of two Codas is read as To Coda at the end of this bar"
    return marks, (Notice(message, leaving.leave),)
