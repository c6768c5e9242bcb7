"""Mends of Fine: where a song ends that says so in an ending which is taken early.

After a jump the last ending is played, so a Fine in an earlier one would never be reached; there
it can only mean that this ending is taken once more, and ends the song.
"""

from dataclasses import replace

from chartwalk.chart import JUMPS, RoadMark, Sign
from chartwalk.mending.endings import Group, early_bars, groups
from chartwalk.mending.marks import Marks, Mended, first, found, has, put, renamed, without
from chartwalk.mending.notices import Notice
from chartwalk.mending.repeats import match


def fine_by_repeat(marks: Marks) -> Mended:
    """Read the repeat sign after a last ending that closes the sheet as the way back to a Fine.

    In ``|: A 1. B Fine :| 2. C :|`` the song goes back from C and ends after B.
    """
    group = _with_fine(marks)
    end = len(marks) - 1
    if group is None or group.limit <= end or not has(marks, end, Sign.REPEAT_END):
        return marks, ()
    start = match(marks).starts.get(end)
    if start is None or any(True for _ in found(marks, *JUMPS)):
        return marks, ()
    jump = Sign.DS_AL_FINE if start else Sign.DC_AL_FINE
    marks = put(without(marks, end, Sign.REPEAT_END), end, RoadMark(jump))
    if start:
        marks = put(marks, start, RoadMark(Sign.SEGNO))
    message = "the last repeat sign leads back to the Fine in an earlier ending"
    return marks, (Notice(f"{message}: {jump.words} is assumed", end),)


def find_fine(marks: Marks) -> Mended:
    """Have a jump end at the Fine it can reach, and a jump al Fine without one be a plain one."""
    jump = next(found(marks, *JUMPS), None)
    if jump is None or jump[1].sign.value.endswith("coda"):
        return marks, ()
    bar, sign = jump[0], jump[1].sign
    notices: list[Notice] = []
    target = 0 if sign.value.startswith("dc") else first(marks, Sign.SEGNO) or 0
    early = early_bars(marks)
    reached = _reached(marks, Sign.FINE, target, early)
    plain = sign in (Sign.DC, Sign.DS)
    leaves = _reached(marks, Sign.TO_CODA, target, early)
    if not reached and not (plain and leaves):
        marks, told = _taken_again(marks, target, sign)
        notices += told
        reached = bool(told)
    if plain and reached and not leaves:
        turned = Sign(f"{sign.value} al fine")
        message = f"{sign.words} with a Fine: {turned.words} is assumed"
    elif not plain and not reached:
        turned = Sign(sign.value[:2])
        message = f"{sign.words} without a Fine to reach: {turned.words} is assumed"
    else:
        return marks, tuple(notices)
    return renamed(marks, bar, sign, turned), (*notices, Notice(message, bar))


def _reached(marks: Marks, goal: Sign, target: int, early: frozenset[int]) -> bool:
    """Whether a goal lies on the way after a jump: after its target, in no early ending."""
    return any(bar >= target and bar not in early for bar, _ in found(marks, goal))


def _with_fine(marks: Marks) -> Group | None:
    """Return the first group of endings with a Fine in an ending that is not its last."""
    fines = [bar for bar, _ in found(marks, Sign.FINE)]
    return next(
        (
            group
            for group in groups(marks) * bool(fines)
            if any(group.brackets[0][0] <= bar < group.brackets[-1][0] for bar in fines)
        ),
        None,
    )


def _taken_again(marks: Marks, target: int, sign: Sign) -> Mended:
    """Have the endings be taken anew after the jump, up to the Fine in an earlier one of them."""
    group = _with_fine(marks)
    if group is None:
        return marks, ()
    starts = match(marks).starts
    closings = [
        (bar, mark)
        for bar, mark in found(marks, Sign.REPEAT_END)
        if group.brackets[0][0] <= bar < group.limit and starts.get(bar, -1) >= target
    ]
    for bar, mark in closings:
        marks = put(marks, bar, replace(mark, after_jump=True))
    message = f"the Fine stands in an early ending: {sign.words} takes that ending again"
    return marks, (Notice(message, group.brackets[0][0]),) * bool(closings)
