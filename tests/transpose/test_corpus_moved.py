"""A sheet of music21's corpus moved by us, and its pitches moved by music21 10.5.1.

The sheet is named by its path in that corpus: a public-domain song by Stephen Foster, in C major.
"""

from pathlib import Path
from types import ModuleType

import pytest

from chartwalk.chart import Chart
from chartwalk.key import Key
from chartwalk.musicxml import read
from chartwalk.pitch import FIFTHS_ORDER, Interval, Name, Pitch
from chartwalk.transpose import interval_between, key_at, transpose

SONG = "leadSheet/fosterBrownHair"
SHIFTS = [shift for shift in range(-11, 12) if shift]
KEYS = [Key(fifths, mode) for fifths in range(-7, 8) for mode in ("major", "minor")]


@pytest.fixture(scope="module")
def music21() -> ModuleType:
    """The whole of it; importing it takes a second."""
    import music21 as module

    return module


@pytest.fixture(scope="module")
def chart(music21: ModuleType) -> Chart:
    return read(Path(music21.corpus.getWork(SONG))).chart


def theirs(music21: ModuleType, pitch: Pitch, interval: Interval) -> Pitch:
    """A pitch moved by music21, by the interval of as many letters and semitones."""
    number = interval.letters + (1 if interval.letters >= 0 else -1)
    there = music21.interval.intervalFromGenericAndChromatic(number, interval.semitones)
    written = music21.pitch.Pitch(pitch.ascii.replace("b", "-"))
    moved = written.transpose(there)
    return Pitch(Name.parse(moved.name.replace("-", "b")), moved.octave)


@pytest.mark.parametrize("shift", SHIFTS)
def test_the_tune_of_a_sheet(music21: ModuleType, chart: Chart, shift: int) -> None:
    notes = [note.pitch for bar in chart.bars for note in bar.tune]
    moved = [note.pitch for bar in transpose(chart, shift).bars for note in bar.tune]
    interval = interval_between(chart.bars[0].key, shift)
    assert len(set(notes)) > 8
    for ours, written in zip(moved, notes, strict=True):
        if written is None:
            assert ours is None
            continue
        expected = theirs(music21, written, interval)
        if abs(expected.name.alter) > 1:
            assert ours is not None
            assert (ours.midi, abs(ours.name.alter) <= 1) == (expected.midi, True)
        else:
            assert ours == expected


@pytest.mark.parametrize("shift", SHIFTS)
def test_the_chords_of_a_sheet(music21: ModuleType, chart: Chart, shift: int) -> None:
    changes = [change.symbol for bar in chart.bars for change in bar.changes]
    moved = [change.symbol for bar in transpose(chart, shift).bars for change in bar.changes]
    interval = interval_between(chart.bars[0].key, shift)
    scale = {name + interval for name in map(Name, FIFTHS_ORDER)}
    for ours, written in zip(moved, changes, strict=True):
        assert ours.suffix == written.suffix
        if written.root is None or ours.root is None:
            assert ours is written
            continue
        expected = theirs(music21, Pitch(written.root, 4), interval).name
        assert ours.root.pitch_class == expected.pitch_class
        if expected.friendly is None or expected in scale:
            assert ours.root == expected


@pytest.mark.parametrize("key", KEYS, ids=str)
def test_the_spelled_interval_between_keys(music21: ModuleType, key: Key) -> None:
    """Every tonic, moved by music21, is the tonic of the new key in the right octave."""
    for shift in SHIFTS:
        tonic = Pitch(key.tonic, 4)
        moved = theirs(music21, tonic, interval_between(key, shift))
        assert (moved.name, moved.midi) == (key_at(key, shift).tonic, tonic.midi + shift)
