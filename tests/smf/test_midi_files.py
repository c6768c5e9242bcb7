"""Songs as standard MIDI files, read back by two libraries.

References: the Standard MIDI File text 1.1 (variable-length numbers; tempo, meter and key meta
events), whose values stand beside the checks; mido 1.3.3 and music21 10.5.1 as readers.
"""

import io
from collections import Counter
from fractions import Fraction
from pathlib import Path

import mido
import pytest
from hypothesis import given, settings
from music21 import converter, stream
from tests.run.desk import song_of
from tests.run.songs_at_random import songs

from chartwalk.files import open_song
from chartwalk.smf import midi_file, number
from chartwalk.song import Song
from chartwalk.tune import tune_of

FOLDER = Path(__file__).parents[2] / "songs"
DEMOS = sorted(FOLDER.glob("*.lead"))
TRACKS = ["click", "chords", "bass", "tune"]


def read(song: Song, scale: Fraction = Fraction(1)) -> mido.MidiFile:
    return mido.MidiFile(file=io.BytesIO(midi_file(song, scale)), charset="utf-8")


def metas(track: mido.MidiTrack, kind: str) -> list[mido.MetaMessage]:
    return [message for message in track if message.type == kind]


def notes(track: mido.MidiTrack) -> list[tuple[int, int, int]]:
    """Start, end and key of each note, in ticks."""
    now, sounding, found = 0, {}, []
    for message in track:
        now += message.time
        if message.type == "note_on":
            assert message.note not in sounding, "struck twice"
            sounding[message.note] = now
        elif message.type == "note_off":
            found.append((sounding.pop(message.note), now, message.note))
    assert not sounding, "never ended"
    return sorted(found)


# SMF text 1.1: numbers and how they are written.
NUMBERS = [
    (0x00, "00"), (0x40, "40"), (0x7F, "7f"), (0x80, "8100"), (0x2000, "c000"), (0x3FFF, "ff7f"),
    (0x4000, "818000"), (0x100000, "c08000"), (0x1FFFFF, "ffff7f"), (0x200000, "81808000"),
    (0x8000000, "c0808000"), (0xFFFFFFF, "ffffff7f"),
]  # fmt: skip
# 60 000 000 / bpm, rounded (arithmetic; mido's bpm2tempo agrees).
TEMPOS = [
    (40, "16e360"), (60, "0f4240"), (72, "0cb735"), (90, "0a2c2b"), (100, "0927c0"),
    (108, "087a24"), (120, "07a120"), (132, "06efe1"), (168, "057317"), (208, "0466ce"),
]  # fmt: skip


@pytest.mark.parametrize(("value", "written"), NUMBERS)
def test_numbers_of_variable_length(value: int, written: str) -> None:
    assert number(value).hex() == written


@pytest.mark.parametrize(("tempo", "written"), TEMPOS)
def test_tempos(tempo: int, written: str) -> None:
    data = midi_file(song_of(f"tempo {tempo}\n\nchords | C |"))
    assert bytes.fromhex("ff5103" + f"{round(60_000_000 / tempo):06x}") in data
    if tempo != 132:  # one circulating table has a slip there
        assert f"{round(60_000_000 / tempo):06x}" == written


@pytest.mark.parametrize(
    ("meter", "written"),
    [("4/4", "04021808"), ("6/8", "06032408"), ("3/4", "03021808"), ("6/1", "0600ff08")],
)
def test_meters(meter: str, written: str) -> None:
    # SMF text 1.1: 4/4 clicked in quarters, 6/8 clicked in dotted quarters (36 clocks). The beat of
    # 6/1 has 288, and a byte holds 255.
    assert bytes.fromhex("ff5804" + written) in midi_file(song_of("chords | C |", meter))


def test_a_pickup_that_no_meter_counts_has_that_of_its_bar() -> None:
    song = song_of("road | pickup | |\ntune | C4:59.5 | |\nchords | | C |", "60/4")
    meters = [(m.numerator, m.denominator) for m in metas(read(song).tracks[0], "time_signature")]
    assert meters == [(60, 4)]


@pytest.mark.parametrize(
    ("key", "written"), [("G major", "0100"), ("Eb major", "fd00"), ("C minor", "fd01")]
)
def test_keys(key: str, written: str) -> None:
    # SMF text 1.1: sharps, or flats as a negative number; 1 for minor.
    assert bytes.fromhex("ff5902" + written) in midi_file(song_of(f"key {key}\n\nchords | C |"))


