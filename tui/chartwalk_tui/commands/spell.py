"""``chartwalk spell SYMBOL...``: palettes, explained."""

import argparse
import sys

from chartwalk.chord import ChordError, ChordSymbol
from chartwalk.chord.recipe import spoken
from chartwalk_tui.commands.output import print_json


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the symbols; one such as -7 can't be a root, so dashes inside are no options."""
    parser.add_argument("symbols", nargs="+", metavar="SYMBOL")


def run(options: argparse.Namespace) -> int:
    """Print the palettes; as JSON, one list."""
    chords, status = [], 0
    for text in options.symbols:
        try:
            chords.append(ChordSymbol.parse(text))
        except ChordError as error:
            print(f"{error} (at character {error.column})", file=sys.stderr)
            status = 1
    if options.json:
        print_json([_entry(chord) for chord in chords])
    else:
        for chord in chords:
            _print_lines(chord)
    return status


def _entry(chord: ChordSymbol) -> dict[str, object]:
    palette = chord.palette
    return {
        "symbol": chord.text,
        "root": chord.root.ascii if chord.root else None,
        "bass": palette.bass.ascii if palette.bass else None,
        "tones": [{"degree": tone.degree.ascii, "name": tone.name.ascii} for tone in palette.tones],
        "steps": list(chord.explanation),
    }


def _print_lines(chord: ChordSymbol) -> None:
    tones = [f"{spoken(tone.name)} ({tone.degree.label})" for tone in chord.palette.tones]
    over = f" over {chord.bass}" if chord.bass else ""
    print(f"{chord.display}  {'  '.join(tones) or 'no chord'}{over}")
    for line in chord.explanation:
        print(f"    {line}")
