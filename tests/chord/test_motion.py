"""How far the notes move from one chord to the next.

References
----------
Tymoczko, "The Geometry of Musical Chords", *Science* 313, 2006: voice-leading size. The tables are
its minimum over all pairings of pitch classes, by brute force.

Notes in common are held before the rest is paired. That never costs a semitone: a pairing that
moves both from and to a common note can be exchanged for one that holds it, by the triangle
inequality. The sizes below are therefore the published least totals.
"""

from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chartwalk.chord import ChordSymbol, Motion, motion
from chartwalk.pitch import Name

ROOTS = ["C", "C#", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B"]
# C major to the major and to the minor chord on each root.
TO_MAJOR = (0, 3, 6, 3, 2, 3, 6, 3, 2, 3, 6, 3)
TO_MINOR = (1, 2, 5, 4, 1, 2, 5, 4, 3, 2, 5, 4)
SEVENTHS = [
    ("Dm7", "G7", 3),
    ("G7", "Cmaj7", 3),
    ("G7", "Db7", 2),
    ("Cmaj7", "Am7", 2),
    ("Cmaj7", "C7", 1),
    ("Cmaj7", "F#maj7", 4),
    ("Dm7b5", "G7", 2),
    ("Bdim7", "G7", 1),
    ("C7", "Eb7", 2),
    ("C7", "F#7", 2),
]
TRIADS = [root + quality for root in ROOTS for quality in ("", "m", "dim", "+", "sus4")]
SEVENTH_CHORDS = [
    root + q for root in ROOTS for q in ("7", "maj7", "m7", "ø7", "dim7", "6", "7sus4")
]
ANY = [
    *TRIADS,
    *SEVENTH_CHORDS,
    *(root + q for root in ROOTS for q in ("9", "13", "7b9", "5", "6/9")),
]


def step(old: str, new: str) -> Motion:
    return motion(ChordSymbol.parse(old).palette, ChordSymbol.parse(new).palette)


def distance(one: int, other: int) -> int:
    """The semitones between two keys of the octave, by the shorter way."""
    return min((one - other) % 12, (other - one) % 12)


def size(old: str, new: str) -> int:
    """The total of the moves, in semitones."""
    return sum(distance(a.pitch_class, b.pitch_class) for a, b in step(old, new).moves)


def names(symbol: str) -> list[Name]:
    """The notes that are usually played: those that a 13 leaves out move nowhere."""
    return [tone.name for tone in ChordSymbol.parse(symbol).palette.usual]


def keys(symbol: str) -> list[int]:
    return [name.pitch_class for name in names(symbol)]


def least(old: list[int], new: list[int]) -> int:
    """The least total over every pairing of the smaller chord with notes of the larger."""
    fewer, more = sorted((old, new), key=len)
    return min(
        sum(distance(a, b) for a, b in zip(fewer, chosen, strict=True))
        for chosen in permutations(more, len(fewer))
    )


@pytest.mark.parametrize(("root", "expected"), zip(ROOTS, TO_MAJOR, strict=True))
def test_c_major_to_major(root: str, expected: int) -> None:
    assert size("C", root) == expected


@pytest.mark.parametrize(("root", "expected"), zip(ROOTS, TO_MINOR, strict=True))
def test_c_major_to_minor(root: str, expected: int) -> None:
    assert size("C", f"{root}m") == expected


@pytest.mark.parametrize(("old", "new", "expected"), SEVENTHS)
def test_sevenths(old: str, new: str, expected: int) -> None:
    assert size(old, new) == expected


@pytest.mark.parametrize("pool", [TRIADS, SEVENTH_CHORDS], ids=["triads", "sevenths"])
def test_holding_common_notes_never_costs_a_semitone(pool: list[str]) -> None:
    starts = [symbol for symbol in pool if symbol.startswith("C") and not symbol.startswith("C#")]
    dearer = [
        (old, new)
        for old in starts
        for new in pool
        if size(old, new) != least(keys(old), keys(new))
    ]
    assert dearer == []


@given(st.sampled_from(ANY), st.sampled_from(ANY))
def test_motion_accounts_for_every_note(old: str, new: str) -> None:
    found = step(old, new)
    arriving = [*found.stays, *(pair[1] for pair in found.moves), *found.joins]
    assert sorted(arriving, key=str) == sorted(names(new), key=str)
    held = {name.pitch_class for name in found.stays}
    leaving = [
        *(name for name in names(old) if name.pitch_class in held),
        *(pair[0] for pair in found.moves),
        *found.leaves,
    ]
    assert sorted(leaving, key=str) == sorted(names(old), key=str)
    assert held == set(keys(old)) & set(keys(new))
    assert not (found.joins and found.leaves)


@given(st.sampled_from(ANY), st.sampled_from(ANY))
def test_size_is_symmetric(old: str, new: str) -> None:
    assert size(old, new) == size(new, old)


@given(st.sampled_from(ANY), st.sampled_from(ANY))
def test_size_is_the_least_total(old: str, new: str) -> None:
    # At most seven notes a side; both palettes of distinct keys.
    if min(len(keys(old)), len(keys(new))) <= 5:
        assert size(old, new) == least(keys(old), keys(new))


@pytest.mark.parametrize("pool", [TRIADS, SEVENTH_CHORDS], ids=["triads", "sevenths"])
@given(data=st.data())
def test_size_is_a_distance(pool: list[str], data: st.DataObject) -> None:
    one, two, three = (data.draw(st.sampled_from(pool)) for _ in range(3))
    assert (size(one, two) == 0) == (set(keys(one)) == set(keys(two)))
    assert size(one, three) <= size(one, two) + size(two, three)


@given(
    st.sampled_from(ROOTS),
    st.sampled_from(ROOTS),
    st.sampled_from(["", "m", "7", "maj7", "m7b5", "dim7", "9"]),
    st.sampled_from(["", "m", "7", "maj7", "m7b5", "dim7", "9"]),
    st.integers(1, 11),
)
def test_transposing_both_changes_nothing(
    old: str, new: str, old_quality: str, new_quality: str, up: int
) -> None:
    def moved(root: str) -> str:
        return ROOTS[(Name.parse(root).pitch_class + up) % 12]

    there = size(moved(old) + old_quality, moved(new) + new_quality)
    assert there == size(old + old_quality, new + new_quality)


def test_enharmonic_respelling_is_no_move() -> None:
    assert step("F#7", "Gb7").moves == ()
    assert [name.ascii for name in step("F#7", "Gb7").stays] == ["Gb", "Bb", "Db", "Fb"]


def test_what_stays_and_what_goes_where() -> None:
    # Dm7 to G7: D and F stay, A goes to G or B, C to B; worked by hand.
    found = step("Dm7", "G7")
    assert {name.ascii for name in found.stays} == {"D", "F"}
    assert {(old.ascii, new.ascii) for old, new in found.moves} == {("A", "G"), ("C", "B")}


def test_a_note_joins_and_leaves() -> None:
    joined, left = step("C", "C7"), step("C7", "C")
    assert [name.ascii for name in joined.joins] == ["Bb"]
    assert [name.ascii for name in left.leaves] == ["Bb"]
    assert (joined.moves, left.moves) == ((), ())


def test_silence_moves_nothing() -> None:
    found = step("N.C.", "C")
    assert (found.moves, len(found.joins)) == ((), 3)
