"""How the commands print."""

import json
import sys
from collections.abc import Callable, Iterable
from pathlib import Path

from chartwalk.files import open_song
from chartwalk.problems import ChartError, Problem
from chartwalk.song import Song


def print_json(value: object) -> None:
    """Print one value as one line of JSON."""
    print(json.dumps(value, ensure_ascii=False))


def print_problems(problems: Iterable[Problem]) -> None:
    """Print problems to standard error, a line each."""
    for problem in problems:
        print(problem, file=sys.stderr)


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
