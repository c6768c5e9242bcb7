"""``chartwalk order FILE...``: the play order, with the reason of each jump."""

import argparse
from pathlib import Path

from chartwalk.song import Song
from chartwalk_tui.commands.output import each_song, print_json


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the files."""
    parser.add_argument("files", nargs="+", type=Path, metavar="FILE")


def run(options: argparse.Namespace) -> int:
    """Print the play order of each file; as JSON, one object a line for each file."""
    return each_song(options.files, _print_object if options.json else _print_lines)


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


def _print_lines(song: Song) -> None:
    """Print a line a stretch: the bars that follow each other on paper, and why it begins."""
    print(f"{song.chart.title}: {len(song.bars)} bars, {len(song.steps)} steps")
    starts = [step.index for step in song.steps if step.why or step.index == 0]
    for start, end in zip(starts, [*starts[1:], len(song.steps)], strict=True):
        numbers = [song.bars[step.bar].number for step in song.steps[start:end]]
        why = song.steps[start].why or "from the beginning"
        section = song.section_names[song.steps[start].bar]
        print(f"  {why}{f' ({section})' if section else ''}: {' '.join(numbers)}")
