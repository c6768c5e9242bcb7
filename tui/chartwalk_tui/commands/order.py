"""``chartwalk order FILE...``: the play order, as a player would say it."""

import argparse
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Final

from chartwalk.itinerary import phrases
from chartwalk.song import Song
from chartwalk_tui.commands.output import each_song, print_json
from chartwalk_tui.printable import count

WIDTH: Final = 78
INDENT: Final = "  "


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the files."""
    parser.add_argument("files", nargs="+", type=Path, metavar="FILE")


def run(options: argparse.Namespace) -> int:
    """Print the play order of each file; as JSON, one object a line for each file."""
    return each_song(options.files, _print_object if options.json else _print_words)


def _print_object(song: Song) -> None:
    steps = [
        {
            "index": step.bar,
            "bar": song.bars[step.bar].number,
            "section": song.section_names[step.bar],
            "pass": step.pass_,
            "why": step.why,
        }
        for step in song.steps
    ]
    print_json({"file": str(song.path), "title": song.chart.title, "steps": steps})


def _print_words(song: Song) -> None:
    """Print the title, and under it the road in words, wrapped between its stretches."""
    print(f"{song.chart.title}: {count(len(song.bars), 'bar')}, {count(len(song.steps), 'step')}")
    for line in _lines(phrases(song)):
        print(f"{INDENT}{line}")


def _lines(said: Iterable[str]) -> Iterator[str]:
    line = ""
    for phrase in said:
        if line and len(line) + len(phrase) + len(", ,") > WIDTH - len(INDENT):
            yield f"{line},"
            line = phrase
        else:
            line = f"{line}, {phrase}" if line else phrase
    yield line
