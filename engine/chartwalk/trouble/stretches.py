"""Bars that belong together: stretches of the play order, short enough to be practised as one.

The rule: two marked bars belong together when one is played right after the other, be it the next
on paper or the landing of a jump. Neighbours on paper are joined first, from the start of the song
on, then jumps in the order they are taken. A stretch has four bars at most (a short phrase; common
practice, no source), each bar is in one stretch, and a stretch is played in one go somewhere in the
song. Neighbours on paper that never follow one another, such as the last bar of a first ending and
the first bar of the second, are no passage to practise and stay apart.
"""

from collections.abc import Collection, Sequence
from itertools import pairwise
from typing import Final

LONGEST: Final = 4


def stretches(marked: Collection[int], order: Sequence[int]) -> tuple[tuple[int, ...], ...]:
    """Return marked bars as stretches, each in the order it is played, sorted by its first bar.

    ``order`` is the play order; both hold indices of written bars. A bar that is never played
    stands alone.

    >>> stretches({1, 2, 5, 8}, range(10))
    ((1, 2), (5,), (8,))
    >>> stretches({0, 3}, [0, 1, 2, 3, 0, 1, 2, 4])
    ((3, 0),)
    >>> stretches(range(6), range(8))
    ((0, 1, 2, 3), (4, 5))
    """
    marked = frozenset(marked)
    steps = tuple(order)
    by_start: dict[int, tuple[int, ...]] = {bar: (bar,) for bar in marked}
    by_end = dict(by_start)
    links = dict.fromkeys(link for link in pairwise(steps) if marked.issuperset(link))
    for before, after in sorted(links, key=lambda link: link[1] != link[0] + 1):
        first, second = by_end.get(before), by_start.get(after)
        if first is None or second is None or first == second:
            continue
        joined = first + second
        if len(joined) <= LONGEST and find(joined, steps):
            del by_end[before], by_start[after]
            by_start[joined[0]] = by_end[joined[-1]] = joined
    return tuple(sorted(by_start.values()))


def find(stretch: Sequence[int], order: Sequence[int]) -> tuple[int, ...]:
    """Return the steps at which a stretch begins, in a play order as a tuple.

    >>> find((1, 2), (0, 1, 2, 3, 1, 2)), find((2, 0), (0, 1, 2))
    ((1, 4), ())
    """
    stretch, steps = tuple(stretch), tuple(order)
    starts = (place for place, bar in enumerate(steps) if bar == stretch[0])
    return tuple(place for place in starts if steps[place : place + len(stretch)] == stretch)


def played(span: tuple[int, int], count: int, order: Sequence[int]) -> tuple[int, ...]:
    """Return the bars that a pass played: ``count`` steps from the first bar of its span.

    Where the first bar comes several times, the place is taken from which the pass ends on the last
    bar of its span; where none fits, the first one. Empty where the bar is never played.

    >>> played((0, 3), 4, [0, 1, 2, 0, 1, 2, 3]), played((4, 5), 2, [0, 1])
    ((0, 1, 2, 3), ())
    """
    steps = tuple(order)
    first, last = span
    stretches = [steps[start : start + count] for start in find((first,), steps)]
    fitting = (bars for bars in stretches if len(bars) == count and bars and bars[-1] == last)
    return next(fitting, stretches[0] if stretches else ())
