"""Opening a chart file of any kind: read, unroll, and say everything that is wrong."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from importlib import import_module
from pathlib import Path
from typing import Final, cast

from chartwalk.problems import ChartError, Problem
from chartwalk.reading import PartlyReadError, Reading
from chartwalk.roadmap import Step, idle_signs, unroll
from chartwalk.song import Song

Reader = Callable[[Path], Reading]
READERS: Final[Mapping[str, str]] = {
    ".lead": "chartwalk.leadfile",
    ".musicxml": "chartwalk.musicxml",
    ".xml": "chartwalk.musicxml",
    ".mxl": "chartwalk.musicxml",
}
"""The module that reads each kind of file; it is loaded when such a file is opened."""


def open_song(path: Path) -> Song:
    """Read and unroll a chart file; raise ChartError with every problem and its place."""
    kind = READERS.get(path.suffix.lower())
    if kind is None:
        kinds = ", ".join(READERS)
        message = f"{path.suffix or 'a file without an ending'} is no chart: bring {kinds}"
        raise ChartError([Problem(message, file=str(path))])
    try:
        reading = cast("Reader", import_module(kind).read)(path)
    except PartlyReadError as error:
        problems = (*error.problems, *_walked(error.reading, path)[1])
        raise ChartError(sorted(problems, key=lambda p: (p.line, p.column))) from error
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise ChartError([Problem(f"can't be opened: {reason}", file=str(path))]) from error
    steps, problems = _walked(reading, path)
    if problems:
        raise ChartError(problems)
    idle = (_placed(problem, reading, path) for problem in idle_signs(reading.chart.bars))
    return Song(path, reading.chart, steps, (*reading.warnings, *idle))


def _walked(reading: Reading, path: Path) -> tuple[tuple[Step, ...], tuple[Problem, ...]]:
    """Return the play order, or what is wrong with the road, placed in the file."""
    try:
        steps = unroll(reading.chart)
    except ChartError as error:
        return (), tuple(_placed(problem, reading, path) for problem in error.problems)
    if steps:
        return steps, ()
    return (), (Problem("no bar is ever played: its repeat says 0 times", str(path)),)


def _placed(problem: Problem, reading: Reading, path: Path) -> Problem:
    """Give a problem of the road the file, and the line and column of its bar where known."""
    line, column = reading.places[problem.index] if reading.places else (0, 0)
    return replace(problem, file=str(path), line=line, column=column)
