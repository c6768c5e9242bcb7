"""Making the road of a real sheet one that can be walked.

Real files skip ending numbers, forget signs and leave goals without jumps. Each mend is a function
from the road marks of all bars to the same, with a notice of what it assumed; they are tried in
order, since each relies on what the ones before it have put right.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from chartwalk.mending.codas import CodaSign, leave_at_coda, place_codas
from chartwalk.mending.endings import close_endings, number_endings, restart_repeats
from chartwalk.mending.fine import find_fine, fine_by_repeat
from chartwalk.mending.jumps import (
    coda_after_leaving,
    drop_goals,
    find_coda,
    find_segno,
    one_goal,
    one_jump,
    repeat_or_jump,
)
from chartwalk.mending.marks import Marks, Mended
from chartwalk.mending.notices import Notice
from chartwalk.mending.repeats import drop_unclosed


@dataclass(frozen=True, slots=True)
class Road:
    """What the page shows: marks by bar, coda signs without a word, bars where an ending stops.

    ``worded`` are the codas among the marks, which words or signs in a text name.
    """

    marks: Marks
    codas: tuple[CodaSign, ...] = ()
    stops: frozenset[int] = frozenset()
    worded: tuple[CodaSign, ...] = ()


MENDS: Final[tuple[Callable[[Marks, Road], Mended], ...]] = (
    lambda marks, road: place_codas(marks, road.codas),
    lambda marks, road: leave_at_coda(marks, road.worded),
    lambda marks, _: number_endings(marks),
    lambda marks, _: close_endings(marks),
    lambda marks, road: restart_repeats(marks, road.stops),
    lambda marks, _: fine_by_repeat(marks),
    lambda marks, _: one_jump(marks),
    lambda marks, _: one_goal(marks),
    lambda marks, _: find_segno(marks),
    lambda marks, _: repeat_or_jump(marks),
    lambda marks, _: drop_unclosed(marks),
    lambda marks, _: find_fine(marks),
    lambda marks, _: coda_after_leaving(marks),
    lambda marks, _: find_coda(marks),
    lambda marks, _: drop_goals(marks),
)


def mended(road: Road) -> Mended:
    """Return the road marks of every bar after all mends, and what was assumed."""
    marks = road.marks
    if not (road.codas or any(marks)):
        return marks, ()  # no signs at all, as in most scores
    told: list[Notice] = []
    for mend in MENDS:
        marks, more = mend(marks, road)
        told += more
    return marks, tuple(told)
