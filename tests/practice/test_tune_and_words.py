"""The tune and the words of a step, by the pass on which it is played."""

from collections.abc import Callable
from fractions import Fraction

import pytest

from chartwalk.practice import Session
from chartwalk.song import Song
from chartwalk.tune import TuneNote, tune_of, words_of

Written = Callable[..., Song]
Demo = Callable[[str], Song]

# Song, step, the words sung in that step; steps counted by hand along the play order, from 0.
LINES = [
    ("first-lamp", 0, "One by one a-"),
    ("first-lamp", 7, "small lamps show."),
    ("first-lamp", 8, "One by one the"),
    ("first-lamp", 15, "small lamps show."),
    ("first-lamp", 16, "Tar- row-"),
    ("first-lamp", 19, "night."),
    ("lanterns-at-low-tide", 0, "The"),
    ("lanterns-at-low-tide", 1, "lan- terns swing a-"),
    ("lanterns-at-low-tide", 7, "meet the turn- ing"),
    ("lanterns-at-low-tide", 8, "tide. My"),
    ("lanterns-at-low-tide", 9, "moth- er mend- ed"),
    ("lanterns-at-low-tide", 15, "held the morn- ing"),
    ("lanterns-at-low-tide", 16, "through. So"),
    ("lanterns-at-low-tide", 17, "leave a lan- tern"),
    ("lanterns-at-low-tide", 26, ""),
    ("last-ferry-bell", 9, "man at the rope nev- er"),
    ("last-ferry-bell", 7, "no- where but o- ver to"),
    ("last-ferry-bell", 15, "shore with the spring tide a-"),
    ("last-ferry-bell", 16, "gain. The"),
    ("last-ferry-bell", 17, "lamps on the quay have gone"),
    ("last-ferry-bell", 20, "sea; _ but a"),
    ("last-ferry-bell", 23, "binds the whole har- bour to"),
    ("last-ferry-bell", 24, "me."),
    ("last-ferry-bell", 25, "Ring low,"),
    ("net-menders-waltz", 0, "Nee- dle and"),
    ("net-menders-waltz", 16, "Knot af- ter"),
    ("net-menders-waltz", 24, "Word af- ter"),
    ("net-menders-waltz", 32, "One row"),
    ("net-menders-waltz", 36, "Lay down the"),
    ("net-menders-waltz", 51, "ber."),
    ("cafe-on-the-quay", 4, "Two cups be- side"),
    ("cafe-on-the-quay", 20, "The chairs are on"),
    ("cafe-on-the-quay", 32, "stay a lit- tle"),
    ("cafe-on-the-quay", 52, "Two cups, the same"),
    ("cafe-on-the-quay", 63, "door;"),
    ("cafe-on-the-quay", 64, "one more cof-"),
    ("lamp-on-the-step", 2, "last glass is washed on the"),
    ("lamp-on-the-step", 10, "light- house goes round and a-"),
    ("lamp-on-the-step", 16, "touch- es your win- dow, and"),
    ("lamp-on-the-step", 17, "goes."),
    ("lamp-on-the-step", 26, "fer- ry's a- sleep at the"),
    ("lamp-on-the-step", 32, "lamp's on the step, as you"),
    ("lamp-on-the-step", 33, "know."),
    ("lamplighter-swing", 0, "I've got a light in"),
    ("lamplighter-swing", 14, "throws me a song off the wall."),
    ("lamplighter-swing", 15, ""),
    ("lamplighter-swing", 30, "keeps a warm word for the"),
    ("lamplighter-swing", 33, "road,"),
    ("lamplighter-swing", 34, "keeps a warm word just for"),
    ("lamplighter-swing", 35, "you."),
    ("lamplighter-swing", 36, "Good night."),
]


def _sung(song: Song, step: int) -> str:
    return " ".join(
        (syllable.text or "_") + "-" * syllable.joined
        for syllable in words_of(song, song.steps[step])
    )


