"""``chartwalk spell SYMBOL...``: palettes, explained, with other spellings and neighbours."""

import argparse
import sys

from chartwalk.chord import ChordError, ChordSymbol
from chartwalk.chord.canonical import canonical
from chartwalk.chord.recipe import spoken
from chartwalk.chord.relatives import neighbours, other_spellings
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
    palette, written = chord.palette, canonical(chord)
    return {
        "symbol": chord.text,
        "root": chord.root.ascii if chord.root else None,
        "bass": palette.bass.ascii if palette.bass else None,
        "tones": [
            {
                "degree": tone.degree.ascii,
                "name": tone.name.ascii,
                "key": (tone.name.friendly or tone.name).ascii,
                "use": tone.use.value,
            }
            for tone in palette.tones
        ],
        "steps": list(chord.explanation),
        "canonical": {"display": written.display, "ascii": written.ascii},
        "also": list(other_spellings(chord)),
        "neighbours": [canonical(other).ascii for other in neighbours(chord)],
    }


def _print_lines(chord: ChordSymbol) -> None:
    tones = [f"{spoken(tone.name)} ({tone.degree.label})" for tone in chord.palette.tones]
    over = f" over {chord.bass}" if chord.bass else ""
    print(f"{chord.display}  {'  '.join(tones) or 'no chord'}{over}")
    for line in chord.explanation:
        print(f"    {line}")
    for label, symbols in (
        ("also written", other_spellings(chord)),
        ("compare by ear", [other.display for other in neighbours(chord)]),
    ):
        if symbols:
            print(f"    {label}: {'  '.join(symbols)}")
