"""Opening a chart file of any kind: read, unroll, and say everything that is wrong."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from importlib import import_module
from pathlib import Path
from typing import Final, cast

from chartwalk.problems import ChartError, Problem
from chartwalk.reading import PartlyReadError, Reading
from chartwalk.roadmap import Step, road_notices, unroll
from chartwalk.song import Song

Reader = Callable[[Path], Reading]
READERS: Final[Mapping[str, str]] = {
    ".lead": "chartwalk.leadfile",
    ".musicxml": "chartwalk.musicxml",
    ".xml": "chartwalk.musicxml",
    ".mxl": "chartwalk.musicxml",
    ".abc": "chartwalk.abc",
}
"""The module that reads each kind of file; it is loaded when such a file is opened."""

BOOK: Final = ".abc"  # the kind that may hold several tunes


def file_of(path: Path) -> Path:
    """Return the file of a song; ``book.abc#12`` is a tune of a book.

    >>> file_of(Path("songs/book.abc#12")).name
    'book.abc'
    """
    if "#" not in path.name:
        return path
    file: Path = import_module(READERS[BOOK]).located(path)[0]
    return file


def stamp(path: Path) -> tuple[int, int] | None:
    """Return what changes when a file is written; None where there is none."""
    try:
        status = file_of(path).stat()
    except OSError:
        return None
    return status.st_mtime_ns, status.st_size


def tunes_of(path: Path) -> list[tuple[Path, str]]:
    """Return the songs of a file that holds several, with their titles; none for other files.

    Nothing is raised: what can't be read says so when it is opened.
    """
    if path.suffix.lower() != BOOK or not path.is_file():
        return []
    try:
        found = import_module(READERS[BOOK]).tunes(path)
    except (ChartError, OSError):
        return []
    many = len(found) > 1
    return [(path.with_name(f"{path.name}#{n}"), title) for n, title in found if many]


def open_song(path: Path) -> Song:
    """Read and unroll a chart file; raise ChartError with every problem and its place."""
    song = open_for_practice(path)
    if song.problems:
        raise ChartError(song.problems)
    return song


def open_for_practice(path: Path) -> Song:
    """Open what can be read of a chart file; its problems stand in the song.

    A road that can't be walked is played straight through. Raises ChartError where no bar could be
    read.
    """
    kind = READERS.get(path.suffix.lower().partition("#")[0])  # book.abc#12: a tune of a book
    if kind is None:
        kinds = ", ".join(READERS)
        message = f"{path.suffix or 'a file without an ending'} is no chart: bring {kinds}"
        raise ChartError([Problem(message, file=str(path))])
    try:
        reading = cast("Reader", import_module(kind).read)(path)
    except PartlyReadError as error:
        return _partly(error, path)
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise ChartError([Problem(f"can't be opened: {reason}", file=str(path))]) from error
    steps, problems = _walked(reading, path)
    if problems:
        return _song(path, reading, (), reading.warnings, problems)
    left = (_placed(notice, reading, path) for notice in road_notices(reading.chart))
    return _song(path, reading, steps, (*reading.warnings, *left))


def _partly(error: PartlyReadError, path: Path) -> Song:
    reading = error.reading
    steps, more = _walked(reading, path) if error.road else ((), ())
    problems = sorted((*error.problems, *more), key=lambda p: (p.line, p.column))
    return _song(path, reading, steps, reading.warnings, tuple(problems))


def _song(
    path: Path,
    reading: Reading,
    steps: tuple[Step, ...],
    warnings: tuple[Problem, ...],
    problems: tuple[Problem, ...] = (),
) -> Song:
    """Put a song together; without steps it is played straight through."""
    straight = (Step(index, index, 1) for index in range(len(reading.chart.bars)))
    played = steps or tuple(straight)
    return Song(path, reading.chart, played, warnings, problems, keyed=reading.keyed)


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
