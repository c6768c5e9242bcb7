"""Road marks by bar, as a value to read from and to change."""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import Final

from chartwalk.chart import JUMPS, RoadMark, Sign
from chartwalk.mending.notices import Notice

AT_END: Final = JUMPS | {Sign.FINE, Sign.TO_CODA}
"""The signs that act at the end of the bar they stand in."""
Marks = tuple[tuple[RoadMark, ...], ...]
"""The road marks of every written bar."""
Mended = tuple[Marks, tuple[Notice, ...]]
"""Road marks after a mend, and what the mend assumed."""


def found(marks: Marks, *signs: Sign) -> Iterator[tuple[int, RoadMark]]:
    """Yield the marks of these kinds with their bars, in the order of the page."""
    for bar, here in enumerate(marks):
        for mark in here:
            if mark.sign in signs:
                yield bar, mark


def has(marks: Marks, bar: int, sign: Sign) -> bool:
    """Whether a bar carries such a mark; bars that do not exist carry none."""
    return 0 <= bar < len(marks) and any(mark.sign is sign for mark in marks[bar])


def first(marks: Marks, sign: Sign, start: int = 0, stop: int | None = None) -> int | None:
    """Return the first bar from ``start`` on, before ``stop``, with such a mark."""
    bars = range(start, len(marks) if stop is None else min(stop, len(marks)))
    return next((bar for bar in bars if has(marks, bar, sign)), None)


def without(marks: Marks, bar: int, *signs: Sign) -> Marks:
    """Return the marks less those of some kinds in one bar."""
    kept = tuple(mark for mark in marks[bar] if mark.sign not in signs)
    return (*marks[:bar], kept, *marks[bar + 1 :])


def put(marks: Marks, bar: int, mark: RoadMark) -> Marks:
    """Return the marks with one more, in place of one of its kind in that bar."""
    return with_all(without(marks, bar, mark.sign), [(bar, mark)])


def with_all(marks: Marks, more: Iterable[tuple[int, RoadMark]]) -> Marks:
    """Return the marks with some more."""
    bars = list(marks)
    for bar, mark in more:
        bars[bar] = (*bars[bar], mark)
    return tuple(bars)


def renamed(marks: Marks, bar: int, old: Sign, new: Sign) -> Marks:
    """Return the marks with one of them turned into another kind."""
    turned = tuple(replace(mark, sign=new) if mark.sign is old else mark for mark in marks[bar])
    return (*marks[:bar], turned, *marks[bar + 1 :])
