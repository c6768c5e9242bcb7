"""Making the road of a real sheet one that can be walked.

Real files skip ending numbers, forget signs and leave goals without jumps. Each mend is a function
from the road marks of all bars to the same, with a notice of what it assumed; they are tried in
order, since each relies on what the ones before it have put right.
"""

from collections.abc import Callable
from typing import Final

from chartwalk.musicxml.codas import place_codas
from chartwalk.musicxml.endings import close_endings, number_endings, restart_repeats
from chartwalk.musicxml.jumps import (
    coda_after_leaving,
    drop_goals,
    find_coda,
    find_fine,
    find_segno,
    one_goal,
    one_jump,
    repeat_or_jump,
)
from chartwalk.musicxml.marks import Marks, Mended
from chartwalk.musicxml.notices import Notice
from chartwalk.musicxml.repeats import drop_unclosed
from chartwalk.musicxml.road import Road

MENDS: Final[tuple[Callable[[Marks, Road], Mended], ...]] = (
    lambda marks, road: place_codas(marks, road.codas),
    lambda marks, _: number_endings(marks),
    lambda marks, _: close_endings(marks),
    lambda marks, road: restart_repeats(marks, road.stops),
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
    told: list[Notice] = []
    for mend in MENDS:
        marks, more = mend(marks, road)
        told += more
    return marks, tuple(told)
