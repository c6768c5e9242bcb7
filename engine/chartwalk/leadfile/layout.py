"""Lines into headers and systems, rows into cells: where everything stands in a `.lead` text."""

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from difflib import get_close_matches
from itertools import islice, pairwise
from typing import Final

from chartwalk.problems import Problem

HEADERS: Final = ("title", "credit", "key", "meter", "tempo", "feel", "voice", "note", "section")
ROWS: Final = ("road", "chords", "tune", "words")
BAR_LINES: Final = ("|", "||", "|:", ":|")
MOST_ON_A_LINE: Final = 9  # control characters that are told

_CONTROL: Final = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f]")  # all but the tab
_LINE: Final = re.compile(r"\s*((?:(?!:\|)[^\s|])+|\S)\s*")
_WORDS: Final = re.compile(r"words\s*(\d*)\s*(?=:?\||$)")
_BAR_LINE: Final = re.compile(r":?\|+:?")
_TOKEN: Final = re.compile(r"\S+")


@dataclass(frozen=True, slots=True)
class Token:
    """A piece of text and its place: line and column count from 1."""

    text: str
    line: int
    column: int

    def problem(self, message: str, file: str, shift: int = 0) -> Problem:
        """Return a problem at this place, or some characters further on."""
        return Problem(message, file=file, line=self.line, column=self.column + shift)

    def split(self) -> tuple["Token", ...]:
        """Return the words of the text, each with its own place."""
        return tuple(
            Token(match[0], self.line, self.column + match.start())
            for match in _TOKEN.finditer(self.text)
        )


@dataclass(frozen=True, slots=True)
class Row:
    """One row of a system: its word, its cells, and the bar lines around them (one more)."""

    word: str
    head: Token
    cells: tuple[Token, ...]
    lines: tuple[Token, ...]


@dataclass(frozen=True, slots=True)
class Header:
    """A header line: its word and its value."""

    word: Token
    value: Token


@dataclass(slots=True)
class System:
    """The rows that stand together, by their words: road, chords, tune, words 1, words 2 ...

    ``broken`` tells that a line among them could not be read, so that they may lack a row.
    """

    rows: dict[str, Row] = field(default_factory=dict)
    broken: bool = False


def layout(text: str, file: str, problems: list[Problem]) -> Iterator[Header | System]:
    """Yield the headers and systems of a text in order; what fits nowhere becomes a problem."""
    system = System()
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    for number, written in enumerate(lines, start=1):
        line = written.expandtabs(1)
        if line.startswith("#"):
            continue
        for control in islice(_CONTROL.finditer(line), MOST_ON_A_LINE):
            place = Token(control[0], number, control.start() + 1)
            message = f"a control character ({control[0]!r}) is no text: take it out"
            problems.append(place.problem(message, file))
        line = _CONTROL.sub("·", line)
        match = _LINE.match(line)
        item = _line(line, number, match, file, problems) if match else None
        if isinstance(item, Row) and item.word not in system.rows:
            system.rows[item.word] = item
        elif isinstance(item, Row):
            message = f"a second {item.word!r} row: leave a blank line between systems"
            problems.append(item.head.problem(message, file))
        elif match and item is None:
            system.broken = True
        else:
            if system.rows:
                yield system
            system = System()
            if isinstance(item, Header):
                yield item
    if system.rows:
        yield system


def _line(
    line: str, number: int, match: re.Match[str], file: str, problems: list[Problem]
) -> Header | Row | None:
    word = Token(match[1], number, match.start(1) + 1)
    value = Token(line[match.end() :].rstrip(), number, match.end() + 1)
    if word.text in HEADERS:
        return Header(word, value)
    if verse := _WORDS.match(line, match.start(1)):
        rest = Token(line[verse.end() :].rstrip(), number, verse.end() + 1)
        if re.fullmatch(r"[1-9]\d?|", verse[1]):
            return _row(f"words {verse[1] or 1}", word, rest, file, problems)
        problems.append(word.problem(f"verse {verse[1][:9]}: verses count from 1 to 99", file))
        return None
    if word.text in ROWS:
        return _row(word.text, word, value, file, problems)
    problems.append(word.problem(_unknown(word.text), file))
    return None


def _unknown(word: str) -> str:
    near = get_close_matches(word.lower(), (*HEADERS, *ROWS), 1)
    if near:
        return f"{word!r} is no word of a chart: did you mean {near[0]!r}?"
    return f"{word!r} is no word of a chart: a line begins with {', '.join((*HEADERS, *ROWS))}"


def _row(word: str, head: Token, rest: Token, file: str, problems: list[Problem]) -> Row | None:
    """Cut a row at its bar lines; it begins and ends with one."""
    marks = list(_BAR_LINE.finditer(rest.text))
    if not marks or rest.text[: marks[0].start()].strip() or rest.text[marks[-1].end() :].strip():
        close = "; a final bar line is written |" if rest.text.endswith("|]") else ""
        message = f"a {word} row begins and ends with a bar line |{close}"
        problems.append(rest.problem(message, file))
        return None
    lines = tuple(Token(m[0], rest.line, rest.column + m.start()) for m in marks)
    for bar_line in lines:
        if bar_line.text not in BAR_LINES:
            problems.append(
                bar_line.problem(
                    f"{bar_line.text!r} is no bar line: write | || |: or :| "
                    "(where one repeat ends and another begins, end the system with :|)",
                    file,
                )
            )
    cells = tuple(_stripped(rest, left.end(), right.start()) for left, right in pairwise(marks))
    if not cells:
        problems.append(rest.problem(f"a {word} row holds at least one bar: | ... |", file))
        return None
    return Row(word, head, cells, lines)


def _stripped(rest: Token, start: int, end: int) -> Token:
    """Return the text of a cell without the spaces around it; an empty one keeps its place."""
    text = rest.text[start:end]
    lead = len(text) - len(text.lstrip()) if text.strip() else min(1, len(text))
    return Token(text.strip(), rest.line, rest.column + start + lead)
