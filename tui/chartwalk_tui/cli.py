"""The `chartwalk` command: the screens, or one of the small commands beside them."""

import argparse
import io
import os
import sys
from collections.abc import Callable, Sequence
from difflib import get_close_matches
from pathlib import Path
from typing import Final

from chartwalk.files import READERS, open_song
from chartwalk.problems import ChartError
from chartwalk_tui.commands import check, order, ports, songs, spell

BAD_INPUT: Final = 1

COMMANDS: Final[dict[str, Callable[[argparse.Namespace], int]]] = {
    "check": check.run,
    "order": order.run,
    "spell": spell.run,
    "songs": songs.run,
    "ports": ports.run,
}


def main(arguments: Sequence[str] | None = None) -> int:
    """Run chartwalk; return 0, 1 for bad input, 2 for bad usage."""
    words = list(sys.argv[1:] if arguments is None else arguments)
    if words and words[0] in COMMANDS:
        if isinstance(sys.stdout, io.TextIOWrapper):  # a file's name may be no text
            sys.stdout.reconfigure(errors="backslashreplace")
        options = _command_parser().parse_args(words)
        try:
            status = COMMANDS[options.command](options)
            sys.stdout.flush()
        except BrokenPipeError:  # who read the output has seen enough
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
            return 0
        return status
    parser = _screen_parser()
    options = parser.parse_args(words)
    if options.file and not options.file.suffix and not options.file.exists():
        near = get_close_matches(str(options.file), COMMANDS, 1)
        advice = f": did you mean {near[0]!r}?" if near else ""
        parser.error(f"{str(options.file)!r} is no file and no command{advice}")
    return _play(options)


def _screen_parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="chartwalk",
        description="Practise a song from its lead sheet, hands on the keys.",
        epilog=f"Beside the screens: chartwalk {' | '.join(COMMANDS)}; each has --help.",
    )
    kinds = " ".join(READERS)
    parser.add_argument("file", nargs="?", type=Path, metavar="FILE", help=f"a chart: {kinds}")
    parser.add_argument("--port", metavar="NAME", help="the MIDI output for the click")
    return parser


def _command_parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="chartwalk")
    commands = parser.add_subparsers(dest="command", required=True)
    for module in (check, order, spell, songs, ports):
        command = commands.add_parser(module.NAME, help=module.HELP, description=module.HELP)
        command.add_argument("--json", action="store_true", help="print JSON")
        module.add_arguments(command)
    return parser


def _play(options: argparse.Namespace) -> int:
    from chartwalk_tui.start import play  # noqa: PLC0415 - the commands need no screen

    song = None
    if options.file:
        try:
            song = open_song(options.file)
        except ChartError as error:
            print(error, file=sys.stderr)
            return BAD_INPUT
    return play(song, options.port)
