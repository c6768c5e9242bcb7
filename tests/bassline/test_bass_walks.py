"""Rows of chords whose bass notes walk, worked by hand.

Which chords a walk is made of is read off the letters: the note after the slash, or the root. What
counts as a walk is common practice, no source: three notes or more by half or whole steps in one
direction.
"""

from collections.abc import Callable, Sequence
from itertools import groupby, pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chartwalk.bassline import bass_walks
from chartwalk.chord import ChordSymbol
from chartwalk.pitch import Name
from chartwalk.song import Song

Walks = Callable[..., list[str]]
Written = Callable[..., Song]

# One chord a bar, and the walk that each bar lies in.
ROWS = [
    ("by roots", "Am G F", ["A G F"] * 3),
    ("by slashes", "C G/B Am C/G F", ["C B A G F"] * 5),
    ("up", "C Dm7 C/E F", ["C D E F"] * 4),
    ("by half steps", "Am E7/G# C/G D/F# F", ["A G# G F# F"] * 5),
    ("half and whole steps", "Dm Dm/C# Dm/C G/B", ["D C# C B"] * 4),
    ("over the octave", "B C D", ["B C D"] * 3),
    ("names as written", "C B Bb Ebm/A#", ["C B Bb"] * 4),
    ("sound-alike names", "Fb Eb/D# D", ["Fb D# D"] * 3),
    ("two notes are none", "C D G", ["-"] * 3),
    ("a third is no step", "C E D", ["-"] * 3),
    ("to and fro", "C D C D C", ["-"] * 5),
    ("one note", "C", ["-"]),
    ("a walk between leaps", "C F G A D", ["-", *["F G A"] * 3, "-"]),
    ("the bass stays", "F F/G C/G F/A", ["F G A"] * 4),
    ("it stays at both ends", "F F7 C/G F/A A7", ["F G A"] * 5),
    ("it stays by another name", "E F# Ebm/Gb G#", ["E F# G#"] * 4),
    ("a turn", "Am G F G A", ["A G F"] * 3 + ["F G A"] * 2),
    ("a turn that stays", "Am G F F7 G A", ["A G F"] * 4 + ["F G A"] * 2),
    ("a turn too short for two", "Am G F G", ["A G F"] * 3 + ["-"]),
    ("a short walk into a long one", "C D C Bb", ["-", "D C Bb", "D C Bb", "D C Bb"]),
    ("N.C.", "Am G N.C. F E", ["-"] * 5),
    ("N.C. after three", "Am G F N.C. E", ["A G F"] * 3 + ["-"] * 2),
    ("N.C. before the bass it left", "Am G N.C. G F E", ["-"] * 3 + ["G F E"] * 3),
]


@pytest.mark.parametrize(("row", "found"), [row[1:] for row in ROWS], ids=[row[0] for row in ROWS])
def test_rows_of_chords(walks: Walks, row: str, found: list[str]) -> None:
    assert walks("| " + " | ".join(row.split()) + " |") == found


def test_several_chords_in_a_bar(walks: Walks) -> None:
    assert walks("| C G/B | Am C/G D G/B |") == ["C B A G, C B A G", "C B A G, C B A G, -, -"]
    assert walks("| E Am | G F |") == ["-, A G F", "A G F, A G F"]


def test_a_held_chord_sounds_the_walk_it_lies_in(walks: Walks) -> None:
    assert walks("| Am | | G@3 | F | | Bb |") == [
        "A G F",
        "A G F",
        "A G F, A G F",
        *["A G F"] * 2,
        "-",
    ]


def test_a_silence_that_goes_on_ends_the_walk_once(walks: Walks) -> None:
    assert walks("| Am | G | F | N.C. | | E | D | C |") == ["A G F"] * 3 + ["-"] * 2 + ["E D C"] * 3


def test_a_walk_over_a_repeat(walks: Walks) -> None:
    # Played: G F C Bb A, G F C Bb A. Back at G the walk goes on; the second time it ends on A.
    assert walks("|: G | F | C | Bb | A :|") == (["-", "-", *["C Bb A G F"] * 5, *["C Bb A"] * 3])


def test_a_walk_into_the_second_ending(walks: Walks) -> None:
    # Played: Am G C, Am G F.
    rows = "road   |       |   | 1.   | 2. |\nchords |: Am  | G | C   :| F  |"
    assert walks(rows) == ["-", "-", "-", "A G F", "A G F", "A G F"]


def test_a_chord_held_on_paper_is_new_after_a_jump(walks: Walks) -> None:
    # Played: C, C held, E, D, then from the sign: C, E, D.
    rows = "road   |   | segno |   | ds |\nchords | C |       | E | D  |"
    assert walks(rows) == ["-", "-", *["E D C"] * 3, "-", "-"]


def test_a_bar_without_any_chord_sounds_what_was_played_before(walks: Walks) -> None:
    # Played: nothing, F, A, G, then from the start: G still, F, A, G.
    rows = "road   |  |   |   | dc |\nchords |  | F | A | G  |"
    assert walks(rows) == ["-", "-", *["A G F"] * 4, "-", "-"]


def test_a_song_without_chords_has_no_walks(walks: Walks) -> None:
    assert walks("chords | | |\ntune | C4:4 | |") == ["-", "-"]


def test_the_names_of_a_walk_are_names(written: Written) -> None:
    found = bass_walks(written("chords | Am | G | F# |"))
    assert found[0, 0].names == tuple(ChordSymbol.parse(text).root for text in ("A", "G", "F#"))


chords = st.sampled_from(
    [*"CDEFGAB", "Db", "Eb", "F#", "Ab", "Bb", "Am/G", "C/E", "G7/B", "D/F#", "F#m7b5", "N.C."]
)


def one_way(names: Sequence[Name | None]) -> bool:
    """Whether notes go by half or whole steps in one direction, no silence between them."""
    ways = {(b.pitch_class - a.pitch_class) % 12 if a and b else 0 for a, b in pairwise(names)}
    return ways <= {1, 2} or ways <= {10, 11}


@given(st.lists(chords, min_size=1, max_size=24))
def test_any_row_against_every_three_neighbours(written: Written, row: list[str]) -> None:
    found = bass_walks(written("chords | " + " | ".join(row) + " |"))
    basses = [ChordSymbol.parse(text).palette.bass for text in row]
    notes = [list(group) for _, group in groupby(range(len(row)), basses.__getitem__)]
    inside = set()
    for three in zip(notes, notes[1:], notes[2:], strict=False):
        if one_way([basses[bars[0]] for bars in three]):
            inside |= {(bar, 0) for bars in three for bar in bars}
    assert set(found) == inside
    for (bar, _), walk in found.items():
        assert len(set(walk.names)) >= 3
        assert basses[bar] == walk.names[walk.here], "the note under way"
        assert one_way(walk.names)
