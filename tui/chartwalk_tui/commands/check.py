"""``chartwalk check FILE...``: what is wrong with chart files."""

import argparse
from pathlib import Path

from chartwalk.files import open_song
from chartwalk.problems import ChartError, Problem
from chartwalk_tui.commands.output import print_json, print_problems, problem_entry
from chartwalk_tui.printable import count


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the files."""
    parser.add_argument("files", nargs="+", type=Path, metavar="FILE")


def run(options: argparse.Namespace) -> int:
    """Check the files; print problems to standard error and one line for each sound file."""
    status = 0
    reports = []
    for file in options.files:
        problems: tuple[Problem, ...] = ()
        warnings: tuple[Problem, ...] = ()
        try:
            song = open_song(file)
            warnings = song.warnings
            steps = count(len(song.steps), "step")
            line = f"{file}: sound, {count(len(song.bars), 'bar')}, {steps}"
        except ChartError as error:
            problems, status, line = error.problems, 1, ""
        reports.append(
            {
                "file": str(file),
                "problems": [*map(problem_entry, problems)],
                "warnings": [*map(problem_entry, warnings)],
            }
        )
        if not options.json:
            print_problems((*problems, *warnings))
            if line:
                print(line)
    if options.json:
        print_json(reports)
    return status
