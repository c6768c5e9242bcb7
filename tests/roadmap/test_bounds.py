"""Roads at random are bounded, come to every bar or say which they leave out, and cost little.

The cost is counted, not timed: the lines of the play order's own code that are run.
"""

import sys
from collections import Counter
from collections.abc import Callable
from functools import partial
from itertools import groupby
from math import prod
from pathlib import Path
from types import FrameType
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

import chartwalk.roadmap
from chartwalk.chart import Chart
from chartwalk.problems import ChartError
from chartwalk.roadmap import find_repeats, road_notices, unroll

Road = Callable[[str], Chart]

FOLDER = str(Path(chartwalk.roadmap.__file__).parent)

# Whole stretches, so that most roads can be walked, and single signs between them.
STRETCHES = [
    ".", ". / .", "|: / :|", "|:, :| 3x", "|:, :| 0x", "|: / :| again", "|: / |:, :| / :|",
    "|: / 1., :| / 2.", "|: / 1. 2., :| / 3.", "|: / 1. 3., :| / 2. 4., :|", "|: / 1., :| 3x / 2.",
    "segno", "coda", "to coda", "fine", "dc", "ds", "dc al fine", "ds al fine", "dc al coda",
    "ds al coda", "segno, to coda", "fine, :|",
]  # fmt: skip
roads = st.lists(st.sampled_from(STRETCHES), min_size=1, max_size=9).map(" / ".join)


@given(roads)
def test_no_bar_is_played_more_often_than_its_repeats_and_one_jump_ask_for(
    road: Road, text: str
) -> None:
    chart = road(text)
    try:
        steps = unroll(chart)
    except ChartError:
        return
    repeats, _ = find_repeats(chart.bars)
    for bar, count in Counter(step.bar for step in steps).items():
        times = prod(repeat.times for repeat in repeats if repeat.start <= bar <= repeat.last)
        assert count <= 2 * times, (text, bar)


@given(roads)
def test_every_bar_is_played_or_reported(road: Road, text: str) -> None:
    chart = road(text)
    try:
        played = {step.bar for step in unroll(chart)}
    except ChartError:
        return
    told = {n.index: n.message for n in road_notices(chart) if "never played" in n.message}
    for reached, group in groupby(range(len(chart.bars)), key=played.__contains__):
        stretch = list(group)
        if not reached:
            message = told.pop(stretch[0])
            assert chart.bars[stretch[0]].number in message
            assert chart.bars[stretch[-1]].number in message
    assert not told, "nothing else is reported"


def lines_run(work: Callable[[], object]) -> int:
    """Count the lines of the play order's code that a piece of work runs."""
    count = 0

    def line(frame: FrameType, event: str, _: Any) -> Any:  # noqa: ANN401 - the tracer's own type
        nonlocal count
        count += event == "line"
        return line

    def call(frame: FrameType, _event: str, _: Any) -> Any:  # noqa: ANN401
        return line if frame.f_code.co_filename.startswith(FOLDER) else None

    before = sys.gettrace()
    sys.settrace(call)
    try:
        work()
    finally:
        sys.settrace(before)
    return count


LONG = {
    "plain": (". / .", "", ""),
    "repeats": ("|: / :|", "", ""),
    "lone repeats": (". / :|", "", ""),
    "endings": ("|: / 1., :| / 2.", "", ""),
    "endings without an opening sign": (". / 1., :| / 2.", "", ""),
    "many endings in turns": ("|: / 1. 3., :| / 2. 4., :| / .", "", ""),
    "nested": ("|: / |:, :| / :|", "", ""),
    "D.C.": ("|: / 1., :| / 2.", "", " / dc / ."),
    "D.S. al Coda": ("|: / 1., :| / 2.", "segno / ", " / to coda / ds al coda / coda"),
    "D.C. al Fine at once": ("|: / 1., :| / 2.", "fine / ", " / dc al fine"),
    "never played": ("|:, :| 0x / .", "", ""),
    "stray codas": ("coda / to coda", "", ""),
}


@pytest.mark.parametrize("name", LONG)
def test_twice_the_road_is_twice_the_work(road: Road, name: str) -> None:
    stretch, head, tail = LONG[name]
    charts = [road(f"{head}{' / '.join([stretch] * count)}{tail}") for count in (100, 200)]
    once, twice = (lines_run(partial(road_notices, chart)) for chart in charts)
    assert twice <= 2.1 * once
    steps = len(unroll(charts[1]))
    assert twice <= 100 * (len(charts[1].bars) + steps)
