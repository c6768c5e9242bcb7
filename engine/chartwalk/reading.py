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
    """

    chart: Chart
    warnings: tuple[Problem, ...] = ()
    places: tuple[tuple[int, int], ...] = ()


class PartlyReadError(ChartError):
    """A chart with problems whose bars are whole all the same, so that its road can be checked.

    ``reading`` is what could be read; its chart is not fit for anything else.
    """

    def __init__(self, problems: Iterable[Problem], reading: Reading) -> None:
        super().__init__(problems)
        self.reading = reading
