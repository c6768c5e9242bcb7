"""What a reader hands on: the chart, what could not be kept, and where each bar stands."""

from collections.abc import Iterable
from dataclasses import dataclass

from chartwalk.chart import Chart
from chartwalk.problems import ChartError, Problem


@dataclass(frozen=True, slots=True)
class Reading:
    """A chart as read from a file.

    ``warnings`` tell what was mended or left out. ``places`` gives the line and column of each
    bar's road marks, counted from 1; it is empty where the source has no lines of its own.
    ``keyed`` tells whether the source names a key; C major stands in where it does not.
    """

    chart: Chart
    warnings: tuple[Problem, ...] = ()
    places: tuple[tuple[int, int], ...] = ()
    keyed: bool = True


class PartlyReadError(ChartError):
    """A chart with problems, of which something could be read all the same.

    ``reading`` is what could be read: whole bars, without what was wrong in them. ``road`` tells
    whether every bar and every road mark is among it, so that its road can be checked too.
    """

    def __init__(self, problems: Iterable[Problem], reading: Reading, *, road: bool = True) -> None:
        super().__init__(problems)
        self.reading = reading
        self.road = road
