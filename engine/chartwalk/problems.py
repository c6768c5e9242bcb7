"""What is wrong with a chart, and where: the one error that readers raise."""

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing that is wrong, and its place.

    ``line`` and ``column`` count from 1; 0 where the source has none. ``bar`` is the printed number
    of the bar, where the trouble belongs to one; ``index`` is that bar's index, from 0.

    >>> str(Problem("chord 'C7zz': ...", file="songs/x.lead", line=12, column=18))
    "songs/x.lead:12:18 chord 'C7zz': ..."
    >>> str(Problem("D.S. without a segno", bar="9"))
    'bar 9: D.S. without a segno'
    """

    message: str
    file: str = ""
    line: int = 0
    column: int = 0
    bar: str = ""
    index: int = 0

    @property
    def place(self) -> str:
        """Where it is, as compilers write it; empty where nothing is known."""
        numbers = [str(number) for number in (self.line, self.column) if number]
        return ":".join([self.file, *numbers] if self.file or numbers else [])

    def __str__(self) -> str:
        bar = f"bar {self.bar}: " if self.bar and not self.line else ""
        return f"{self.place}{' ' if self.place else ''}{bar}{self.message}"


class ChartError(ValueError):
    """A chart that can't be read or walked, with every problem that was found."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("\n".join(str(problem) for problem in self.problems))
