"""Roads at random: they end in steps or in problems, and right roads are walked right.

The roads of the second half are built from blocks, and the order they must give is put together
here from the same blocks, without the code that is checked. Its rules: a repeat is taken again
after a jump only where its closing sign says so, and a repeat past is played once, with its last
ending (Gehrkens, *Music Notation and Terminology*, sections 36 to 39; High-Yield Music Theory,
section 1.8; MusicXML 4.0, ``repeat``).
"""

from collections.abc import Callable
from dataclasses import dataclass
from itertools import chain

from hypothesis import assume, example, given
from hypothesis import strategies as st

from chartwalk.chart import Chart
from chartwalk.problems import ChartError
from chartwalk.roadmap import Step, unroll

Road = Callable[[str], Chart]

MARKS = [
    *["|:", ":|", ":| 1x", ":| 3x", ":| 0x", ":| again", "1.", "2.", "1. 2.", "3.", "2. 3."],
    *["segno", "coda", "to coda", "fine", "dc", "ds"],
    *["dc al fine", "ds al fine", "dc al coda", "ds al coda"],
]


def _kind(mark: str) -> str:
    """Tell the signs apart that may not stand twice in one bar."""
    return "ending" if mark[0].isdigit() else ":|" if mark.startswith(":|") else mark


# Many bars without marks, so that many of the roads can be walked.
cells = st.one_of(
    st.just("."),
    st.just("."),
    st.lists(st.sampled_from(MARKS[:9]), min_size=1, max_size=2, unique_by=_kind).map(", ".join),
    st.lists(st.sampled_from(MARKS), min_size=1, max_size=3, unique_by=_kind).map(", ".join),
)
roads = st.lists(cells, min_size=1, max_size=10).map(" / ".join)


def check_steps(chart: Chart, steps: tuple[Step, ...]) -> None:
    """What holds for every road that is walked."""
    assert [step.index for step in steps] == list(range(len(steps)))
    assert all(0 <= step.bar < len(chart.bars) for step in steps)
    for before, step in zip([None, *steps], steps, strict=False):
        if before is not None:
            assert (step.why is None) == (step.bar == before.bar + 1)
    # The most that marks like these can ask for: every nesting multiplies, one jump doubles.
    assert len(steps) <= 2 * len(chart.bars) * 4 ** len(chart.bars)
    last: dict[int, int] = {}
    for step in steps:
        assert step.pass_ >= last.get(step.bar, 1)
        last[step.bar] = step.pass_


def _refused(chart: Chart) -> ChartError | None:
    try:
        unroll(chart)
    except ChartError as error:
        return error
    return None


@given(roads)
@example(text="1. 2. / :|, dc")  # the ending begins where its repeat begins
@example(text="1. 2., :| / 3. / dc / .")
def test_any_road_is_walked_or_refused(road: Road, text: str) -> None:
    chart = road(text)
    if error := _refused(chart):
        numbers = {bar.number for bar in chart.bars}
        assert error.problems
        assert all(problem.message and problem.bar in numbers for problem in error.problems)
    else:
        steps = unroll(chart)
        check_steps(chart, steps)
        assert unroll(road(text)) == steps


@given(st.integers(0, 40))
def test_a_road_without_marks_is_walked_straight(road: Road, extra: int) -> None:
    steps = unroll(road(" / ".join(["."] * (extra + 1))))
    assert steps == tuple(Step(index, index, 1, None) for index in range(extra + 1))


@given(st.lists(st.integers(0, 5), min_size=1, max_size=12))
def test_repeats_of_one_bar(road: Road, times: list[int]) -> None:
    steps = unroll(road(" / ".join(f"|:, :| {count}x" for count in times)))
    expected = [index for index, count in enumerate(times) for _ in range(count)]
    assert [step.bar for step in steps] == expected
    for bar, count in enumerate(times):
        assert [step.pass_ for step in steps if step.bar == bar] == list(range(1, count + 1))


@dataclass
class Block:
    """A stretch of the road: its cells, the bars heard the first time and after a jump (from 0)."""

    cells: list[str]
    first: list[int]
    after: list[int]
    plain: bool = False


@st.composite
def plain(draw: st.DrawFn) -> Block:
    length = draw(st.integers(1, 3))
    bars = list(range(length))
    return Block(["."] * length, bars, bars, plain=True)


