"""The minutes of a practice plan: blocks between pauses, and turns that change the song.

Sources: breaks of 5 minutes after 25 (Klickstein, The Musician's Way, p. 75). Short turns that
change the piece were judged better than one long block of the same total (10 clarinettists, turns
of 3 minutes against blocks of 12: Carter & Grahn 2016, Frontiers in Psychology 7:1251).
"""

from collections import Counter
from collections.abc import Hashable, Sequence
from typing import Final, TypeVar

BLOCK: Final = 25  # minutes of playing before a pause
PAUSE: Final = 5
TURN: Final = 3

T = TypeVar("T")


def blocks(minutes: int) -> tuple[int, ...]:
    """Return the minutes of playing between the pauses of a practice of so many minutes in all.

    A pause is only made if at least as much playing follows.

    >>> blocks(25), blocks(34), blocks(35), blocks(60), blocks(90)
    ((25,), (34,), (25, 5), (25, 30), (25, 25, 30))
    """
    pauses = max(0, (minutes - PAUSE) // (BLOCK + PAUSE))
    return (*(BLOCK,) * pauses, minutes - pauses * (BLOCK + PAUSE))


def shared(minutes: int, turn: int = TURN) -> tuple[int, ...]:
    """Share minutes out into turns of one length or a little more, at least one.

    >>> shared(25), shared(2), shared(6)
    ((4, 3, 3, 3, 3, 3, 3, 3), (2,), (3, 3))
    """
    count = max(1, minutes // turn)
    each, over = divmod(minutes, count)
    return (*(each + 1,) * over, *(each,) * (count - over))


def in_turns(items: Sequence[tuple[Hashable, T]], count: int) -> tuple[T, ...]:
    """Return items in so many turns, each as often as the others or once more, the first first.

    An item is a group and a value. No two neighbours are of the same group where that can be
    avoided: a group that has more than half of what is left comes next, else the item that had
    fewest turns and stands first in the list, unless its group was just played.

    >>> "".join(in_turns([("x", "a"), ("x", "b"), ("y", "c")], 6))
    'acbcab'
    """
    left = Counter(dict.fromkeys(range(len(items)), 0))
    for turn in range(count if items else 0):
        left[turn % len(items)] += 1
    order: list[int] = []
    while total := left.total():
        groups: Counter[Hashable] = Counter()
        for place, turns in left.items():
            groups[items[place][0]] += turns
        before = items[order[-1]][0] if order else None
        needed = {group for group, turns in groups.items() if 2 * turns > total}
        others = set(groups) - {before} if order else set(groups)
        allowed = (needed & others) or {group for group in others if groups[group]} or set(groups)
        place = min(
            (place for place in left if left[place] and items[place][0] in allowed),
            key=lambda place: (order.count(place), place),
        )
        left[place] -= 1
        order.append(place)
    return tuple(items[place][1] for place in order)
