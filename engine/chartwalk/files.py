"""Opening a chart file of any kind: read, unroll, and say everything that is wrong."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Final

from chartwalk import leadfile, musicxml
from chartwalk.problems import ChartError, Problem
from chartwalk.reading import Reading
from chartwalk.roadmap import unroll
from chartwalk.song import Song

READERS: Final[Mapping[str, Callable[[Path], Reading]]] = {
    ".lead": leadfile.read,
    ".musicxml": musicxml.read,
    ".xml": musicxml.read,
    ".mxl": musicxml.read,
}


def open_song(path: Path) -> Song:
    """Read and unroll a chart file; raise ChartError with every problem and its place."""
    reader = READERS.get(path.suffix.lower())
    if reader is None:
        kinds = ", ".join(READERS)
        message = f"{path.suffix or 'a file without an ending'} is no chart: bring {kinds}"
        raise ChartError([Problem(message, file=str(path))])
    try:
        reading = reader(path)
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise ChartError([Problem(f"can't be opened: {reason}", file=str(path))]) from error
    try:
        steps = unroll(reading.chart)
    except ChartError as error:
        raise ChartError(_placed(problem, reading, path) for problem in error.problems) from error
    if not steps:
        raise ChartError([Problem("no bar is ever played: its repeat says 0 times", str(path))])
    return Song(path, reading.chart, steps, reading.warnings)


def _placed(problem: Problem, reading: Reading, path: Path) -> Problem:
    """Give a problem of the road the file, and the line and column of its bar where known."""
    line, column = reading.places[problem.index] if reading.places else (0, 0)
    return replace(problem, file=str(path), line=line, column=column)
