"""How the commands print."""

import json
import sys
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Final

from chartwalk.files import open_song
from chartwalk.problems import ChartError, Problem
from chartwalk.song import Song

BAD_INPUT: Final = 1  # the exit status


def print_json(value: object) -> None:
    """Print one value as one line of JSON."""
    print(json.dumps(value, ensure_ascii=False))


def print_problems(problems: Iterable[Problem]) -> None:
    """Print problems to standard error, a line each."""
    for problem in problems:
        print(problem, file=sys.stderr)


def problem_entry(problem: Problem) -> dict[str, object]:
    """Return a problem or a warning as JSON has it; what is not known is null."""
    return {
        "line": problem.line or None,
        "column": problem.column or None,
        "bar": problem.bar or None,
        "message": problem.message,
    }


def stands(file: Path, force: bool) -> bool:
    """Whether a file is there that must not be written over; say so."""
    there = file.exists() and not force
    if there:
        print(f"{file} is there already: --force writes over it", file=sys.stderr)
    return there


def refused(file: Path, error: OSError) -> int:
    """Say why a file can't be written, and return the exit status."""
    reason = (error.strerror or str(error)).lower()
    print(f"{file}: can't be written: {reason}", file=sys.stderr)
    return BAD_INPUT


def each_song(files: Iterable[Path], use: Callable[[Song], None]) -> int:
    """Open each file and use the song; return 1 if one of them can't be opened, else 0."""
    status = 0
    for file in files:
        try:
            use(open_song(file))
        except ChartError as error:
            print_problems(error.problems)
            status = 1
    return status
