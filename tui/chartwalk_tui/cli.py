"""The `chartwalk` command: the screens, or one of the small commands beside them."""

import argparse
import gc
import io
import os
import sys
from collections.abc import Sequence
from difflib import get_close_matches
from importlib import import_module
from pathlib import Path
from typing import Final

from chartwalk.files import READERS, open_for_practice, tunes_of
from chartwalk.problems import ChartError
from chartwalk.song import Song

BAD_INPUT: Final = 1

COMMANDS: Final = {
    "check": "say what is wrong with chart files; exit 1 if one can't be opened",
    "order": "print the bars in the order they are played, with the reason of each jump",
    "spell": "spell chord symbols: the notes, their degrees, and why",
    "convert": "write a chart as .lead, MusicXML or MIDI, in another key, plainer, in play order",
    "keys": "rank the twelve keys for a singer: what fits the voice, what strains, one to take",
    "songs": "list the demo songs and the songs opened before, with their paths",
    "log": "list your trouble marks, write the log into a file, take in another machine's log",
    "ports": "list the MIDI outputs, and say what to do where there is none",
}
"""The commands beside the screens; each is a module of `commands`, loaded when asked for."""


def main(arguments: Sequence[str] | None = None) -> int:
    """Run chartwalk; return 0, 1 for bad input, 2 for bad usage."""
    words = list(sys.argv[1:] if arguments is None else arguments)
    if words and words[0] in COMMANDS:
        return _command(words[0], words[1:])
    parser = _screen_parser()
    options = parser.parse_args(words)
    if options.file and not options.file.suffix and not options.file.exists():
        near = get_close_matches(str(options.file), COMMANDS, 1)
        advice = f": did you mean {near[0]!r}?" if near else ""
        parser.error(f"{str(options.file)!r} is no file and no command{advice}")
    if options.plain and not options.file:
        parser.error("--plain needs a FILE: chartwalk songs lists some")
    return _play_in_lines(options) if options.plain else _play(options)


def _screen_parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="chartwalk",
        description="Practise a song from its lead sheet, hands on the keys.",
        formatter_class=argparse.RawDescriptionHelpFormatter,
        epilog="\n".join(
            ["beside the screens, each with --help:"]
            + [f"  chartwalk {name:<7} {line}" for name, line in COMMANDS.items()]
        ),
    )
    kinds = " ".join(READERS)
    parser.add_argument("file", nargs="?", type=Path, metavar="FILE", help=f"a chart: {kinds}")
    parser.add_argument("--port", metavar="NAME", help="the MIDI output for the click")
    parser.add_argument(
        "--plain", action="store_true",
        help="practise FILE in lines of text, for screen readers and braille lines",
    )  # fmt: skip
    return parser


def _command(name: str, words: Sequence[str]) -> int:
    command = import_module(f"chartwalk_tui.commands.{name}")
    parser = argparse.ArgumentParser(prog=f"chartwalk {name}", description=COMMANDS[name])
    parser.add_argument("--json", action="store_true", help="print JSON")
    command.add_arguments(parser)
    options = parser.parse_args(words)
    if isinstance(sys.stdout, io.TextIOWrapper):  # a file's name may be no text
        sys.stdout.reconfigure(errors="backslashreplace")
    try:
        status: int = command.run(options)
        sys.stdout.flush()
    except BrokenPipeError:  # who read the output has seen enough
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    return status


def _play(options: argparse.Namespace) -> int:
    gc.disable()  # until the first screen is up: what start-up makes, stays
    from chartwalk_tui.start import play  # noqa: PLC0415 - the commands need no screen

    opening: Song | Path | None = None
    if options.file and tunes_of(options.file):
        opening = options.file
    elif options.file:
        try:
            opening = open_for_practice(options.file)
        except ChartError as error:
            print(error, file=sys.stderr)
            return BAD_INPUT
    return play(opening, options.port)


def _play_in_lines(options: argparse.Namespace) -> int:
    from chartwalk_tui.plain import play  # noqa: PLC0415 - the commands need no player

    if tunes := tunes_of(options.file):
        print(f"{options.file} holds {len(tunes)} tunes; open one of them:", file=sys.stderr)
        for path, title in tunes:
            print(f"{path} {title}", file=sys.stderr)
        return BAD_INPUT
    try:
        song = open_for_practice(options.file)
    except ChartError as error:
        print(error, file=sys.stderr)
        return BAD_INPUT
    return play(song, options.port)
