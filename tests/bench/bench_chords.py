"""Palettes a second, against the chord symbols of music21 (the named reference)."""

from collections.abc import Callable

import pytest
from music21.harmony import ChordSymbol as Reference

from chartwalk.chord.symbol import read_symbol

KINDS = {
    "7": "dominant-seventh", "maj7": "major-seventh", "m7b5": "half-diminished-seventh",
    "dim7": "diminished-seventh", "13": "dominant-13th", "m9": "minor-ninth",
}  # fmt: skip
ROOTS = ("C", "F#", "Bb", "Eb", "G#")


@pytest.mark.benchmark(group="thirty palettes")
def test_chartwalk(benchmark: Callable[..., object]) -> None:
    """Every symbol is read anew: the cache is passed by."""
    texts = [root + kind for root in ROOTS for kind in KINDS]
    benchmark(lambda: [read_symbol(text).palette for text in texts])


@pytest.mark.benchmark(group="thirty palettes")
def test_music21(benchmark: Callable[..., object]) -> None:
    """The reference spells the same chords from root and kind."""
    pairs = [(root.replace("b", "-"), kind) for root in ROOTS for kind in KINDS.values()]
    benchmark(lambda: [Reference(root=root, kind=kind).pitches for root, kind in pairs])
