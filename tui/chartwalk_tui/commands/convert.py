"""``chartwalk convert FILE OUT``: a chart as another kind of file, in another key or plainer."""

import argparse
import sys
from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from typing import Final

from chartwalk.arrange import Arrangement, arranged
from chartwalk.chart import FASTEST, SLOWEST, Chart
from chartwalk.depth import Depth
from chartwalk.export import WRITERS, Export, save
from chartwalk.files import open_song
from chartwalk.key import Key
from chartwalk.problems import ChartError, Problem
from chartwalk.smf import midi_file
from chartwalk.song import Song
from chartwalk.transpose import FARTHEST, key_at
from chartwalk.unrolled import unrolled
from chartwalk_tui.commands.output import (
    BAD_INPUT,
    print_json,
    print_problems,
    problem_entry,
    refused,
)
from chartwalk_tui.printable import count

BAD_USAGE: Final = 2
MIDI: Final = (".mid", ".midi")
KINDS: Final = ", ".join([*WRITERS, *MIDI])


class RefusalError(Exception):
    """Why nothing is written, and the exit status."""

    def __init__(self, message: str, status: int = BAD_USAGE) -> None:
        super().__init__(message)
        self.status = status


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the files and what may change on the way."""
    parser.add_argument("file", type=Path, metavar="FILE")
    parser.add_argument("out", type=Path, metavar="OUT", help=f"what to write: {KINDS}")
    key = parser.add_mutually_exclusive_group()
    key.add_argument("--key", metavar="KEY", help="the key to write it in, such as 'E major' or Em")
    key.add_argument(
        "--shift", type=whole_number, metavar="N", default=0, help="semitones up, or down (-3)"
    )
    depth = [each.value for each in Depth]
    parser.add_argument("--depth", choices=depth, default=Depth.WRITTEN.value, help="how full")
    parser.add_argument(
        "--tempo", type=whole_number, metavar="N", help="beats a minute, in a MIDI file"
    )
    parser.add_argument(
        "--unrolled", action="store_true", help="in play order, as a MIDI file always is"
    )
    parser.add_argument("--force", action="store_true", help="write over a file that is there")


def whole_number(text: str) -> int:
    """Read an option; argparse says for which one it was."""
    try:
        return int(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"a whole number is wanted, not {text!r}") from None


def run(options: argparse.Namespace) -> int:
    """Write the file; say what was written, or as JSON, and what it can't hold."""
    try:
        _check(options)
        song = open_song(options.file)
        arrangement, told = _arrangement(song, options)
        played = arranged(song, arrangement)
        midi = options.out.suffix.lower() in MIDI
        chart = unrolled(played) if options.unrolled or midi else played.chart
        if midi:
            export = Export(midi_file(played, _scale(played, options.tempo)))
        else:
            export = WRITERS[options.out.suffix.lower()](chart)
        save(export.data, options.out)
    except RefusalError as refusal:
        print(f"chartwalk convert: {refusal}", file=sys.stderr)
        return refusal.status
    except ChartError as error:
        print_problems(error.problems)
        return BAD_INPUT
    except OSError as error:
        return refused(options.out, error)
    lost = tuple(replace(problem, file=str(options.out)) for problem in export.warnings)
    _report(options, chart, arrangement, (*song.warnings, *told, *lost))
    return 0


def _check(options: argparse.Namespace) -> None:
    """Refuse what can't be done before anything is read."""
    file, out = options.file, options.out
    ending = out.suffix.lower()
    if ending not in {*WRITERS, *MIDI}:
        ending = ending or "a file without an ending"
        raise RefusalError(f"{ending} is no kind that is written; what is: {KINDS}")
    if options.tempo is not None and ending not in MIDI:
        raise RefusalError(f"--tempo is for MIDI files: {ending} keeps the tempos as written")
    if options.tempo is not None and not SLOWEST <= options.tempo <= FASTEST:
        raise RefusalError(f"a tempo is {SLOWEST} to {FASTEST} beats a minute: {options.tempo}")
    if abs(options.shift) > FARTHEST:
        raise RefusalError(f"a chart moves by at most {FARTHEST} semitones, not {options.shift}")
    if out.exists() and file.exists() and out.samefile(file):
        raise RefusalError(f"{out} is the file it reads: write to another one")
    if out.exists() and not options.force:
        raise RefusalError(f"{out} is there already: --force writes over it", BAD_INPUT)


def _scale(song: Song, tempo: int | None) -> Fraction:
    """Return how many times as fast as written the song goes, if it begins at this tempo."""
    return Fraction(1) if tempo is None else tempo / song.bars[0].tempo


def _arrangement(
    song: Song, options: argparse.Namespace
) -> tuple[Arrangement, tuple[Problem, ...]]:
    """Return key and depth as asked for, and what is to be told of the key."""
    depth, written = Depth(options.depth), song.bars[0].key
    if options.key is None:
        return Arrangement(options.shift, depth), ()
    asked = _key(options.key, written)
    up = (asked.tonic.pitch_class - written.tonic.pitch_class) % 12
    shift = up if up <= FARTHEST // 2 else up - 12
    found = key_at(written, shift)
    told = f"written in {found}, which sounds as {asked} and is read more easily"
    return Arrangement(shift, depth), () if found == asked else (Problem(told),)


def _key(text: str, written: Key) -> Key:
    """Read ``E major``, ``E`` in the mode of the song, or ``Em``."""
    tonic, _, mode = " ".join(text.split()).partition(" ")
    if not mode:
        mode = "minor" if tonic.endswith("m") else written.mode
        tonic = tonic.removesuffix("m")
    try:
        key = Key.parse(f"{tonic[:1].upper()}{tonic[1:]} {mode}")
    except ValueError as error:
        raise RefusalError(str(error)) from None
    if key.mode != written.mode:
        wanted = f"{key.tonic.ascii} {written.mode}"
        raise RefusalError(f"the song is in {written}, which no shift turns {key.mode}: {wanted}?")
    return key


def _report(
    options: argparse.Namespace,
    chart: Chart,
    arrangement: Arrangement,
    warnings: tuple[Problem, ...],
) -> None:
    key = chart.bars[0].key
    if not options.json:
        print(f"{options.out}: {chart.title}, {key}, {count(len(chart.bars), 'bar')}")
        print_problems(warnings)
        return
    print_json(
        {
            "from": str(options.file),
            "to": str(options.out),
            "title": chart.title,
            "key": key.ascii,
            "depth": arrangement.depth.value,
            "bars": len(chart.bars),
            "warnings": [*map(problem_entry, warnings)],
        }
    )
