"""Mends of endings: numbers that skip or repeat, brackets that no closing sign belongs to.

A sound group has an ending for every pass from 1 on, and all but the last end in a closing repeat
sign with the next ending right after it. An ending that stops before its closing sign is sound: it
runs to that sign.
"""

from bisect import bisect_right
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise

from chartwalk.chart import MOST_TIMES, RoadMark, Sign
from chartwalk.mending.marks import Marks, Mended, first, found, has, put, without
from chartwalk.mending.notices import Notice

Bracket = tuple[int, tuple[int, ...]]
"""The bar an ending starts in, and the passes it serves."""


@dataclass(frozen=True, slots=True)
class Group:
    """The endings of one repeat; ``limit`` is the bar where what follows can't belong to them."""

    brackets: tuple[Bracket, ...]
    limit: int


def groups(marks: Marks) -> tuple[Group, ...]:
    """Gather the endings that belong together.

    A new group begins after an opening repeat sign, and where the numbers start again, unless the
    bracket stands right after the closing sign of a group's only other one (wrong numbers).
    """
    gathered: list[list[Bracket]] = []
    opened = False
    for bar, mark in found(marks, Sign.REPEAT_START, Sign.ENDING):
        if mark.sign is Sign.REPEAT_START:
            opened = opened or not has(marks, bar, Sign.ENDING)
            continue
        group = gathered[-1] if gathered else []
        beside = len(group) == 1 and has(marks, bar - 1, Sign.REPEAT_END)
        higher = bool(group) and min(mark.passes or (99,)) > max(group[-1][1] or (0,))
        here = has(marks, bar, Sign.REPEAT_START)
        full = len(group) == MOST_TIMES
        if opened or here or full or not (beside or higher):
            gathered.append([])
        gathered[-1].append((bar, mark.passes))
        opened = False
    starts = [bar for bar, _ in found(marks, Sign.REPEAT_START)]
    starts.append(len(marks))
    edges = [*(group[0][0] for group in gathered), len(marks)][1:]
    return tuple(
        Group(tuple(group), min(edge, starts[bisect_right(starts, group[-1][0])]))
        for group, edge in zip(gathered, edges, strict=True)
    )


def early_bars(marks: Marks) -> frozenset[int]:
    """Return the bars in endings that are not the last of their group."""
    return frozenset(
        bar for group in groups(marks) for bar in range(group.brackets[0][0], group.brackets[-1][0])
    )


def number_endings(marks: Marks) -> Mended:
    """Have the endings of every group serve each pass once: 1 and 3 are 1, 2 and 3.

    Where a number is skipped the ending before serves it too: on most such sheets the words prove
    that the first ending is sung twice. Other wrong numbers are counted anew.
    """
    notices = []
    for group in groups(marks):
        passes = [passes for _, passes in group.brackets]
        bar = group.brackets[0][0]
        if len(passes) == 1 and passes[0] and 1 not in passes[0]:
            marks = without(marks, bar, Sign.ENDING)
            notices.append(Notice("a later ending without a first one: left out", bar))
            continue
        better = _numbered(passes)
        if better != passes:
            notices.append(
                Notice(
                    f"the endings are numbered {_listed(passes)}: {_listed(better)} is assumed",
                    bar,
                )
            )
            for (start, _), numbers in zip(group.brackets, better, strict=True):
                marks = put(marks, start, RoadMark(Sign.ENDING, numbers))
    return marks, tuple(notices)


def _numbered(passes: list[tuple[int, ...]]) -> list[tuple[int, ...]]:
    flat = [number for numbers in passes for number in numbers]
    if all(passes) and sorted(flat) == list(range(1, len(flat) + 1)) and 1 in passes[0]:
        return passes
    lows = [min(numbers, default=0) for numbers in passes]
    rising = lows[0] == 1 and all(low < high for low, high in pairwise(lows))
    if rising and all(len(numbers) == 1 for numbers in passes):
        return [tuple(range(low, high)) for low, high in pairwise([*lows, lows[-1] + 1])]
    return [(place,) for place in range(1, len(passes) + 1)]


def _listed(passes: Iterable[tuple[int, ...]]) -> str:
    return " | ".join(" ".join(f"{number}." for number in numbers) or "?" for numbers in passes)


def close_endings(marks: Marks) -> Mended:
    """Close every ending but the last with a repeat sign, right before the next ending.

    A bracket that has no other beside it and no closing sign is left out; one that has a closing
    sign gets its second ending in the bar after it.
    """
    notices: list[Notice] = []
    for group in groups(marks):
        if len(group.brackets) == 1:
            marks, told = _complete(marks, group)
            notices += told
            continue
        bar = group.brackets[0][0]
        for following, passes in group.brackets[1:]:
            closing = first(marks, Sign.REPEAT_END, bar, following)
            bar = following
            if closing is None:
                marks = put(marks, following - 1, RoadMark(Sign.REPEAT_END))
                notices.append(Notice("the ending is not closed: :| is assumed", following - 1))
            elif closing != following - 1:
                marks = without(marks, following, Sign.ENDING)
                bar = closing + 1
                marks = put(marks, bar, RoadMark(Sign.ENDING, passes))
                notices.append(Notice("the next ending is taken to start here", bar))
    return marks, tuple(notices)


def _complete(marks: Marks, group: Group) -> Mended:
    bar, passes = group.brackets[0]
    closing = first(marks, Sign.REPEAT_END, bar, group.limit)
    after = None if closing is None else closing + 1
    if after is None or after >= len(marks) or has(marks, after, Sign.REPEAT_START):
        reason = "outside a repeat" if after is None else "without another one"
        return without(marks, bar, Sign.ENDING), (Notice(f"an ending {reason}: left out", bar),)
    second = RoadMark(Sign.ENDING, (max(passes) + 1,))
    message = f"the last ending is not marked: ending {max(passes) + 1} is taken to start here"
    return put(marks, after, second), (Notice(message, after),)


def restart_repeats(marks: Marks, stops: frozenset[int]) -> Mended:
    """Open a repeat after a finished group of endings, where its closing sign has no opening one.

    A last ending that shows no stop is taken to be as long as the one before it. Where another
    ending follows the closing sign, the stretch between is a bridge and belongs to the group.
    """
    notices = []
    for group in groups(marks):
        if len(group.brackets) < 2:
            continue
        (before, _), (bar, _) = group.brackets[-2:]
        last = min(
            (stop for stop in stops if bar <= stop < group.limit), default=2 * bar - before - 1
        )
        closing = first(marks, Sign.REPEAT_END, bar, group.limit)
        if closing is not None and last < closing and not has(marks, closing + 1, Sign.ENDING):
            marks = put(marks, last + 1, RoadMark(Sign.REPEAT_START))
            notices.append(Notice("a repeat without |: is taken to start here", last + 1))
    return marks, tuple(notices)
