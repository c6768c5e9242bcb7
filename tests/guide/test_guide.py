"""What plays along: the chords, the bass and the tune of a step, on keys and in time.

Spellings and keys of the chords are those of the palettes, which have tests of their own; the bass
an octave below and the re-struck bar line are common practice, no source. Middle C is C4, key 60
(source book of the MIDI numbers: MIDI 1.0).
"""

from collections.abc import Iterable
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.run.songs_at_random import songs

from chartwalk.chart import Bar, Chart, Note, Section
from chartwalk.guide import VOICES, Guide, Heard, Part, Voice, heard
from chartwalk.leadfile import loads
from chartwalk.pitch import Pitch
from chartwalk.roadmap import unroll
from chartwalk.song import Song


def written(rows: str, meter: str = "4/4") -> Song:
    chart = loads(f"title T\nmeter {meter}\n\n{rows}\n").chart
    return Song(Path("songs/t.lead"), chart, unroll(chart))


def notes(found: Iterable[Heard]) -> list[str]:
    """Write out notes: place, length, key; ~ before what is held, after what goes on."""
    return [f"{'~' * note.held}{note.at} {note.length} {note.key}{'~' * note.on}" for note in found]


def keys(found: Iterable[Heard], at: Fraction) -> list[int]:
    return [note.key for note in found if note.at == at]


def test_chords_are_struck_where_they_change_and_at_each_bar_line() -> None:
    song = written("chords | C F | | G@1 C@3.5 |")
    first = heard(song, 0, Part.CHORDS)
    # C3 E3 G3 and F3 A3 C4, close above the bass from C3: MIDI 1.0, middle C is key 60.
    assert (keys(first, Fraction(0)), keys(first, Fraction(2))) == ([48, 52, 55], [53, 57, 60])
    assert {note.length for note in first} == {2}
    held = heard(song, 1, Part.CHORDS)  # nothing written: F is struck again
    assert notes(held) == ["0 4 53", "0 4 57", "0 4 60"]
    pushed = heard(song, 2, Part.CHORDS)
    assert {(note.at, note.length) for note in pushed} == {
        (Fraction(0), Fraction(5, 2)), (Fraction(5, 2), Fraction(3, 2)),
    }  # fmt: skip


def test_the_bass_is_the_note_after_the_slash_or_the_root_an_octave_below() -> None:
    song = written("chords | C/G F | N.C. |")
    assert notes(heard(song, 0, Part.BASS)) == ["0 2 43", "2 2 41"]  # G2 and F2
    assert heard(song, 1, Part.BASS) == []
    assert heard(song, 1, Part.CHORDS) == []


def test_a_bar_without_a_chord_sounds_what_was_played_before_it() -> None:
    # Two bars before the first chord on paper; after the jump back G sounds in both.
    song = written("road | | | | | dc | \nchords | | | C | G | | ")
    assert [bool(heard(song, step, Part.BASS)) for step in range(4)] == [False, False, True, True]
    assert [note.key for step in (5, 6) for note in heard(song, step, Part.BASS)] == [43, 43]


def test_the_tune_is_played_where_it_is_written() -> None:
    song = written("tune | C4:1 r:1 A4:.5 Bb4:1.5 |")
    assert notes(heard(song, 0, Part.TUNE)) == ["0 1 60", "2 1/2 69", "5/2 3/2 70"]


def test_ties_are_one_note_within_the_bar_and_over_the_bar_line() -> None:
    song = written("tune | C4:1 D4:1~ D4:2~ | D4:4~ | D4:1 D4:3 |")
    assert notes(heard(song, 0, Part.TUNE)) == ["0 1 60", "1 3 62~"]
    assert notes(heard(song, 1, Part.TUNE)) == ["~0 4 62~"]
    assert notes(heard(song, 2, Part.TUNE)) == ["~0 1 62", "1 3 62"]


def test_a_tie_sounds_as_it_is_played_not_as_it_is_printed() -> None:
    # D4 is tied into the repeated bar from the pickup; the second time no tie leads there, and it
    # is struck. From the first ending none leads back either.
    song = written("road | pickup | | |\nchords | D |: G | C :|\ntune | D4:1~ | D4:4 | E4:4 |")
    assert [step.bar for step in song.steps] == [0, 1, 2, 1, 2]
    assert [notes(heard(song, step, Part.TUNE)) for step in range(5)] == [
        ["0 1 62~"], ["~0 4 62"], ["0 4 64"], ["0 4 62"], ["0 4 64"],
    ]  # fmt: skip


