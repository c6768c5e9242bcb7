"""From bars as they were read to road marks that can be walked.

A closing repeat sign without an opening one goes back to the beginning, or to just after the last
double bar line or closing repeat sign (ABC 2.1 section 4.8), or to where its part begins (3.1.9).
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Final

from chartwalk.abc.raw import RawBar, RawSign
from chartwalk.chart import JUMPS, RoadMark, Sign
from chartwalk.mending.codas import CodaSign
from chartwalk.mending.marks import Marks, Mended
from chartwalk.mending.mend import Road, mended
from chartwalk.mending.notices import Notice

FAR_LONGER: Final = 4
_STARTING: Final = frozenset({Sign.SEGNO, Sign.CODA})
_GOALS: Final = frozenset({*JUMPS, Sign.FINE, Sign.SEGNO, Sign.TO_CODA, Sign.CODA})


def road_of(blocks: Sequence[Sequence[RawBar]]) -> Mended:
    """Return the marks of all bars and what was assumed.

    ``blocks`` are stretches that no repeat reaches across. Where there are several, they are
    written out in the order they are played, and no jump is left to take.
    """
    marks: list[tuple[RoadMark, ...]] = []
    told: list[Notice] = []
    for bars in blocks:
        road, assumed = _road(bars, alone=len(blocks) == 1, first=not marks)
        found, notices = mended(road)
        shift = len(marks)
        told += [replace(note, bar=(note.bar or 0) + shift) for note in (*assumed, *notices)]
        marks += found
    return tuple(marks), tuple(told)


def _road(bars: Sequence[RawBar], alone: bool, first: bool) -> tuple[Road, tuple[Notice, ...]]:
    found: dict[tuple[int, Sign], RoadMark] = {}
    codas: list[CodaSign] = []
    worded: list[CodaSign] = []

    def put(bar: int, mark: RoadMark) -> None:
        if 0 <= bar < len(bars):
            found.setdefault((bar, mark.sign), mark)

    starts, times = _starts(bars, first), _times(bars)
    for place, bar in enumerate(bars):
        if bar.opens > 1 or place in starts:
            put(place, RoadMark(Sign.REPEAT_START))
        if bar.closes > 1:
            put(place, RoadMark(Sign.REPEAT_END, times=times[place]))
        if bar.ending is not None:
            put(place, RoadMark(Sign.ENDING, bar.ending))
        for sign in bar.signs if alone else ():
            if sign.sign is None:
                codas.append(_coda(place, sign))
            else:
                if sign.sign is Sign.CODA:
                    worded.append(_coda(place, sign))
                put(place + (sign.at_end and sign.sign in _STARTING), RoadMark(sign.sign))
    assumed = (*_idle_times(bars), *(_last_segno(bars, found) if alone else ()))
    marks: Marks = tuple(
        tuple(mark for sign in Sign if (mark := found.get((place, sign))))
        for place in range(len(bars))
    )
    return Road(marks, tuple(codas), _stops(bars), tuple(worded)), assumed


def _coda(place: int, sign: RawSign) -> CodaSign:
    leave = place if sign.before else max(0, place - 1)
    return CodaSign(leave, place + sign.at_end, not sign.before)


def _last_segno(
    bars: Sequence[RawBar], found: dict[tuple[int, Sign], RoadMark]
) -> tuple[Notice, ...]:
    """Read a second segno at the very end as D.S., as old tunebooks write it."""
    signs = [sign for bar in bars[-1:] for sign in bar.signs]
    ends = any(sign.sign is Sign.SEGNO and sign.at_end for sign in signs)
    jumps = any(sign in JUMPS for _, sign in found)
    if not ends or jumps or not any(sign is Sign.SEGNO for _, sign in found):
        return ()
    found[len(bars) - 1, Sign.DS] = RoadMark(Sign.DS)
    return (Notice("a second segno at the end: D.S. is assumed", len(bars) - 1),)


def _times(bars: Sequence[RawBar]) -> dict[int, int]:
    """Return how often each repeat is played, by the bar that closes it.

    The dots of its two signs tell, or words: more than two of them repeat more often.
    """
    times: dict[int, int] = {}
    opened: list[int] = []
    closed = False  # whether the repeat opened last has a closing sign, and more endings follow
    for place, bar in enumerate(bars):
        if bar.opens > 1:
            del opened[len(opened) - closed :]
            opened.append(bar.opens)
            closed = False
        if bar.closes > 1:
            times[place] = bar.times or max([bar.closes, *opened[-1:]])
            closed = bool(opened)
        if closed and (bar.closes > 1 or bar.double) and not _later_ending(bars, place + 1):
            opened.pop()
            closed = False
    return times


def _idle_times(bars: Sequence[RawBar]) -> Iterator[Notice]:
    """Tell of numbers of times in bars that close no repeat."""
    for place, bar in enumerate(bars):
        if bar.times and bar.closes == 1:
            yield Notice(f"{bar.times}x where no repeat is closed: left out", place)


def _later_ending(bars: Sequence[RawBar], place: int) -> bool:
    """Whether an ending other than a first one starts at a place."""
    passes = bars[place].ending if place < len(bars) else None
    return passes is not None and 1 not in passes


def _starts(bars: Sequence[RawBar], first: bool) -> frozenset[int]:
    """Return the bars where a repeat begins without an opening sign and must be given one.

    None is needed at the beginning and after the repeat before, where any reader goes back to.
    """
    starts = set()
    start, needed = 0, not first
    opened = grouped = False  # inside a repeat with a sign of its own; after a first ending
    for place, bar in enumerate(bars):
        if bar.opens > 1 or (bar.part is not None and not opened):
            start, needed, opened, grouped = place, place > 0 or not first, bar.opens > 1, False
        grouped = grouped or (bar.ending is not None and 1 in bar.ending)
        goes_on = grouped and _later_ending(bars, place + 1)
        if bar.closes > 1 and needed and not opened:
            starts.add(start)
        if bar.closes > 1 and not goes_on:
            start, needed, opened, grouped = place + 1, False, False, False
        elif bar.double and not goes_on and (grouped or not opened):
            start, needed, opened, grouped = place + 1, True, False, False
    return frozenset(starts)


def _stops(bars: Sequence[RawBar]) -> frozenset[int]:
    """Return the bars where endings stop: at a double bar line or a repeat sign (4.10).

    A repeat sign does not stop an ending that is far longer than the one before: real tunes end
    it with a plain bar line, and the sign closes the next strain.
    """
    stops = set()
    start: int | None = None
    before = len(bars)
    for place, bar in enumerate(bars):
        if bar.ending is not None:
            before = len(bars) if start is None or 1 in bar.ending else place - start
            start = place
        if start is not None and (bar.double or bar.closes > 1):
            if bar.double or place - start + 1 < before + FAR_LONGER:
                stops.add(place)
            if not _later_ending(bars, place + 1):
                start = None
    return frozenset(stops)


def has_jump(bars: Sequence[RawBar]) -> bool:
    """Whether a D.C., D.S. or a goal of one stands in these bars."""
    return any(sign.sign is None or sign.sign in _GOALS for bar in bars for sign in bar.signs)
