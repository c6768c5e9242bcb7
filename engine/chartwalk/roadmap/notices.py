"""What a road that can be walked leaves over: a player reads over it, but should know of it."""

from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import Final

from chartwalk.chart import JUMPS, Bar, Chart, Sign
from chartwalk.problems import Problem
from chartwalk.roadmap.goals import GOALS
from chartwalk.roadmap.repeats import Repeat
from chartwalk.roadmap.walk import Walked, walk

WRITTEN_TIMES: Final = 2  # a closing sign without a number


def road_notices(chart: Chart) -> tuple[Problem, ...]:
    """Return what the play order of a chart passes by, in the order of the page.

    That is: goals that no jump makes use of, numbers of times that endings overrule, and bars that
    are never played. Raises ChartError where the road can't be walked.
    """
    bars, walked = chart.bars, walk(chart)
    notices = (*_idle(bars, walked), *_overruled(bars, walked.repeats), *_unplayed(bars, walked))
    return tuple(sorted(notices, key=lambda notice: notice.index))


def _idle(bars: Sequence[Bar], walked: Walked) -> Iterator[Problem]:
    """Find the goals that the road passes by."""
    jump = next((mark.sign for bar in bars for mark in bar.marks if mark.sign in JUMPS), None)
    says = f"the {jump.words} does not say al Coda" if jump else "no D.C. or D.S. says al Coda"
    for index, bar in enumerate(bars):
        for sign in (mark.sign for mark in bar.marks if mark.sign in GOALS):
            if (index, sign) not in walked.used:
                led = f"leads to: {says}" if sign is Sign.CODA else "makes use of"
                message = f"a {sign.words} that no jump {led}"
                yield Problem(message, bar=bar.number, index=index)


def _overruled(bars: Sequence[Bar], repeats: Sequence[Repeat]) -> Iterator[Problem]:
    """Find the 3x at repeats whose endings ask for another number of passes."""
    for repeat in repeats:
        for index in repeat.closings if repeat.endings else ():
            closing = bars[index].mark(Sign.REPEAT_END)
            if closing and closing.times not in (WRITTEN_TIMES, repeat.times):
                message = (
                    f"{closing.times}x is not followed: the endings decide, "
                    f"and they make {repeat.times} times"
                )
                yield Problem(message, bar=bars[index].number, index=index)


def _unplayed(bars: Sequence[Bar], walked: Walked) -> Iterator[Problem]:
    """Find the stretches of bars that the road never comes to."""
    played = {step.bar for step in walked.steps}
    for reached, group in groupby(range(len(bars)), key=played.__contains__):
        stretch = list(group)
        if not reached:
            first, last = bars[stretch[0]].number, bars[stretch[-1]].number
            which = f"bar {first} is" if len(stretch) == 1 else f"bars {first} to {last} are"
            message = f"{which} never played: the road passes by"
            yield Problem(message, bar=first, index=stretch[0])
