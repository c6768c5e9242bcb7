"""Mends of repeat signs that match no other: which sign closes which, and those left over."""

from dataclasses import dataclass, field

from chartwalk.chart import Sign
from chartwalk.mending.marks import Marks, Mended, has, without
from chartwalk.mending.notices import Notice


@dataclass(slots=True)
class _Open:
    """A repeat that is still open: where it starts, by a sign of its own or not."""

    start: int
    written: bool
    endings: bool = False
    closings: list[int] = field(default_factory=list)


@dataclass(slots=True)
class Matching:
    """The bar that each closing sign leads back to, and the opening signs that none closes."""

    starts: dict[int, int] = field(default_factory=dict)
    unclosed: list[int] = field(default_factory=list)


def match(marks: Marks) -> Matching:
    """Match closing signs to opening ones, the innermost first.

    A closing sign without an opening one leads back to the bar after the repeat before, or to the
    beginning. A repeat with endings stays open as long as another ending follows its closing sign.
    """
    matching = Matching()
    stack: list[_Open] = []
    after = 0

    def finish() -> None:
        done = stack.pop()
        matching.starts.update(dict.fromkeys(done.closings, done.start))

    for bar in range(len(marks)):
        if has(marks, bar, Sign.REPEAT_START):
            if stack and stack[-1].closings:
                finish()
            stack.append(_Open(bar, written=True))
        if has(marks, bar, Sign.ENDING):
            if stack and stack[-1].closings and _serves_first(marks, bar):
                finish()
                after = bar
            if not stack:
                stack.append(_Open(after, written=False))
            stack[-1].endings = True
        if has(marks, bar, Sign.REPEAT_END):
            if not stack:
                stack.append(_Open(after, written=False))
            stack[-1].closings.append(bar)
            follows = has(marks, bar + 1, Sign.ENDING) and not _serves_first(marks, bar + 1)
            if not (stack[-1].endings and follows):
                finish()
                after = bar + 1
    while stack:
        if stack[-1].written and not stack[-1].closings:
            matching.unclosed.append(stack[-1].start)
        finish()
    return matching


def _serves_first(marks: Marks, bar: int) -> bool:
    return any(mark.sign is Sign.ENDING and 1 in mark.passes for mark in marks[bar])


def drop_unclosed(marks: Marks) -> Mended:
    """Leave out the opening repeat signs that are never closed."""
    unclosed = sorted(match(marks).unclosed)
    for bar in unclosed:
        marks = without(marks, bar, Sign.REPEAT_START)
    return marks, tuple(Notice("a repeat (|:) is never closed: left out", bar) for bar in unclosed)
