"""What is wrong with a file that is to be taken in."""

from collections.abc import Iterable

from chartwalk.log.errors import LogError
from chartwalk.problems import Problem


class ExchangeError(LogError):
    """A file that can't be taken in, with every problem that was found."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("; ".join(str(problem) for problem in self.problems))