def _written(note: TuneNote) -> str:
    """Write a note as `place length pitch`, (held) and its syllable."""
    pieces = [str(note.at), str(note.length), note.pitch.ascii if note.pitch else "r"]
    if note.held:
        pieces.append("held")
    if note.syllable:
        pieces.append(note.syllable.text or "_")
    return " ".join(pieces)


def _tune(song: Song, step: int) -> list[str]:
    return [_written(note) for note in tune_of(song, song.steps[step])]


@pytest.mark.parametrize(("name", "step", "line"), LINES)
def test_the_words_of_demo_songs(demo: Demo, name: str, step: int, line: str) -> None:
    assert _sung(demo(name), step) == line


# Rows, the words of each step.
VERSES = [
    # A verse a pass; past the last verse it is sung again.
    (
        "road | 3x |\nchords |: C :|\nwords | one |\nwords 2 | two |",
        ["one", "two", "two"],
    ),
    ("road | 3x |\nchords |: C :|\nwords | one |", ["one"] * 3),
    (
        "road | 3x |\nchords |: C :|\nwords | one |\nwords 2 | two |\nwords 3 | three |",
        ["one", "two", "three"],
    ),
    # An ending that is first played on pass 2 may carry its only words in the first row.
    (
        "road | | 1. | 2. |\nchords |: C | D :| E |\nwords | a | b | c |\nwords 2 | d | | |",
        ["a", "b", "d", "c"],
    ),
    (
        "road | | 1. | 2. |\nchords |: C | D :| E |\nwords | a | b | |\nwords 2 | d | | c |",
        ["a", "b", "d", "c"],
    ),
    # A bar without words is silent on every pass.
    ("chords |: C | D :|\nwords | a | |", ["a", "", "a", ""]),
    # A second verse alone is not sung on the first pass.
    ("chords |: C :|\nwords 2 | b |", ["", "b"]),
]


@pytest.mark.parametrize(("rows", "lines"), VERSES)
def test_which_verse_is_sung(written: Written, rows: str, lines: list[str]) -> None:
    song = written(rows)
    assert [_sung(song, step.index) for step in song.steps] == lines


def test_a_bar_of_the_second_verse_left_empty_is_not_sung_with_the_first(written: Written) -> None:
    song = written("chords |: C | D :|\nwords | one | two |\nwords 2 | three | |")
    assert [_sung(song, step) for step in range(4)] == ["one", "two", "three", ""]


def test_notes_with_their_places_and_syllables(written: Written) -> None:
    song = written("tune | B4:1.5 r:.5 A4:1/3 G4:1/3 F4:1/3 E4:1 |\nwords | a b- c _ d |")
    assert _tune(song, 0) == [
        "0 3/2 B4 a",
        "3/2 1/2 r",
        "2 1/3 A4 b",
        "7/3 1/3 G4 c",
        "8/3 1/3 F4 _",
        "3 1 E4 d",
    ]


def test_tied_notes_are_one(written: Written) -> None:
    song = written("tune | B4:1~ B4:.5~ B4:.5 A4:2~ | A4:1 A4:3 |\nwords | long two | new |")
    assert _tune(song, 0) == ["0 2 B4 long", "2 2 A4 two"]
    assert _tune(song, 1) == ["0 1 A4 held", "1 3 A4 new"]


def test_a_note_held_over_a_bar_line_and_on(written: Written) -> None:
    song = written("tune | B4:4~ | B4:2~ B4:1 A4:1 |\nwords | la | lo |")
    assert _tune(song, 1) == ["0 3 B4 held", "3 1 A4 lo"]


def test_a_tie_to_another_pitch_does_not_hold(written: Written) -> None:
    song = written("tune | B4:2~ C5:2~ | B4:4 |\nwords | a b | c |")
    assert _tune(song, 0) == ["0 2 B4 a", "2 2 C5 b"]
    assert _tune(song, 1) == ["0 4 B4 c"]


