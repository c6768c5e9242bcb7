"""Where the jumps of a chart lead, and what is wrong with them."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from chartwalk.chart import JUMPS, Bar, Sign
from chartwalk.problems import Problem

TO_SEGNO: Final = frozenset({Sign.DS, Sign.DS_AL_FINE, Sign.DS_AL_CODA})
AL_FINE: Final = frozenset({Sign.DC_AL_FINE, Sign.DS_AL_FINE})
AL_CODA: Final = frozenset({Sign.DC_AL_CODA, Sign.DS_AL_CODA})
NEEDS: Final = (
    (TO_SEGNO, (Sign.SEGNO,)),
    (AL_FINE, (Sign.FINE,)),
    (AL_CODA, (Sign.TO_CODA, Sign.CODA)),
)
"""The goals that each kind of jump needs."""

GOALS: Final = {Sign.SEGNO: "segno", Sign.FINE: "Fine", Sign.TO_CODA: "To Coda", Sign.CODA: "coda"}

Places = dict[Sign, list[int]]
Jump = tuple[int, Sign]
Wrong = tuple[int, str]


@dataclass(frozen=True, slots=True)
class Goals:
    """The one jump of a chart: its kind, the bar it leads back to and the bar of the coda.

    Bars are indices from 0; ``jump`` is None in a chart without D.C. or D.S., and ``coda`` counts
    only where the jump leads to one.
    """

    jump: Sign | None = None
    target: int = 0
    coda: int = 0


def find_goals(bars: Sequence[Bar]) -> tuple[Goals, tuple[Problem, ...]]:
    """Return where the D.C. or D.S. and the coda lead, and every problem on the way."""
    at: Places = {sign: [] for sign in Sign}
    for index, bar in enumerate(bars):
        for mark in bar.marks:
            at[mark.sign].append(index)
    jumps = [
        (i, mark.sign) for i, bar in enumerate(bars) for mark in bar.marks if mark.sign in JUMPS
    ]
    goals = Goals()
    if jumps:
        sign = jumps[0][1]
        target = at[Sign.SEGNO][0] if sign in TO_SEGNO and at[Sign.SEGNO] else 0
        goals = Goals(sign, target, at[Sign.CODA][0] if at[Sign.CODA] else 0)
    wrong = [*_doubles(bars, at, jumps), *_aims(at, jumps)]
    return goals, tuple(
        Problem(message, bar=bars[index].number, index=index) for index, message in wrong
    )


def _doubles(bars: Sequence[Bar], at: Places, jumps: Sequence[Jump]) -> Iterator[Wrong]:
    """Find the goals and jumps that may stand once and stand twice.

    Goals that no jump makes use of may stand as often as they like: a player reads over them.
    """
    signs = {sign for _, sign in jumps}
    for goal, users in ((Sign.SEGNO, TO_SEGNO), (Sign.CODA, AL_CODA)):
        for index in at[goal][1:] if signs & users else ():
            first = bars[at[goal][0]].number
            yield index, f"a second {goal.value}; the first stands in bar {first}"
    for index, sign in jumps[1:]:
        words = f"{sign.words} and {jumps[0][1].words}"
        yield index, f"{words} in one chart: keep one jump"


def _aims(at: Places, jumps: Sequence[Jump]) -> Iterator[Wrong]:
    """Find the jump without its goals, and goals that stand where it can't reach them."""
    index, sign = jumps[0] if jumps else (0, None)
    words = sign.words if sign else ""
    for needed, goals in NEEDS:
        if sign in needed:
            for goal in goals:
                if not at[goal]:
                    yield index, f"{words} without a {GOALS[goal]}"
    if sign in TO_SEGNO and at[Sign.SEGNO] and at[Sign.SEGNO][0] > index:
        yield index, f"{words} before its segno"
    both = sign in AL_CODA and at[Sign.CODA] and at[Sign.TO_CODA]
    if both and at[Sign.CODA][0] <= at[Sign.TO_CODA][0]:
        yield at[Sign.CODA][0], "the coda stands before its To Coda"