@st.composite
def repeated(draw: st.DrawFn) -> Block:
    length, times = draw(st.integers(1, 3)), draw(st.integers(0, 4))
    again = draw(st.booleans())
    bars = list(range(length))
    marks = [[] for _ in bars]  # type: list[list[str]]
    marks[0].append("|:")
    marks[-1].append(f":| {times}x{' again' if again else ''}")
    once = bars if times else []
    return Block(
        [", ".join(m) or "." for m in marks], bars * times, bars * times if again else once
    )


@st.composite
def with_endings(draw: st.DrawFn) -> Block:
    common, again = draw(st.integers(1, 2)), draw(st.booleans())
    count = draw(st.integers(2, 3))
    # Share the passes out: the last ending has the last pass.
    total = draw(st.integers(count, 5))
    owners = draw(st.permutations([*range(count), *[0] * (total - count)]))
    assume(owners[-1] == count - 1 and owners[0] == 0)
    cells = ["|:", *["."] * (common - 1)]
    spans = []
    last_is_closed = draw(st.booleans()) or owners.count(count - 1) > 1
    for ending in range(count):
        length = draw(st.integers(1, 2))
        spans.append(list(range(len(cells), len(cells) + length)))
        marks: list[list[str]] = [[] for _ in range(length)]
        passes = [number + 1 for number, owner in enumerate(owners) if owner == ending]
        marks[0].append(" ".join(f"{number}." for number in passes))
        if ending < count - 1 or last_is_closed:
            marks[-1].append(f":|{' again' if again else ''}")
        cells += [", ".join(m) or "." for m in marks]
    head = list(range(common))
    heard = [bar for owner in owners for bar in [*head, *spans[owner]]]
    return Block(cells, heard, heard if again else [*head, *spans[-1]])


blocks = st.lists(st.one_of(plain(), repeated(), with_endings()), min_size=1, max_size=5)


def join(parts: list[Block]) -> tuple[list[str], list[list[int]], list[list[int]]]:
    """Put blocks one after another; the bars of each, the first time and after a jump."""
    cells: list[str] = []
    first, after = [], []
    for part in parts:
        first.append([bar + len(cells) for bar in part.first])
        after.append([bar + len(cells) for bar in part.after])
        cells += part.cells
    return cells, first, after


@given(blocks)
def test_blocks_in_a_row(road: Road, parts: list[Block]) -> None:
    cells, first, _ = join(parts)
    chart = road(" / ".join(cells))
    steps = unroll(chart)
    assert [step.bar for step in steps] == list(chain(*first))
    check_steps(chart, steps)


@given(blocks, st.data())
def test_blocks_and_a_jump(road: Road, parts: list[Block], data: st.DataObject) -> None:
    # A plain block before and after the others, the jump at the end of the last.
    single = Block(["."], [0], [0], plain=True)
    parts = [single, *parts, single]
    cells, first, after = join(parts)
    cells = list(cells)
    marks: dict[int, list[str]] = {}
    starts = [sum(len(part.cells) for part in parts[:place]) for place in range(len(parts))]
    plain_places = [place for place, part in enumerate(parts) if part.plain]
    back = data.draw(st.sampled_from(plain_places))
    back_to_start = data.draw(st.booleans())
    if back_to_start:
        back, word = 0, "dc"
    else:
        word = "ds"
        marks.setdefault(starts[back], []).append("segno")
    goal = data.draw(st.sampled_from([place for place in plain_places if place >= back]))
    end_of_goal = starts[goal] + len(parts[goal].cells) - 1
    aim = data.draw(st.sampled_from(["", " al fine", " al coda"]))
    tail: list[int] = []
    jump_at = len(cells) - 1
    if aim == " al fine":
        marks.setdefault(end_of_goal, []).append("fine")
    elif aim == " al coda":
        marks.setdefault(end_of_goal, []).append("to coda")
        tail = [len(cells) + 1, len(cells) + 2]
        cells += [".", "coda", "."]  # a bar between, so that the coda is not the next bar
    marks.setdefault(jump_at, []).append(word + aim)
    for index, added in marks.items():
        cells[index] = ", ".join([mark for mark in [cells[index]] if mark != "."] + added)
    last = goal if aim else len(parts) - 1
    expected = list(chain(*first)) + list(chain(*after[back : last + 1])) + tail
    chart = road(" / ".join(cells))
    steps = unroll(chart)
    assert [step.bar for step in steps] == expected
    check_steps(chart, steps)
