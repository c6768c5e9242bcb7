"""A short way to write a road: one cell a bar, its marks separated by commas.

``. / |:, 1. / segno, :| 3x again / dc al fine`` has four bars. ``:|`` may say how often the bars
are played in all (``3x``) and that the repeat is taken after a jump too (``again``); other marks
are the words of a `.lead` file. A dot is a bar without marks. ``0 . / .`` starts with a pickup.
"""

from collections.abc import Callable
from fractions import Fraction

import pytest

from chartwalk.chart import Bar, Chart, Note, RoadMark, Section, Sign

Road = Callable[[str], Chart]


def _mark(text: str) -> RoadMark:
    first, *rest = text.split()
    if first == ":|":
        times = next((int(word[:-1]) for word in rest if word.endswith("x")), 2)
        return RoadMark(Sign.REPEAT_END, times=times, after_jump="again" in rest)
    if first[0].isdigit():
        return RoadMark(Sign.ENDING, passes=tuple(int(word[:-1]) for word in text.split()))
    return RoadMark(Sign(text))


def _road(text: str) -> Chart:
    has_pickup = text.startswith("0 ")
    cells = [cell.strip() for cell in text.removeprefix("0 ").split(" / ")]
    marks = [
        tuple(_mark(mark.strip()) for mark in cell.split(",") if mark != ".") for cell in cells
    ]
    bars = [Bar(str(number), marks=found) for number, found in enumerate(marks, 1)]
    if has_pickup:
        beat = Fraction(1)
        rest = Note(None, beat)
        pickup = Bar("0", length=beat, pickup=True, tune=(rest,), marks=marks[0])
        bars = [
            pickup,
            *(Bar(str(number), marks=found) for number, found in enumerate(marks[1:], 1)),
        ]
    return Chart("Road", (Section("", tuple(bars)),))


@pytest.fixture(scope="session")
def road() -> Road:
    """Turn the short way to write a road into a chart."""
    return _road
