"""Sheets of music21's corpus, read by us and by music21 10.5.1 itself.

The sheets are named by their paths in that corpus: a public-domain song by Stephen Foster, and a
sheet of 57 chord symbols made for testing.
"""

from collections.abc import Callable
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

from chartwalk.chart import Bar, Chart
from chartwalk.musicxml import read

SONG = "leadSheet/fosterBrownHair"
SYMBOLS = "demos/ComprehensiveChordSymbolsTestFile"
ROOTS = (
    "F Bb F C F Bb F G7 C F Bb F C F G7 C F C G7 C F Bb F Dm G7 C F Bb F C F Bb F Bb F C F F C F"
)

# The symbols that music21 hears otherwise, by their place in the file, and why.
OTHERWISE = {
    53: "printed 11omit3,7: the text leaves out the 7th too, and what is printed goes before",
    10: "kind minor-major is unknown to it: the root alone",
    54: "the Neapolitan: it counts b2, 3 and b5 on the tonic, we read the major triad on b2",
    55: "kind tristan, in small letters, is unknown to it: the root alone",
}
OTHER_BASS = {56: "the Italian sixth: it puts the tonic below, we the b6 it stands on"}


@pytest.fixture(scope="module")
def corpus() -> ModuleType:
    """music21's corpus; importing it takes a second."""
    from music21 import corpus as module

    return module


@pytest.fixture(scope="module")
def song(corpus: ModuleType) -> tuple[Chart, Any]:
    """The song, as we read it and as music21 does."""
    return read(Path(corpus.getWork(SONG))).chart, corpus.parse(SONG)


def test_title_meter_and_key(song: tuple[Chart, Any]) -> None:
    chart, theirs = song
    assert chart.title == theirs.metadata.bestTitle == "Jeanie With The Light Brown Hair"
    assert chart.credit == "Stephen Foster, Stephen Foster 1854"
    assert {str(bar.meter) for bar in chart.bars} == {"4/4"}
    assert {bar.key.fifths for bar in chart.bars} == {0}
    assert [len(chart.bars), chart.bars[0].pickup] == [35, False]


def test_chord_symbols_and_their_places(song: tuple[Chart, Any]) -> None:
    chart, theirs = song
    changes = [(bar, change) for bar in chart.bars for change in bar.changes]
    symbols = [(bar, change) for bar, change in changes if not change.symbol.silent]
    assert " ".join(change.symbol.text for _, change in symbols) == ROOTS
    assert len(changes) - len(symbols) == 4  # N.C. stands in words: music21 has no such symbol
    found = [
        (str(symbol.getContextByClass("Measure").number), symbol.offset, symbol.root().name)
        for symbol in theirs.recurse().getElementsByClass("ChordSymbol")
    ]
    assert found == [
        (bar.number, change.at, change.symbol.root.ascii.replace("b", "-"))
        for bar, change in symbols
        if change.symbol.root
    ]


def _notes(bar: Bar) -> list[tuple[int | None, Any]]:
    return [(note.pitch.midi if note.pitch else None, note.length) for note in bar.tune]


def test_the_tune(song: tuple[Chart, Any]) -> None:
    chart, theirs = song
    for bar, measure in zip(chart.bars, theirs.parts[0].getElementsByClass("Measure"), strict=True):
        elements = [
            element for element in measure.notesAndRests if "ChordSymbol" not in element.classes
        ]
        assert _notes(bar) == [
            (None if element.isRest else element.pitch.midi, element.quarterLength)
            for element in elements
        ]


@pytest.mark.parametrize("verse", [0, 1])
def test_the_words(song: tuple[Chart, Any], verse: int) -> None:
    chart, theirs = song
    words = [
        (syllable.text, syllable.joined)
        for bar in chart.bars
        for syllable in (bar.words[verse] if verse < len(bar.words) else ())
        if syllable.text
    ]
    start = ["I dream of Jean- nie with the", "long for Jean- nie with the day"][verse]
    assert " ".join(text + "-" * joined for text, joined in words[:7]) == start
    lyrics = [
        lyric
        for note in theirs.recurse().notes
        for lyric in note.lyrics
        if lyric.number == verse + 1 and lyric.text
    ]
    assert words == [
        (lyric.text.replace(" ", "‿"), lyric.syllabic in ("begin", "middle")) for lyric in lyrics
    ]


def test_the_play_order(song: tuple[Chart, Any], order: Callable[[Chart], str]) -> None:
    chart, theirs = song
    expanded = theirs.parts[0].expandRepeats().getElementsByClass("Measure")
    assert order(chart) == " ".join(str(measure.number) for measure in expanded)


def test_every_chord_symbol_by_its_notes(corpus: ModuleType) -> None:
    reading = read(Path(corpus.getWork(SYMBOLS)))
    ours = [change.symbol for bar in reading.chart.bars for change in bar.changes]
    theirs = list(corpus.parse(SYMBOLS).recurse().getElementsByClass("ChordSymbol"))
    assert len(ours) == len(theirs) == 57
    differing, other_bass = set(), set()
    for place, (symbol, other) in enumerate(zip(ours, theirs, strict=True)):
        palette = symbol.palette
        assert palette.bass is not None
        keys = {name.pitch_class for name in palette.names} | {palette.bass.pitch_class}
        if keys != {pitch.pitchClass for pitch in other.pitches}:
            differing.add(place)
        elif palette.bass.pitch_class != other.bass().pitchClass:
            other_bass.add(place)
    assert differing == set(OTHERWISE)
    assert other_bass == set(OTHER_BASS)
    assert [warning.bar for warning in reading.warnings] == ["55", "56", "57"]
