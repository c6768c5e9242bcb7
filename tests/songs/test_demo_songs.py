"""The demo songs as files: sound, singable, and between them all that a lead sheet may hold."""

from fractions import Fraction
from itertools import pairwise

import pytest

from chartwalk.chart import Sign, sung
from chartwalk.chord import ChordSymbol
from chartwalk.leadfile import dumps, loads
from chartwalk.song import Song
from chartwalk.tune import tune_of, words_of

NAMES = [
    "cafe-on-the-quay",
    "first-lamp",
    "lamp-on-the-step",
    "lamplighter-swing",
    "lanterns-at-low-tide",
    "last-ferry-bell",
    "light-on-the-long-wall",
    "net-menders-waltz",
    "seven-buoys",
]
# Sections that are played without a singer.
UNSUNG = {"Intro", "Outro", "Lift"}


def test_all_are_there(songs: dict[str, Song]) -> None:
    assert sorted(songs) == NAMES


@pytest.mark.parametrize("name", NAMES)
def test_it_opens_without_a_word_of_warning(songs: dict[str, Song], name: str) -> None:
    song = songs[name]
    assert song.warnings == ()
    assert song.chart.title
    assert song.chart.credit
    assert song.chart.note
    assert all(section.name for section in song.chart.sections)


@pytest.mark.parametrize("name", NAMES)
def test_it_is_written_and_read_again(songs: dict[str, Song], name: str) -> None:
    chart = songs[name].chart
    text = dumps(chart)
    assert loads(text).chart == chart
    assert dumps(loads(text).chart) == text


@pytest.mark.parametrize("name", NAMES)
def test_the_tune_stays_within_the_voice(songs: dict[str, Song], name: str) -> None:
    chart = songs[name].chart
    assert chart.voice is not None
    low, high = chart.voice
    pitches = [note.pitch for bar in chart.bars for note in bar.tune if note.pitch]
    assert (min(pitches), max(pitches)) == (low, high)


@pytest.mark.parametrize("name", NAMES)
def test_every_bar_is_played(songs: dict[str, Song], name: str) -> None:
    song = songs[name]
    assert {step.bar for step in song.steps} == set(range(len(song.bars)))


@pytest.mark.parametrize("name", NAMES)
def test_every_bar_has_a_chord(songs: dict[str, Song], name: str) -> None:
    song = songs[name]
    first = 1 if song.bars[0].pickup else 0
    assert all(sounding.symbol for bar in song.soundings[first:] for sounding in bar)


@pytest.mark.parametrize("name", NAMES)
def test_every_note_that_is_sung_has_its_syllable(songs: dict[str, Song], name: str) -> None:
    """In every step: words for all notes where there are verses, for none elsewhere."""
    song = songs[name]
    for step in song.steps:
        bar = song.bars[step.bar]
        notes = sung(bar, song.bars[step.bar - 1] if step.bar else None)
        words = words_of(song, step)
        if song.section_names[step.bar] in UNSUNG and not words:
            continue
        assert len(words) == len(notes), f"step {step.index}, bar {bar.number}"


@pytest.mark.parametrize("name", NAMES)
def test_hyphens_join_syllables_over_bars_and_jumps(songs: dict[str, Song], name: str) -> None:
    """A syllable that is joined is followed by one that can be sung on, not by a new line."""
    song = songs[name]
    heard = [
        note.syllable
        for step in song.steps
        for note in tune_of(song, step)
        if note.syllable is not None and note.syllable.text
    ]
    for here, following in pairwise(heard):
        assert not (here.joined and following.text[0].isupper()), f"{here.text}- {following.text}"
    assert not heard[-1].joined


def test_between_them_they_use_the_whole_road_map(songs: dict[str, Song]) -> None:
    signs = {mark.sign for song in songs.values() for bar in song.bars for mark in bar.marks}
    assert {
        Sign.REPEAT_START, Sign.REPEAT_END, Sign.ENDING, Sign.SEGNO, Sign.CODA, Sign.TO_CODA,
        Sign.FINE, Sign.DC_AL_FINE, Sign.DS_AL_FINE, Sign.DS_AL_CODA,
    } <= signs  # fmt: skip


