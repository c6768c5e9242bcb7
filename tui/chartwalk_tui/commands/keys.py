"""``chartwalk keys FILE``: the twelve keys, ranked for a singer."""

import argparse
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from chartwalk.chart import Chart
from chartwalk.files import open_song
from chartwalk.problems import ChartError
from chartwalk.transpose import interval_words
from chartwalk.voice import (
    CAUTION,
    SOURCE,
    VOICE_TYPES,
    KeyFit,
    SingerRange,
    SungNote,
    Tessitura,
    advice,
    octave_words,
    rank_keys,
    sheet_range,
    strain_words,
    sung_notes,
    tessitura,
)
from chartwalk_tui.commands.output import BAD_INPUT, print_json, print_problems

BAD_USAGE: Final = 2
WHOSE: Final = (
    f"whose voice? Give --low and --high (as in --low A3 --high D5) or --voice with one of "
    f"{', '.join(VOICE_TYPES)}; or write a voice line into the sheet"
)


@dataclass(frozen=True, slots=True)
class Voice:
    """Whose voice it is about, and where its range comes from."""

    singer: SingerRange
    origin: str


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the file and the ways to say whose voice it is."""
    parser.add_argument("file", type=Path, metavar="FILE")
    parser.add_argument("--low", metavar="NOTE", help="the singer's low note, such as A3")
    parser.add_argument("--high", metavar="NOTE", help="the singer's high note, such as D5")
    parser.add_argument("--voice", choices=VOICE_TYPES, help=f"a trained voice's range ({SOURCE})")


def run(options: argparse.Namespace) -> int:
    """Print the keys, the best first; as JSON, one object."""
    try:
        voice = _asked(options)
    except ValueError as error:
        return _refuse(f"chartwalk keys: {error}", BAD_USAGE)
    try:
        song = open_song(options.file)
    except ChartError as error:
        print_problems(error.problems)
        return BAD_INPUT
    voice = voice or _on_the_sheet(song.chart)
    if voice is None:
        return _refuse(f"chartwalk keys: {WHOSE}", BAD_USAGE)
    fits = rank_keys(song.chart, voice.singer)
    if not fits:
        return _refuse(f"{options.file}: no tune to judge by: the sheet has none", BAD_INPUT)
    tune = tessitura(sung_notes(song.chart))
    if options.json:
        print_json(_entry(options.file, song.chart, tune, voice, fits))
    else:
        _print_lines(song.chart, tune, voice, fits)
    return 0


def _refuse(message: str, status: int) -> int:
    print(message, file=sys.stderr)
    return status


def _asked(options: argparse.Namespace) -> Voice | None:
    """Return the voice that was asked for, None without one; raise ValueError on half of one."""
    typed = [note for note in (options.low, options.high) if note is not None]
    if options.voice and typed:
        raise ValueError("give --low and --high or --voice, not both")
    if options.voice:
        return Voice(VOICE_TYPES[options.voice], f"{options.voice}, {SOURCE}")
    if len(typed) == 1:
        raise ValueError("--low and --high belong together, as in --low A3 --high D5")
    return Voice(SingerRange.parse(" ".join(typed)), "as given") if typed else None


def _on_the_sheet(chart: Chart) -> Voice | None:
    singer = sheet_range(chart)
    return Voice(singer, "from the sheet") if singer else None


def _entry(
    file: Path, chart: Chart, tune: Tessitura, voice: Voice, fits: tuple[KeyFit, ...]
) -> dict[str, object]:
    return {
        "file": str(file),
        "title": chart.title,
        "range": {
            "low": _note(tune.lowest),
            "high": _note(tune.highest),
            "mostly": [pitch.ascii for pitch in tune.band],
        },
        "voice": {
            "low": voice.singer.low.ascii,
            "high": voice.singer.high.ascii,
            "origin": voice.origin,
        },
        "advice": advice(fits[0]),
        "keys": [_key(fit) for fit in fits],
    }


def _key(fit: KeyFit) -> dict[str, object]:
    return {
        "key": fit.key.ascii,
        "shift": fit.shift,
        "interval": interval_words(fit.interval),
        "octave": fit.octave,
        "low": fit.tune.lowest.pitch.ascii,
        "high": fit.tune.highest.pitch.ascii,
        "strain": [_note(note) for note in fit.strain],
        "accidentals": fit.accidentals,
    }


def _note(note: SungNote) -> dict[str, str]:
    return {"bar": note.bar, "note": note.pitch.ascii}


def _print_lines(chart: Chart, tune: Tessitura, voice: Voice, fits: tuple[KeyFit, ...]) -> None:
    low, high = tune.band
    print(
        f"{chart.title}: from {tune.lowest.pitch} ({tune.lowest.place}) to {tune.highest.pitch} "
        f"({tune.highest.place}), mostly {low}–{high}"
    )
    print(f"the voice: {voice.singer} ({voice.origin})")
    print(f"take it {advice(fits[0])}")
    print()
    rows = [_row(fit) for fit in fits]
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    for row in rows:
        cells = (cell.ljust(width) for cell, width in zip(row, widths, strict=True))
        print(f"  {'  '.join(cells)}".rstrip())
    print(f"\n{CAUTION}")


def _row(fit: KeyFit) -> tuple[str, ...]:
    octave = f", {octave_words(fit.octave)}" if fit.octave else ""
    return (
        str(fit.key),
        fit.key.short_signature,
        interval_words(fit.interval),
        f"{fit.tune.lowest.pitch}–{fit.tune.highest.pitch}{octave}",
        f"strains: {strain_words(fit.strain)}" if fit.strain else "",
    )