def test_without_a_tune_the_words_share_the_bar(written: Written) -> None:
    song = written("chords | C |\nwords | share it now |")
    assert _tune(song, 0) == ["0 4/3 r share", "4/3 4/3 r it", "8/3 4/3 r now"]


def test_a_bar_left_empty_has_no_notes(written: Written) -> None:
    song = written("tune | B4:4 | |\nwords | la | |")
    assert _tune(song, 1) == []


def test_a_pickup_has_its_own_length(written: Written) -> None:
    song = written("road | pickup | |\ntune | D4:.5 E4:.5 | G4:4 |\nwords | and the | end |")
    assert _tune(song, 0) == ["0 1/2 D4 and", "1/2 1/2 E4 the"]


@pytest.mark.parametrize(
    ("name", "step", "notes"),
    [
        (
            "net-menders-waltz",
            6,
            ["0 2 G4 o", "2 1 E4 ver;"],
        ),
        ("net-menders-waltz", 7, ["0 2 E4 held", "2 1 r"]),
        (
            "lamp-on-the-step",
            16,
            [
                *["0 1 Ab4 touch", "1 1/2 G4 es", "3/2 1/2 F4 your"],
                *["2 1 D4 win", "3 1/2 Ab4 dow,", "7/2 1/2 F#4 and"],
            ],
        ),
        ("cafe-on-the-quay", 71, ["0 4 r"]),
    ],
)
def test_the_tune_of_demo_songs(demo: Demo, name: str, step: int, notes: list[str]) -> None:
    assert _tune(demo(name), step) == notes


def test_the_tunes_notes_fill_every_step(demo: Demo) -> None:
    song = demo("cafe-on-the-quay")
    for step in song.steps:
        at = Fraction(0)
        for note in tune_of(song, step):
            assert note.at == at
            at = note.at + note.length
        if song.bars[step.bar].tune:
            assert at == song.bars[step.bar].length


def test_a_refrain_is_sung_on_every_pass(written: Written) -> None:
    # Common practice, no source: what is printed once under all verses belongs to all of them.
    song = written(
        "chords |: C | G | F | C :|\ntune | C4:4 | D4:4 | E4:4 | F4:4 |\n"
        "words | one | day | re- | frain |\nwords 2 | two | nights | | |"
    )
    heard = [" ".join(s.text for s in words_of(song, step)) for step in song.steps]
    assert heard == ["one", "day", "re", "frain", "two", "nights", "re", "frain"]


def test_a_bar_that_one_verse_leaves_out_stays_silent(written: Written) -> None:
    song = written(
        "chords |: C | G | F :|\ntune | C4:4 | D4:4 | E4:4 |\n"
        "words | one | day | more |\nwords 2 | two | | nights |"
    )
    assert [" ".join(s.text for s in words_of(song, step)) for step in song.steps[3:]] == [
        "two", "", "nights",
    ]  # fmt: skip


def test_a_note_tied_over_a_jump_is_held(written: Written) -> None:
    song = written("road | | 1. | 2. |\nchords |: C | F :| G |\ntune | C4:4~ | C4:4 | C4:4 |")
    assert [tune_of(song, step)[0].held for step in song.steps] == [False, True, False, True]


def test_a_note_tied_on_paper_alone_is_struck_after_a_jump(written: Written) -> None:
    song = written("chords | C |: F | G :|\ntune | C4:4~ | C4:4 | D4:4 |")
    assert [step.bar for step in song.steps] == [0, 1, 2, 1, 2]
    assert [tune_of(song, step)[0].held for step in song.steps] == [
        False, True, False, False, False,
    ]  # fmt: skip


def test_a_pickup_played_again_holds_what_was_played_before(written: Written) -> None:
    song = written("road | pickup | | dc |\nchords | | C | G7 |\ntune | r:1 | C4:4 | D4:4 |")
    session = Session(song).at(3)
    assert session.here.bar == 0
    assert str(session.now.symbol) == "G7"