def test_there_is_a_repeat_without_endings(songs: dict[str, Song]) -> None:
    bars = songs["first-lamp"].bars
    assert {mark.sign for bar in bars for mark in bar.marks} == {Sign.REPEAT_START, Sign.REPEAT_END}


def test_there_are_second_and_third_endings(songs: dict[str, Song]) -> None:
    passes = {
        mark.passes
        for song in songs.values()
        for bar in song.bars
        for mark in bar.marks
        if mark.sign is Sign.ENDING
    }
    assert {(1,), (2,), (1, 2), (3,)} <= passes


def test_there_is_a_repeat_played_three_times(songs: dict[str, Song]) -> None:
    marks = [mark for bar in songs["lamplighter-swing"].bars for mark in bar.marks]
    assert any(mark.times == 3 for mark in marks)


@pytest.mark.parametrize(
    "symbols",
    [
        ["maj7", "m7#5", "6", "9", "13"],
        ["7b9", "13b9", "m(maj7)", "7sus4", "6/9", "maj7#11", "dim7", "m7b5", "7#5", "+"],
    ],
)
def test_between_them_they_use_the_kinds_of_chords(
    songs: dict[str, Song], symbols: list[str]
) -> None:
    tails = {
        change.symbol.text[len(change.symbol.root.ascii) :]
        for song in songs.values()
        for bar in song.bars
        for change in bar.changes
        if change.symbol.root
    }
    assert set(symbols) <= tails


def test_meters_pickups_keys_and_feels(songs: dict[str, Song]) -> None:
    meters = {str(bar.meter) for song in songs.values() for bar in song.bars}
    assert {"4/4", "3/4", "6/8", "2/4"} <= meters
    assert any(bar.pickup for song in songs.values() for bar in song.bars)
    assert {bar.feel for song in songs.values() for bar in song.bars} == {"straight", "swing"}
    assert len({bar.key for bar in songs["light-on-the-long-wall"].bars}) == 2
    assert any(bar.key.mode == "minor" for song in songs.values() for bar in song.bars)


def test_chords_cluster_to_one_a_beat(songs: dict[str, Song]) -> None:
    counts = [len(bar.changes) for bar in songs["light-on-the-long-wall"].bars]
    assert counts.count(4) >= 5


def test_chords_are_pushed_off_the_beat(songs: dict[str, Song]) -> None:
    places = {change.at for bar in songs["lamplighter-swing"].bars for change in bar.changes}
    assert any(place.denominator == 2 for place in places)


def test_sevens_are_grouped_and_the_last_note_is_held(songs: dict[str, Song]) -> None:
    bars = songs["seven-buoys"].bars
    assert {str(bar.meter) for bar in bars} == {"2+2+3/8"}
    assert [bar.number for bar in bars if bar.fermatas] == ["12"]
    long_beat = Fraction(2)  # after 2+2 eighths
    late = {change.at for bar in bars for change in bar.changes if change.at}
    assert late == {long_beat}


@pytest.mark.parametrize(
    ("name", "bars", "line"),
    [
        ("lanterns-at-low-tide", ["1", "2", "3", "4"], "G F# E D C B A D"),
        ("light-on-the-long-wall", ["1", "2", "3"], "F G A Bb B C D"),
        ("net-menders-waltz", ["12", "13", "14"], "G# G F#"),
    ],
)
def test_a_bass_that_walks_by_step(
    songs: dict[str, Song], name: str, bars: list[str], line: str
) -> None:
    song = songs[name]
    symbols = [change.symbol for bar in song.bars for change in bar.changes if bar.number in bars]
    assert [_bass(symbol) for symbol in symbols] == line.split()


def _bass(symbol: ChordSymbol) -> str:
    bass = symbol.palette.bass
    return bass.ascii if bass else ""
