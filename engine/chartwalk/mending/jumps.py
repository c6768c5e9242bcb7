"""Mends of D.C. and D.S.: one jump a chart, and goals that can be reached.

A jump whose goal is missing becomes a plain one; a goal that no jump leads to is left out.
"""

from chartwalk.chart import JUMPS, RoadMark, Sign
from chartwalk.mending.endings import early_bars, groups
from chartwalk.mending.marks import Marks, Mended, first, found, has, put, renamed, without
from chartwalk.mending.notices import Notice
from chartwalk.mending.repeats import match


def jump_of(marks: Marks) -> tuple[int, Sign] | None:
    """Return the first jump and its bar, if there is one."""
    return next(((bar, mark.sign) for bar, mark in found(marks, *JUMPS)), None)


def one_jump(marks: Marks) -> Mended:
    """Keep the first jump of several."""
    jump = jump_of(marks)
    notices = []
    for bar, mark in list(found(marks, *JUMPS))[1:]:
        marks = without(marks, bar, mark.sign)
        notices.append(Notice(f"a second jump, {mark.sign.words}: left out", bar))
        if jump and jump[0] == bar:
            marks = put(marks, bar, RoadMark(jump[1]))
    return marks, tuple(notices)


def one_goal(marks: Marks) -> Mended:
    """Keep the first segno, and the coda where a jump to it would land."""
    jump = jump_of(marks)
    notices = []
    for sign in (Sign.SEGNO, Sign.CODA):
        bars = [bar for bar, _ in found(marks, sign)]
        after = [bar for bar in bars if jump and bar > jump[0]]
        kept = after[:1] if sign is Sign.CODA and after else bars[:1]
        for bar in bars:
            if bar not in kept:
                marks = without(marks, bar, sign)
                notices.append(Notice(f"a second {sign.words}: left out", bar))
    return marks, tuple(notices)


def repeat_or_jump(marks: Marks) -> Mended:
    """Read a closing repeat and a jump on one bar line, to the same place, as the jump alone.

    A jump that a repeat sign of its own ending forestalls is left out.
    """
    jump = jump_of(marks)
    if jump is None or not has(marks, jump[0], Sign.REPEAT_END):
        return marks, ()
    bar, sign = jump
    if bar in early_bars(marks):
        message = f"{sign.words} beside the repeat sign of an ending is never reached: left out"
        return without(marks, bar, sign), (Notice(message, bar),)
    target = 0 if _to_start(sign) else first(marks, Sign.SEGNO)
    closing = next(mark for mark in marks[bar] if mark.sign is Sign.REPEAT_END)
    grouped = any(bar >= group.brackets[0][0] and bar < group.limit for group in groups(marks))
    if target is None or grouped or closing.times != 2 or match(marks).starts.get(bar) != target:
        return marks, ()
    message = f"the repeat sign and {sign.words} lead back to the same bar: read as one jump"
    marks = without(marks, bar, Sign.REPEAT_END)
    return without(marks, target, Sign.REPEAT_START), (Notice(message, bar),)


def find_segno(marks: Marks) -> Mended:
    """Turn a D.S. without a segno before it into a D.C."""
    jump = jump_of(marks)
    if jump is None or _to_start(jump[1]) or first(marks, Sign.SEGNO, 0, jump[0] + 1) is not None:
        return marks, ()
    bar, sign = jump
    turned = Sign(f"dc{sign.value[2:]}")
    message = f"{sign.words} without a segno before it: {turned.words} is assumed"
    return renamed(marks, bar, sign, turned), (Notice(message, bar),)


def coda_after_leaving(marks: Marks) -> Mended:
    """Leave out a coda that does not come after the first To Coda."""
    leaving, coda = first(marks, Sign.TO_CODA), first(marks, Sign.CODA)
    if leaving is None or coda is None or coda > leaving:
        return marks, ()
    notice = Notice("the Coda stands before its To Coda: left out", coda)
    return without(marks, coda, Sign.CODA), (notice,)


def find_coda(marks: Marks) -> Mended:
    """Have a jump leave at To Coda for the coda; where one of them is missing, none is played."""
    jump = jump_of(marks)
    if jump is None or jump[1].value.endswith("fine"):
        return marks, ()
    bar, sign = jump
    leaves = _reached(marks, sign, Sign.TO_CODA)
    coda = first(marks, Sign.CODA)
    wanted = Sign(f"{sign.value[:2]} al coda")
    room = bar + 1 < len(marks) and first(marks, Sign.TO_CODA, 0, bar + 1) is not None
    if leaves and coda is None and sign is wanted and room:
        message = f"{sign.words} without a Coda: it is taken to start here"
        return put(marks, bar + 1, RoadMark(Sign.CODA)), (Notice(message, bar + 1),)
    turned = wanted if leaves and coda is not None else Sign(sign.value[:2])
    if turned is sign:
        return marks, ()
    lacking = "with To Coda and Coda" if turned is wanted else "without To Coda and Coda to reach"
    message = f"{sign.words} {lacking}: {turned.words} is assumed"
    return renamed(marks, bar, sign, turned), (Notice(message, bar),)


def drop_goals(marks: Marks) -> Mended:
    """Leave out To Coda and Coda where no jump leads to the coda."""
    jump = jump_of(marks)
    if jump is not None and jump[1].value.endswith("coda"):
        return marks, ()
    notices = []
    for bar, mark in tuple(found(marks, Sign.TO_CODA, Sign.CODA)):
        marks = without(marks, bar, mark.sign)
        notices.append(Notice(f"{mark.sign.words} without a jump to the coda: left out", bar))
    return marks, tuple(notices)


def _to_start(sign: Sign) -> bool:
    return sign.value.startswith("dc")


def _reached(marks: Marks, jump: Sign, goal: Sign) -> bool:
    """Whether a goal lies on the way after a jump: after its target, in no early ending."""
    start = 0 if _to_start(jump) else first(marks, Sign.SEGNO) or 0
    early = early_bars(marks)
    return any(bar >= start and bar not in early for bar, _ in found(marks, goal))
