"""The palettes of whole charts as the program asks for them, against music21 (the reference).

The charts are a lead sheet of music21's corpus and the demo songs; symbols for which music21 has no
kind are left out on both sides. Asked: a symbol is read once and remembered. Anew: each change
reads its symbol again, what follows the root being known. The reference gets root, kind and bass,
since that is what it is given by a score; asked, its chord is made once for each symbol.
"""

from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from music21 import corpus
from music21.harmony import ChordSymbol as Reference

from chartwalk.chord import ChordSymbol
from chartwalk.chord.degree import spelled
from chartwalk.chord.palette import uses_of
from chartwalk.chord.symbol import _degrees, _parse, read_symbol
from chartwalk.files import open_song

SONGS = Path(__file__).parents[2] / "songs"
LEAD_SHEET = "leadSheet/fosterBrownHair"
# What follows the root, and the kind of music21's harmony.CHORD_TYPES (MusicXML 4.0 kinds).
KINDS = {
    "": "major", "m": "minor", "+": "augmented", "6": "major-sixth", "m6": "minor-sixth",
    "7": "dominant-seventh", "maj7": "major-seventh", "m7": "minor-seventh",
    "m(maj7)": "minor-major-seventh", "dim7": "diminished-seventh",
    "m7♭5": "half-diminished-seventh", "7♯5": "augmented-seventh",
    "7sus4": "suspended-fourth-seventh", "9": "dominant-ninth", "m9": "minor-ninth",
    "maj9": "major-ninth", "13": "dominant-13th",
}  # fmt: skip

Measure = Callable[[str, Callable[[], object]], None]
Parts = tuple[str, str, str]  # root, kind and bass for the reference


def written() -> Iterator[ChordSymbol]:
    """Every change of the charts in the order played."""
    for path in [Path(str(corpus.getWork(LEAD_SHEET))), *sorted(SONGS.glob("*.lead"))]:
        song = open_song(path)
        for step in song.steps:
            yield from (change.symbol for change in song.chart.bars[step.bar].changes)


@pytest.fixture(scope="module")
def texts() -> list[str]:
    """The symbols of the charts that music21 has a kind for."""
    return [chord.text for chord in written() if not chord.silent and chord.suffix in KINDS]


@pytest.fixture(scope="module")
def parts(texts: list[str]) -> list[Parts]:
    """The same chords as the reference takes them."""
    return [parts_of(ChordSymbol.parse(text)) for text in texts]


def parts_of(chord: ChordSymbol) -> Parts:
    """Root, kind and bass of a chord, with the reference's sign for a flat."""
    root, bass = chord.root, chord.bass or chord.root
    assert root is not None
    assert bass is not None
    return root.ascii.replace("b", "-"), KINDS[chord.suffix], bass.ascii.replace("b", "-")


def reference(parts: Parts) -> tuple[Any, ...]:
    """The notes that music21 spells."""
    root, kind, bass = parts
    return Reference(root=root, kind=kind, bass=bass).pitches


@pytest.fixture(scope="module")
def medians() -> dict[str, float]:
    """Seconds for the whole list, by what was measured."""
    return {}


@pytest.fixture
def measure(
    benchmark: Any,  # noqa: ANN401 - the plugin leaves its types open
    medians: dict[str, float],
) -> Measure:
    """Time a run over the list and remember it."""

    def run(name: str, target: Callable[[], object]) -> None:
        benchmark.pedantic(target, rounds=15, warmup_rounds=2)
        medians[name] = benchmark.stats.stats.median

    return run


def test_both_spell_the_same(texts: list[str], parts: list[Parts]) -> None:
    """The notes agree, name by name: the same work is timed."""
    for text, part in zip(texts, parts, strict=True):
        palette = ChordSymbol.parse(text).palette
        ours = {name.ascii.replace("b", "-") for name in (*palette.names, palette.bass) if name}
        assert ours == {pitch.name for pitch in reference(part)}, text


@pytest.mark.benchmark(group="palettes of the charts")
def test_chartwalk_asked(measure: Measure, texts: list[str]) -> None:
    """Each symbol is read once, and nothing is known before."""

    def ask() -> None:
        for remembered in (_parse, _degrees, spelled, uses_of):
            remembered.cache_clear()
        for text in texts:
            _ = ChordSymbol.parse(text).palette

    measure("chartwalk asked", ask)


@pytest.mark.benchmark(group="palettes of the charts")
def test_music21_asked(measure: Measure, parts: list[Parts]) -> None:
    """Each chord is made once and its notes are kept."""

    def ask() -> None:
        remembered = cache(reference)
        for part in parts:
            remembered(part)

    measure("music21 asked", ask)


@pytest.mark.benchmark(group="palettes of the charts")
def test_chartwalk_anew(measure: Measure, texts: list[str]) -> None:
    """Each change reads its symbol again; what follows the root is known."""
    measure("chartwalk anew", lambda: [read_symbol(text).palette for text in texts])


@pytest.mark.benchmark(group="palettes of the charts")
def test_music21_anew(measure: Measure, parts: list[Parts]) -> None:
    """Nothing is remembered."""
    measure("music21 anew", lambda: [reference(part) for part in parts])


def test_how_they_compare(
    texts: list[str], medians: dict[str, float], capsys: pytest.CaptureFixture[str]
) -> None:
    """Say the ratios of this run."""
    everything = [chord for chord in written() if not chord.silent]
    with capsys.disabled():
        print(f"\n{len(texts)} of {len(everything)} changes, {len(set(texts))} symbols")
        for ours in ("chartwalk asked", "chartwalk anew"):
            rate = len(texts) / medians[ours]
            ratios = (
                f"{medians[theirs] / medians[ours]:.0f} x {theirs}"
                for theirs in ("music21 asked", "music21 anew")
            )
            print(f"{ours}: {rate:,.0f} palettes a second, {', '.join(ratios)}")
