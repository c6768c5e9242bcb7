"""Unrolling a chart of 10,000 bars, against a bare loop over the bars it plays (the reference)."""

from collections.abc import Callable

import pytest

from chartwalk.chart import Bar, Chart, RoadMark, Section, Sign
from chartwalk.roadmap import unroll

BARS = 10_000


@pytest.fixture(scope="module")
def chart() -> Chart:
    """Ten-bar stretches, each with a repeat and two endings; a D.C. al Fine over all."""
    marks: dict[int, list[RoadMark]] = {}
    for start in range(0, BARS, 10):
        marks[start] = [RoadMark(Sign.REPEAT_START)]
        marks[start + 6] = [RoadMark(Sign.ENDING, (1,))]
        marks[start + 7] = [RoadMark(Sign.REPEAT_END)]
        marks[start + 8] = [RoadMark(Sign.ENDING, (2,))]
    marks[BARS - 12 + 1] = [RoadMark(Sign.FINE)]
    marks[BARS - 1] = [RoadMark(Sign.DC_AL_FINE)]
    bars = (Bar(str(n + 1), marks=tuple(marks.get(n, ()))) for n in range(BARS))
    return Chart("Long", (Section("", tuple(bars)),))


@pytest.mark.benchmark(group="10,000 bars")
def test_unroll(benchmark: Callable[..., object], chart: Chart) -> None:
    """The play order, with passes and reasons."""
    benchmark(lambda: unroll(chart))


@pytest.mark.benchmark(group="10,000 bars")
def test_bare_loop(benchmark: Callable[..., object], chart: Chart) -> None:
    """The least that any unroller does: make a tuple for every step."""
    bars = chart.bars
    order = [step.bar for step in unroll(chart)]
    benchmark(lambda: [(index, bars[bar], 1, None) for index, bar in enumerate(order)])


def test_how_many_steps(chart: Chart, capsys: pytest.CaptureFixture[str]) -> None:
    """Say how many steps the figures are for."""
    with capsys.disabled():
        print(f"\n{BARS} bars written, {len(unroll(chart))} steps played")
