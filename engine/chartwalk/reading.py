"""What a reader hands on: the chart, what could not be kept, and where each bar stands."""

from dataclasses import dataclass

from chartwalk.chart import Chart
from chartwalk.problems import Problem


@dataclass(frozen=True, slots=True)
class Reading:
    """A chart as read from a file.

    ``warnings`` tell what was mended or left out. ``places`` gives the line and column of each
    bar's road marks, counted from 1; it is empty where the source has no lines of its own.
    """

    chart: Chart
    warnings: tuple[Problem, ...] = ()
    places: tuple[tuple[int, int], ...] = ()