def test_a_tie_over_a_jump_is_held() -> None:
    song = written("chords |: G | C :| A |\ntune | E4:4 | E4:4~ | E4:4 |")
    assert [step.bar for step in song.steps] == [0, 1, 0, 1, 2]
    # The last bar of the first pass leads back to the same note, on the second pass to the end.
    assert [notes(heard(song, step, Part.TUNE)) for step in range(5)] == [
        ["0 4 64"], ["0 4 64~"], ["~0 4 64"], ["0 4 64~"], ["~0 4 64"],
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("tune", "ratio", "expected"),
    [
        ("C4:.5 D4:.5 E4:1 F4:2", "2", ["0 2/3 60", "2/3 1/3 62", "1 1 64", "2 2 65"]),
        ("C4:.5 D4:.5 E4:1 F4:2", "3", ["0 3/4 60", "3/4 1/4 62", "1 1 64", "2 2 65"]),
        ("C4:.5 D4:1.5 F4:2", "2", ["0 2/3 60", "2/3 4/3 62", "2 2 65"]),
        # triplets and a quarter of sixteenths go straight
        ("C4:1/3 D4:1/3 E4:1/3 F4:3", "2", ["0 1/3 60", "1/3 1/3 62", "2/3 1/3 64", "1 3 65"]),
        (
            "C4:.25 D4:.25 E4:.25 F4:.25 G4:3", "3",
            ["0 1/4 60", "1/4 1/4 62", "1/2 1/4 64", "3/4 1/4 65", "1 3 67"],
        ),
    ],
)  # fmt: skip
def test_eighths_swing_where_the_sheet_says_so(tune: str, ratio: str, expected: list[str]) -> None:
    song = written(f"feel swing\n\ntune | {tune} |")
    assert notes(heard(song, 0, Part.TUNE, Fraction(ratio))) == expected
    straight = written(f"tune | {tune} |")
    lengths = [note.length for note in straight.bars[0].tune]
    assert [note.length for note in heard(straight, 0, Part.TUNE, Fraction(ratio))] == lengths


def test_a_pushed_chord_swings_with_the_tune() -> None:
    song = written("feel swing\n\nchords | C@1 G@4.5 |\ntune | C4:3.5 D4:.5 |")
    assert [note.at for note in heard(song, 0, Part.TUNE)][-1] == Fraction(11, 3)
    assert heard(song, 0, Part.CHORDS)[-1].at == Fraction(11, 3)


def test_compound_meters_do_not_swing() -> None:
    song = written("feel swing\n\ntune | C4:.5 D4:.5 E4:2 |", "6/8")
    assert [note.at for note in heard(song, 0, Part.TUNE)] == [0, Fraction(1, 2), 1]


def test_notes_that_no_midi_key_has_are_left_out() -> None:
    # MIDI 1.0: keys 0 to 127, and G9 is the highest.
    high = tuple(Note(Pitch.parse(pitch), Fraction(2)) for pitch in ("G9", "A9"))
    chart = Chart("T", (Section("", (Bar("1", tune=high),)),))
    song = Song(Path("t"), chart, unroll(chart))
    assert [note.key for note in heard(song, 0, Part.TUNE)] == [127]


@pytest.mark.parametrize(
    "wrong",
    [{"channel": 0}, {"channel": 17}, {"program": 129}, {"volume": 128}, {"volume": -1}],
)
def test_a_voice_that_can_not_be_is_refused(wrong: dict[str, int]) -> None:
    with pytest.raises(ValueError, match="channel"):
        replace(Voice(1), **wrong)


def test_who_listens_hears_all_parts_unless_some_were_chosen() -> None:
    guide = Guide()
    assert guide.parts == frozenset()
    assert guide.with_all().parts == set(Part)
    bass = Guide(frozenset({Part.BASS}))
    assert bass.with_all() == bass
    channels = [VOICES[part].channel for part in Part]
    assert len(set(channels)) == len(channels)
    assert 10 not in channels  # the click's own: General MIDI percussion


@settings(max_examples=80)
@given(songs(), st.sampled_from(Part), st.fractions(1, 4, max_denominator=6))
def test_any_part_of_any_song_fits_its_bars(song: Song, part: Part, swing: Fraction) -> None:
    before: list[Heard] = []
    for step in song.steps:
        bar = song.bars[step.bar]
        found = heard(song, step.index, part, swing)
        for note in found:
            assert 0 <= note.at < bar.length
            assert note.length > 0
            assert note.at + note.length <= bar.length
            assert 0 <= note.key <= 127
        # What goes on in this bar is what the bar before hands on, and the other way round.
        held = [note.key for note in found if note.held]
        assert held == [note.key for note in before if note.on]
        assert all(note.at == 0 for note in found if note.held)
        assert all(note.at + note.length == bar.length for note in found if note.on)
        if part is Part.TUNE:  # one note at a time, in order
            ends = [note.at + note.length for note in found]
            assert all(end <= note.at for end, note in zip(ends, found[1:], strict=False))
        before = found
    assert not any(note.on for note in before)
