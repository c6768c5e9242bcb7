"""Notices: what a reading assumed, mended or left out, and in which bar."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from chartwalk.problems import ChartError, Problem

MOST: Final = 200  # nobody reads more


@dataclass(frozen=True, slots=True)
class Notice:
    """One thing to tell: ``bar`` counts the written bars from 0; None means the whole file."""

    message: str
    bar: int | None = None

    def problem(self, file: str, numbers: tuple[str, ...]) -> Problem:
        """Return it with the file's name and the number the page prints for the bar."""
        if self.bar is None or self.bar >= len(numbers):
            return Problem(self.message, file=file)
        return Problem(self.message, file=file, bar=numbers[self.bar], index=self.bar)


def at(bar: int, messages: Iterable[str]) -> tuple[Notice, ...]:
    """Give messages their bar."""
    return tuple(Notice(message, bar) for message in messages)


def in_order(notices: Iterable[Notice]) -> tuple[Notice, ...]:
    """Return notices by their bars, each once; of thousands the first, and how many more."""
    told = sorted(dict.fromkeys(notices), key=lambda notice: notice.bar or 0)
    more = len(told) - MOST
    return (*told[:MOST], *[Notice(f"and {more} notices more like these")] * (more > 0))


def refusal(message: str, name: str, line: int = 0, column: int = 0) -> ChartError:
    """Return the error for a file that can't be read at all."""
    return ChartError([Problem(message, file=name, line=line, column=column)])