@pytest.mark.parametrize("path", DEMOS, ids=lambda path: path.stem)
def test_mido_reads_every_demo_song(path: Path) -> None:
    song = open_song(path)
    file = read(song)
    assert (file.type, file.ticks_per_beat) == (1, 960)
    assert [track.name for track in file.tracks] == [song.chart.title, *TRACKS]
    minutes = sum(
        song.bars[step.bar].length / song.bars[step.bar].meter.beat / song.bars[step.bar].tempo
        for step in song.steps
    )
    assert file.length == pytest.approx(float(minutes * 60 * song.rounds), abs=0.01)
    tune = [
        note
        for _ in range(song.rounds)
        for step in song.steps
        for note in tune_of(song, step)
        if note.pitch
    ]
    struck = [note for note in tune if not note.held]
    assert [key for _, _, key in notes(file.tracks[4])] == [
        note.pitch.midi for note in struck if note.pitch
    ]
    assert {message.channel for message in file.tracks[1] if message.type == "note_on"} == {9}


def test_what_a_short_song_holds() -> None:
    song = song_of(
        "tempo 120\n\nsection Verse\nroad   | pickup |:    | 1.    | 2.  |\n"
        "chords | G      |: C  | F   :| G7  |\ntune   | B4:1   | C5:4 | A4:4  | B4:4 |\n"
        "words  | Oh     | low | tide  | _   |\n"
    )
    file = read(song)
    conductor, _, chords, bass, tune = file.tracks
    # Play order: pickup, C F, C G7. A quarter has 960 ticks; the pickup is one long.
    starts = [0, 960, 960 + 3840, 960 + 2 * 3840, 960 + 3 * 3840]
    assert [start for start, _, _ in notes(tune)] == starts
    assert [key for _, _, key in notes(tune)] == [71, 72, 69, 72, 71]
    # G over G3; C, F and G7 laid out from their bass in the octave from C3, as the keyboard shows.
    struck: dict[int, list[int]] = {}
    for start, _, key in notes(chords):
        struck.setdefault(start, []).append(key)
    assert list(struck) == starts
    assert list(struck.values()) == [
        [55, 59, 62], [48, 52, 55], [53, 57, 60], [48, 52, 55], [55, 59, 62, 65],
    ]  # fmt: skip
    assert [key for _, _, key in notes(bass)] == [43, 36, 41, 36, 43]
    meters = [(m.numerator, m.denominator) for m in metas(conductor, "time_signature")]
    assert meters == [(1, 4), (4, 4)], "the pickup is a bar of its own length"
    assert [m.text for m in metas(conductor, "marker")] == [
        "Verse", "repeat, 2nd time", "Verse, 2nd time", "2nd ending",
    ]  # fmt: skip
    assert "".join(m.text for m in metas(tune, "lyrics")).split()[:3] == ["Oh", "low", "tide"]


def test_music21_reads_the_same_bars_and_chords() -> None:
    song = open_song(FOLDER / "lanterns-at-low-tide.lead")
    score = converter.parseData(midi_file(song), format="midi")
    assert isinstance(score, stream.Score)
    parts = {str(part.partName): part for part in score.parts}
    tune, chords = parts["tune"], parts["chords"]
    measures = tune.getElementsByClass(stream.Measure)
    assert len(measures) == len(song.steps)
    assert [float(m.duration.quarterLength) for m in measures][:3] == [1, 4, 4]
    expected = [
        sorted(pitch.midi for pitch in sounding.symbol.palette.usual_keys)
        for step in song.steps
        for sounding in song.soundings[step.bar]
        if sounding.symbol
    ]
    found = [
        sorted(pitch.midi for pitch in chord.pitches)
        for chord in chords.recurse().notes
        if not (chord.tie and chord.tie.type != "start")
    ]
    assert found == expected


def test_slower_as_asked_for() -> None:
    song = song_of("tempo 120\n\nchords | C | F |")
    assert read(song).length == pytest.approx(4, abs=0.01)
    assert read(song, Fraction(1, 2)).length == pytest.approx(8, abs=0.01)


@settings(max_examples=40)
@given(songs())
def test_any_song_is_a_file_that_mido_reads(song: Song) -> None:
    file = read(song)
    lengths = Counter(sum(message.time for message in track) for track in file.tracks)
    assert len(lengths) == 1, "all tracks end together"
    for track in file.tracks[1:]:
        for start, end, _ in notes(track):
            assert 0 <= start < end
