"""Where the jumps of a chart lead, and what is wrong with them."""

from collections.abc import Sequence
from dataclasses import dataclass

from chartwalk.chart import JUMPS, Bar, Sign
from chartwalk.problems import Problem

TO_SEGNO = frozenset({Sign.DS, Sign.DS_AL_FINE, Sign.DS_AL_CODA})
AL_FINE = frozenset({Sign.DC_AL_FINE, Sign.DS_AL_FINE})
AL_CODA = frozenset({Sign.DC_AL_CODA, Sign.DS_AL_CODA})


@dataclass(frozen=True, slots=True)
class Goals:
    """The one jump of a chart: its kind, the bar it leads back to and the bar of the coda.

    Bars are indices from 0; ``jump`` is None in a chart without D.C. or D.S.
    """

    jump: Sign | None = None
    target: int = 0
    coda: int | None = None


def find_goals(bars: Sequence[Bar]) -> tuple[Goals, tuple[Problem, ...]]:
    """Return where the D.C. or D.S. and the coda lead, and every problem on the way."""
    at: dict[Sign, list[int]] = {sign: [] for sign in Sign}
    jumps: list[tuple[int, Sign]] = []
    for index, bar in enumerate(bars):
        for mark in bar.marks:
            at[mark.sign].append(index)
            if mark.sign in JUMPS:
                jumps.append((index, mark.sign))
    problems: list[Problem] = []

    def problem(index: int, message: str) -> None:
        problems.append(Problem(message, bar=bars[index].number, index=index))

    for sign in (Sign.SEGNO, Sign.CODA):
        for index in at[sign][1:]:
            first = bars[at[sign][0]].number
            problem(index, f"a second {sign.value}; the first stands in bar {first}")
    for index, sign in jumps[1:]:
        problem(index, f"{sign.words} and {jumps[0][1].words} in one chart: keep one jump")
    if not jumps:
        for index in at[Sign.CODA][:1]:
            problem(index, "a coda that no jump leads to: write D.C. or D.S. al Coda")
        return Goals(), tuple(problems)

    index, sign = jumps[0]
    if sign in TO_SEGNO and not at[Sign.SEGNO]:
        problem(index, f"{sign.words} without a segno")
    if sign in TO_SEGNO and at[Sign.SEGNO] and at[Sign.SEGNO][0] > index:
        problem(index, f"{sign.words} before its segno")
    if sign in AL_FINE and not at[Sign.FINE]:
        problem(index, f"{sign.words} without a Fine")
    if sign in AL_CODA:
        for goal in (Sign.TO_CODA, Sign.CODA):
            if not at[goal]:
                problem(index, f"{sign.words} without a {goal.words}")
        if at[Sign.TO_CODA] and at[Sign.CODA] and at[Sign.CODA][0] <= at[Sign.TO_CODA][0]:
            problem(at[Sign.CODA][0], "the coda stands before its To Coda")
    elif at[Sign.CODA]:
        problem(at[Sign.CODA][0], f"a coda that no jump leads to: the jump is {sign.words}")
    target = at[Sign.SEGNO][0] if sign in TO_SEGNO and at[Sign.SEGNO] else 0
    return Goals(sign, target, at[Sign.CODA][0] if at[Sign.CODA] else None), tuple(problems)
