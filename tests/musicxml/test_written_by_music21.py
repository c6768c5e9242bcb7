"""The demo songs as MusicXML, read by music21 10.5.1: chords, notes and play order agree.

Where they do not, music21 has a known defect:

- a seventh added to a suspended chord becomes a major one; added degrees count from a dominant
  chord (MusicXML 4.0 `degree-alter`), so 7sus4 has a minor seventh;
- it drops the endings of a chart that has a D.C. or D.S. too.
"""

from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from chartwalk.chart import Bar, sung
from chartwalk.chord import ChordSymbol
from chartwalk.files import open_song
from chartwalk.musicxml.out import write
from chartwalk.song import Song

SONGS = sorted((Path(__file__).parents[2] / "songs").glob("*.lead"))
WITHOUT_ENDINGS = {"cafe-on-the-quay", "lamp-on-the-step"}


@pytest.fixture(scope="module", params=SONGS, ids=lambda path: path.stem)
def both(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> "Both":
    """A song and music21's reading of it as MusicXML."""
    from music21 import converter

    song = open_song(request.param)
    path = tmp_path_factory.mktemp("written") / f"{request.param.stem}.musicxml"
    path.write_bytes(write(song.chart).data)
    score: Any = converter.parse(path, forceSource=True)
    part = score.parts[0]
    for place, measure in enumerate(part.getElementsByClass("Measure")):
        measure.editorial.place = place  # its own numbers change when it expands the repeats
    return song, part


Both = tuple[Song, Any]


def pairs(both: Both) -> Iterator[tuple[Bar, Any]]:
    song, part = both
    return zip(song.bars, part.getElementsByClass("Measure"), strict=True)


def spelled(name: str) -> str:
    """A name as music21 writes it."""
    return name.replace("b", "-")


def ours(symbol: ChordSymbol) -> tuple[str, str, set[int]]:
    root, bass = symbol.root, symbol.palette.bass
    assert root
    assert bass
    keys = {name.pitch_class for name in (*symbol.palette.names, bass)}
    return spelled(root.ascii), spelled(bass.ascii), keys


def test_the_chords(both: Both) -> None:
    for bar, measure in pairs(both):
        found = list(measure.recurse().getElementsByClass("ChordSymbol"))
        assert [chord.offset for chord in found] == [change.at for change in bar.changes]
        for change, chord in zip(bar.changes, found, strict=True):
            symbol = change.symbol
            if symbol.silent:
                assert "NoChord" in chord.classes
                continue
            root, bass, keys = ours(symbol)
            assert (chord.root().name, chord.bass().name) == (root, bass)
            if symbol.suffix == "7sus4":
                seventh = (symbol.root.pitch_class + 10) % 12  # type: ignore[union-attr]
                keys = keys - {seventh} | {(seventh + 1) % 12}
            assert {pitch.pitchClass for pitch in chord.pitches} == keys, symbol.text


def test_something_is_told_apart() -> None:
    """The sevenths above are of such chords alone."""
    texts = {
        change.symbol.suffix
        for path in SONGS
        for bar in open_song(path).bars
        for change in bar.changes
    }
    assert {"7sus4", "7", "maj9", "m7♭5", "13"} <= texts


Sounding = list[tuple[Fraction, Fraction, int | None]]


def sounding(bar: Bar, before: Bar | None) -> Sounding:
    """The notes of a bar as they sound: place, length, key; rests in a row are one."""
    heads = set(sung(bar, before))
    found: Sounding = []
    at = Fraction(0)
    for place, note in enumerate(bar.tune or ()):
        key = note.pitch.midi if note.pitch else None
        _add(found, at, note.length, key, held=key is not None and place not in heads)
        at += note.length
    return found


def _add(found: Sounding, at: Fraction, length: Fraction, key: int | None, *, held: bool) -> None:
    joined = found and found[-1][2] == key and (held or key is None)
    if joined:
        start, before, _ = found.pop()
        found.append((start, before + length, key))
    else:
        found.append((at, length, key))


def theirs(measure: Any) -> Sounding:  # noqa: ANN401 - music21 has no types
    found: Sounding = []
    for element in measure.notesAndRests:
        if "ChordSymbol" in element.classes:
            continue
        key = None if element.isRest else element.pitch.midi
        held = element.tie is not None and element.tie.type in ("stop", "continue")
        _add(found, element.offset, element.quarterLength, key, held=held)
    return found


def test_the_notes(both: Both) -> None:
    before: Bar | None = None
    for bar, measure in pairs(both):
        expected = sounding(bar, before) or [(Fraction(0), bar.length, None)]
        assert theirs(measure) == expected
        before = bar


def test_the_meters_keys_and_tempos(both: Both) -> None:
    song, part = both
    first = part.getElementsByClass("Measure")[0]
    bar = song.bars[0]
    groups = bar.meter.groups or (bar.meter.count,)
    written = "+".join(f"{group}/{bar.meter.unit}" for group in groups)
    assert first.timeSignature.ratioString == written
    assert first.keySignature.sharps == bar.key.fifths
    mark = next(iter(part.recurse().getElementsByClass("MetronomeMark")))
    assert mark.getQuarterBPM() == pytest.approx(float(bar.tempo * bar.meter.beat))


def test_the_words(both: Both) -> None:
    song, part = both
    verses = max(len(bar.words) for bar in song.bars)
    for verse in range(verses):
        written = [
            (syllable.text, syllable.joined)
            for bar in song.bars
            for syllable in (bar.words[verse] if verse < len(bar.words) else ())
            if syllable.text
        ]
        read = [
            (lyric.text, lyric.syllabic in ("begin", "middle"))
            for note in part.recurse().notes
            for lyric in note.lyrics
            if lyric.number == verse + 1 and lyric.text
        ]
        assert read == written


def test_the_play_order(both: Both) -> None:
    song, part = both
    expanded = part.expandRepeats().getElementsByClass("Measure")
    order = [measure.editorial.place for measure in expanded]
    agrees = order == [step.bar for step in song.steps]
    assert agrees != (song.path.stem in WITHOUT_ENDINGS)
