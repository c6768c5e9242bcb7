"""The play order and music21's own expansion of repeats, wherever it handles the case.

music21 10.5.1, ``repeat.Expander``. Each measure holds one note whose lyric is its index, since the
expander numbers measures anew after a jump. Where it handles a case otherwise, the kind of
disagreement stands in ``REASONS`` with the rule that decides.
"""

from collections import Counter
from collections.abc import Callable, Iterator
from itertools import product
from typing import Any, Final

import pytest

from chartwalk.chart import Bar, Chart, Sign
from chartwalk.roadmap import find_repeats, unroll

Road = Callable[[str], Chart]

REPEATS: Final = {
    "none": ". / .",
    "repeat": "|: / :|",
    "one bar": ". / |:, :|",
    "three times": "|: / :| 3x",
    "one time": "|: / :| 1x",
    "lone": ". / :|",
    "two": "|:, :| / |: / :|",
    "nested": "|: / |:, :| / :|",
    "endings": "|: / 1., :| / 2.",
    "long endings": "|: / . / 1. / :| / 2. / .",
    "closed endings": "|: / 1., :| / 2., :|",
    "three endings": "|: / 1., :| / 2., :| / 3.",
    "list": "|: / 1. 2., :| / 3.",
    "list of the last": "|: / 1., :| / 2. 3., :|",
    "in turns": "|: / 1. 3., :| / 2., :| / 4.",
}
JUMPS: Final = ("", "dc", "ds", "dc al fine", "ds al fine", "dc al coda", "ds al coda")
GOALS: Final = ("before", "in the repeat", "after")

FOUND: Final = {"agreed": 190, "brackets dropped": 66, "dropped and nested": 66, "not handled": 23}
"""How many of the roads below, and why music21 gives another order or none.

Where there is a D.C. or D.S. it drops the brackets of endings: what stands under them is played as
other bars are, and where a later ending has a closing sign too, that one repeats all before it. By
LMT (*High-Yield Music Theory*, section 1.8) each ending is played in its turn, and after the jump
the last one alone. It refuses brackets whose numbers do not rise, as 1. 3. before 2.; by ABC 2.1,
section 4.10, each pass takes the ending with its number.
"""


def layouts() -> Iterator[str]:
    """Every repeat with every jump and every place of its goals."""
    for repeat, jump in product(REPEATS.values(), JUMPS):
        cells = [".", *repeat.split(" / "), "."]
        places = {"before": 0, "in the repeat": 1, "after": len(cells) - 1}
        backs = GOALS if jump.startswith("ds") else ("",)
        leaves = GOALS if " al " in jump else ("",)
        for back, leave in product(backs, leaves):
            if back and leave and places[leave] < places[back]:
                continue
            marks: list[list[str]] = [[] if cell == "." else [cell] for cell in cells]
            if back:
                marks[places[back]].append("segno")
            if leave:
                marks[places[leave]].append("fine" if "fine" in jump else "to coda")
            tail = [jump or ".", "coda" if "coda" in jump else ".", "."]
            yield " / ".join([", ".join(some) or "." for some in marks] + tail)


@pytest.fixture(scope="module")
def music21() -> Any:  # noqa: ANN401 - a library without types of its own
    return pytest.importorskip("music21")


CLASSES: Final = {
    Sign.SEGNO: "Segno",
    Sign.TO_CODA: "Coda",
    Sign.CODA: "Coda",
    Sign.FINE: "Fine",
    Sign.DC: "DaCapo",
    Sign.DS: "DalSegno",
    Sign.DC_AL_FINE: "DaCapoAlFine",
    Sign.DS_AL_FINE: "DalSegnoAlFine",
    Sign.DC_AL_CODA: "DaCapoAlCoda",
    Sign.DS_AL_CODA: "DalSegnoAlCoda",
}


def part_of(library: Any, chart: Chart) -> Any:  # noqa: ANN401
    """The road of a chart as a part of music21's."""
    part = library.stream.Part()
    measures = []
    for index, bar in enumerate(chart.bars):
        measure = library.stream.Measure(number=index + 1)
        measure.append(library.note.Note("C4", quarterLength=4, lyric=str(index)))
        _sign(library, measure, bar)
        part.append(measure)
        measures.append(measure)
    for repeat in find_repeats(chart.bars)[0]:
        for ending in repeat.endings:
            numbers = list(ending.passes)
            bracket = library.spanner.RepeatBracket(
                measures[ending.first : ending.last + 1], number=numbers
            )
            part.insert(0, bracket)
    return part


def _sign(library: Any, measure: Any, bar: Bar) -> None:  # noqa: ANN401
    if bar.mark(Sign.REPEAT_START):
        measure.leftBarline = library.bar.Repeat(direction="start")
    if closing := bar.mark(Sign.REPEAT_END):
        times = closing.times if closing.times != 2 else None
        measure.rightBarline = library.bar.Repeat(direction="end", times=times)
    for mark in bar.marks:
        if name := CLASSES.get(mark.sign):
            measure.append(getattr(library.repeat, name)())


def expanded(library: Any, chart: Chart) -> list[int] | None:  # noqa: ANN401
    """The order by music21; None where it does not handle the case."""
    try:
        found = library.repeat.Expander(part_of(library, chart)).process()
    except library.repeat.ExpanderException:
        return None
    return [int(note.lyric) for note in found.recurse().notes]


def without_brackets(layout: str) -> str:
    """The road without its endings, their repeat signs left as they are."""
    cells = [[m for m in cell.split(", ") if not m[0].isdigit()] for cell in layout.split(" / ")]
    return " / ".join(", ".join(cell) or "." for cell in cells)


def reason(road: Road, layout: str, theirs: list[int]) -> str:
    """Why music21's order is another one."""
    assert "1." in layout, f"endings alone make a difference, not {layout}"
    assert any(f"{kind}," in f"{layout}," or f"{kind} /" in layout for kind in JUMPS[1:]), layout
    if [step.bar for step in unroll(road(without_brackets(layout)))] == theirs:
        return "brackets dropped"
    assert layout.count(":|") > 1, layout
    return "dropped and nested"


def test_agreement(road: Road, music21: Any) -> None:  # noqa: ANN401
    found: Counter[str] = Counter()
    for layout in layouts():
        chart = road(layout)
        theirs, ours = expanded(music21, chart), [step.bar for step in unroll(chart)]
        if theirs is None:
            assert "1. 3., :| / 2." in layout
            found["not handled"] += 1
        elif theirs == ours:
            found["agreed"] += 1
        else:
            found[reason(road, layout, theirs)] += 1
    assert found == FOUND
