"""Tunebooks: where each tune of a file begins and ends, and what it is called.

A tune begins with its ``X:`` field and ends with the empty line after its music (ABC 2.1 section
2.2); what stands between tunes is free text. Fields before the first tune hold for all of them
(2.2.2). A file without any ``X:`` that has a ``K:`` is one tune (2.3.1).
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from chartwalk.abc.text import lines_of, text_string, without_comment

_REFERENCE: Final = re.compile(r"(.+\.abc)#([1-9]\d{0,8})", re.IGNORECASE)
_START: Final = re.compile(r"X:(?![|:\]])\s*(\d{0,9})")
_FIELD: Final = re.compile(r"[A-Za-z+]:")
_HEAD_FIELD: Final = re.compile(r"[MLIUCOm]:|%%")


@dataclass(frozen=True, slots=True)
class Line:
    """A line of a file and its number, from 1."""

    number: int
    text: str


@dataclass(frozen=True, slots=True)
class Tune:
    """One tune of a book: its number, its title, and its lines with the free text after them.

    The number is that of its ``X:`` field; where that is missing or taken, one beyond all others.
    ``start`` is the number of its first line.
    """

    number: int
    title: str
    start: int
    texts: tuple[str, ...]

    def lines(self) -> tuple[list[Line], Line | None]:
        """Return its lines up to the empty line after its music, and what looks like more."""
        lines = [Line(number, text) for number, text in enumerate(self.texts, self.start)]
        body = music = False
        for place, line in enumerate(lines):
            if music and not line.text.strip():
                after = (later for later in lines[place:] if _is_music(later.text))
                return lines[:place], next(after, None)
            music = music or (body and bool(line.text.strip()) and line.text[0] != "%")
            body = body or line.text.startswith("K:")
        return lines, None


@dataclass(frozen=True, slots=True)
class Book:
    """The tunes of a file and the lines of its header.

    ``strict`` tells that it says to follow ABC 2.1, ``marked`` that its tunes have ``X:`` fields.
    """

    head: tuple[Line, ...]
    tunes: tuple[Tune, ...]
    strict: bool = False
    marked: bool = True


def located(path: Path) -> tuple[Path, int | None]:
    """Return the file and the number that a path such as ``book.abc#12`` names.

    A file that really has such a name is itself.

    >>> located(Path("songs/book.abc#12")), located(Path("book.abc"))
    ((PosixPath('songs/book.abc'), 12), (PosixPath('book.abc'), None))
    """
    match = _REFERENCE.fullmatch(path.name)
    if match is None or path.is_file():
        return path, None
    return path.with_name(match[1]), int(match[2])


def book(text: str) -> Book:
    r"""Find the tunes of a file, without reading their music.

    >>> found = book("X:4\nT:Ebb\nK:C\nC|\n\nX:4\nT:Flow\nK:C\nD|").tunes
    >>> [(tune.number, tune.title) for tune in found]
    [(4, 'Ebb'), (5, 'Flow')]
    """
    lines = lines_of(text)
    starts = [place for place, line in enumerate(lines) if _START.match(line)]
    strict = lines[0].startswith("%abc-2.1")
    if not starts:
        sung = any(line.startswith("K:") for line in lines)
        alone = (Tune(1, _title(lines), 1, tuple(lines)),) if sung else ()
        return Book((), alone, strict, marked=False)
    ends = [*starts[1:], len(lines)]
    numbers = _numbers([_stated(lines[start]) for start in starts])
    tunes = tuple(
        Tune(number, _title(lines[start:end]), start + 1, tuple(lines[start:end]))
        for number, start, end in zip(numbers, starts, ends, strict=True)
    )
    return Book(tuple(_head(lines[: starts[0]])), tunes, strict)


def _stated(line: str) -> int:
    match = _START.match(line)
    return int(match[1] or 0) if match else 0


def _numbers(stated: Sequence[int]) -> Iterator[int]:
    """Give every tune a number of its own."""
    spare = max(stated)
    taken: set[int] = set()
    for number in stated:
        if number and number not in taken:
            taken.add(number)
            yield number
        else:
            spare += 1
            yield spare


def _title(lines: Sequence[str]) -> str:
    for line in lines:
        if line.startswith("T:") and (title := text_string(without_comment(line[2:]))):
            return title
        if line.startswith("K:"):
            break
    return ""


def _is_music(text: str) -> bool:
    return "|" in text and not _FIELD.match(text) and not text.startswith("%")


def _head(lines: Sequence[str]) -> Iterator[Line]:
    """Yield the lines of the file header that bear on the music: up to the first empty line."""
    for number, line in enumerate(lines, 1):
        if not line.strip():
            return
        if _HEAD_FIELD.match(line):
            yield Line(number, line)
