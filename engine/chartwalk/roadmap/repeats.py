"""Which bars each repeat holds: opening and closing signs matched, endings gathered."""

from bisect import bisect_right
from collections.abc import Collection, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from chartwalk.chart import Bar, RoadMark, Sign
from chartwalk.problems import Problem


@dataclass(frozen=True, slots=True)
class Ending:
    """An ending: the passes it serves, its first and last bar (indices from 0)."""

    passes: tuple[int, ...]
    first: int
    last: int


@dataclass(frozen=True, slots=True)
class Repeat:
    """A repeated stretch, by indices of written bars from 0.

    ``last`` is the last bar of its last ending, or the bar of the closing sign; ``closings`` are
    the bars of all its closing signs; ``times`` is how often it is played in all.
    """

    start: int
    last: int
    times: int
    closings: tuple[int, ...]
    endings: tuple[Ending, ...] = ()
    after_jump: bool = False

    def ending_for(self, number: int) -> Ending:
        """Return the ending that serves a pass; the passes of a sound repeat have no gaps."""
        return next(ending for ending in self.endings if number in ending.passes)


@dataclass(slots=True)
class _Open:
    """A repeat that is still being read."""

    start: int
    written: bool
    endings: list[tuple[int, RoadMark]] = field(default_factory=list)
    closings: list[tuple[int, RoadMark]] = field(default_factory=list)


def find_repeats(
    bars: Sequence[Bar], sections: Collection[int] = ()
) -> tuple[tuple[Repeat, ...], tuple[Problem, ...]]:
    """Return the repeats of a chart, and what is wrong with their signs.

    ``sections`` are the indices of the bars with which sections begin. A last ending without a
    closing sign lasts to the next double bar line or section, and without these as long as the
    ending before it (common practice, no source). Where a closing sign follows a double bar line
    or the beginning of a section after such an ending, it repeats from there (ABC 2.1 section 4.8).
    """
    scan = _Scan(bars, sections)
    for index in range(len(bars)):
        scan.read(index)
    scan.end()
    return tuple(sorted(scan.found, key=lambda repeat: repeat.start)), tuple(scan.problems)


class _Scan:
    def __init__(self, bars: Sequence[Bar], sections: Collection[int]) -> None:
        self.bars = bars
        self.borders = sorted({*sections, *(i + 1 for i, bar in enumerate(bars) if bar.double)})
        self.stack: list[_Open] = []
        self.after = 0  # the bar after the last finished repeat
        self.found: list[Repeat] = []
        self.problems: list[Problem] = []

    def read(self, index: int) -> None:
        bar = self.bars[index]
        if bar.mark(Sign.REPEAT_START):
            if self._awaits_ending():
                self._finish(index)
            self.stack.append(_Open(index, written=True))
        if ending := bar.mark(Sign.ENDING):
            if self._awaits_ending() and 1 in ending.passes:
                self._finish(index)
            self._top().endings.append((index, ending))
        if closing := bar.mark(Sign.REPEAT_END):
            if self._awaits_ending() and not self._next_ending_follows(index):
                border = self._border_after(self.stack[-1].endings[-1][0])
                if border is not None and border <= index:
                    self._finish(border)
                    self.after = border
                elif any(open_one.written for open_one in self.stack[:-1]):
                    self._finish(index + 1)
            current = self._top()
            current.closings.append((index, closing))
            if not (current.endings and self._next_ending_follows(index)):
                self._finish(index + 1)

    def end(self) -> None:
        while self.stack:
            current = self.stack[-1]
            if current.closings:
                self._finish(len(self.bars))
                continue
            self.stack.pop()
            for index, ending in current.endings:
                self._problem(
                    index,
                    f"the {_brackets(ending)} ending stands outside a repeat: "
                    "close the first ending with :|",
                )
            if current.written and not current.endings:
                self._problem(
                    current.start, "this repeat (|:) is never closed: write :| at its end"
                )

    def _top(self) -> _Open:
        if not self.stack:
            self.stack.append(_Open(self.after, written=False))
        return self.stack[-1]

    def _awaits_ending(self) -> bool:
        return bool(self.stack) and bool(self.stack[-1].closings)

    def _border_after(self, index: int) -> int | None:
        """Return the first bar after a double bar line, or of a section, beyond a bar."""
        place = bisect_right(self.borders, index)
        return self.borders[place] if place < len(self.borders) else None

    def _next_ending_follows(self, index: int) -> bool:
        following = self.bars[index + 1].mark(Sign.ENDING) if index + 1 < len(self.bars) else None
        return following is not None and 1 not in following.passes

    def _finish(self, limit: int) -> None:
        """Close the innermost repeat; its last bar lies before ``limit``."""
        current = self.stack.pop()
        closed = tuple(index for index, _ in current.closings)
        if not current.endings:
            closing = current.closings[-1][1]
            repeat = Repeat(
                current.start, closed[-1], closing.times, closed, (), closing.after_jump
            )
        else:
            border = self._border_after(current.endings[-1][0])
            endings = _endings(current, closed, limit, border)
            self._check_passes(current, endings)
            repeat = Repeat(
                current.start,
                endings[-1].last,
                max(number for ending in endings for number in ending.passes),
                closed,
                endings,
                any(mark.after_jump for _, mark in current.closings),
            )
        self.found.append(repeat)
        self.after = repeat.last + 1

    def _check_passes(self, current: _Open, endings: Sequence[Ending]) -> None:
        numbers = [number for ending in endings for number in ending.passes]
        for ending in endings:
            for number in ending.passes:
                if numbers.count(number) > 1:
                    self._problem(ending.first, f"two endings serve pass {number}")
                    return
        missing = next(n for n in range(1, len(numbers) + 2) if n not in numbers)
        if missing < max(numbers):
            self._problem(current.endings[0][0], f"no ending serves pass {missing}")
        for ending, following in pairwise(endings):
            if not any(ending.first <= index < following.first for index, _ in current.closings):
                self._problem(ending.first, "this ending is not closed by a repeat sign (:|)")

    def _problem(self, index: int, message: str) -> None:
        self.problems.append(Problem(message, bar=self.bars[index].number, index=index))


def _brackets(ending: RoadMark) -> str:
    return " ".join(f"{number}." for number in ending.passes)


def _endings(
    current: _Open, closed: tuple[int, ...], limit: int, border: int | None
) -> tuple[Ending, ...]:
    """Return the endings of a repeat; the last bar of the last one lies before ``limit``."""
    firsts = [index for index, _ in current.endings]
    endings: list[Ending] = []
    for place, (first, mark) in enumerate(current.endings):
        if place + 1 < len(firsts):
            last = firsts[place + 1] - 1
        elif closed[-1] >= first:
            last = closed[-1]
        elif border is not None and border <= limit:
            last = border - 1
        else:
            length = endings[-1].last - endings[-1].first if endings else 0
            last = min(first + length, limit - 1)
        endings.append(Ending(mark.passes, first, last))
    return tuple(endings)
