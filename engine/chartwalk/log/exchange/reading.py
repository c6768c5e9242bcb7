"""Reading a log written as JSON Lines: every line is looked at before any is taken in."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import BinaryIO

from chartwalk.log.exchange.lines import LAYOUT, HeadLine, Line, LineError, SongLine, from_text
from chartwalk.log.exchange.problems import ExchangeError
from chartwalk.log.records import RunRecord
from chartwalk.problems import Problem


@dataclass(frozen=True, slots=True)
class Found:
    """What the other lines of a file hold on to: its songs, and its runs with their lines."""

    songs: list[SongLine]
    runs: list[tuple[int, RunRecord]]


def read(file: BinaryIO, name: str) -> Found:
    """Read a whole file; raise ExchangeError with all that is wrong with it."""
    found = Found([], [])
    problems: list[Problem] = []
    begun = False
    for number, text in _texts(file):
        try:
            line = _line(text)
            if not begun:
                _check_head(line)
        except LineError as error:
            problems += [Problem(message, name, number) for message in error.messages]
            if not begun:  # another kind of file: all other lines would be wrong too
                break
            continue
        begun = True
        if isinstance(line, SongLine):
            found.songs.append(line)
        elif isinstance(line, RunRecord):
            found.runs.append((number, line))
    if not begun and not problems:
        problems.append(Problem("the file is empty: not even a first line", name, 1))
    if problems:
        raise ExchangeError(problems)
    return found


def numbered(file: BinaryIO) -> Iterator[tuple[int, Line]]:
    """Yield the lines of a file that was read before, with their numbers from 1."""
    for number, text in _texts(file):
        yield number, _line(text)


def _texts(file: BinaryIO) -> Iterator[tuple[int, bytes]]:
    for number, text in enumerate(file, start=1):
        if text.strip():
            yield number, text.removeprefix(b"\xef\xbb\xbf") if number == 1 else text


def _line(text: bytes) -> Line:
    try:
        return from_text(text.decode())
    except UnicodeDecodeError:
        raise LineError("is no UTF-8 text") from None


def _check_head(line: Line) -> None:
    if not isinstance(line, HeadLine):
        raise LineError("the first line of a log says: record log")
    if line.layout > LAYOUT:
        raise LineError("the log was written out by a newer chartwalk: update this one")
