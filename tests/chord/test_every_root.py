"""Every quality on every root, spelled a second time by counting letters, then semitones.

The arithmetic here is its own: it shares nothing with the code it checks. The degrees of the
qualities are those of MusicXML 4.0, ``kind-value``, and Hutchinson, *Music Theory for the
21st-Century Classroom*, jazz chord symbols. music21 10.5.1 spells the same kinds as a third
opinion.
"""

from types import ModuleType

import pytest

from chartwalk.chord import ChordSymbol

LETTERS = "CDEFGAB"
KEYS = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
MAJOR_SCALE = (0, 2, 4, 5, 7, 9, 11)
ROOTS = [letter + sign for letter in LETTERS for sign in ("bb", "b", "", "#", "##")]

# What follows the root, degrees, the name of the kind in music21 10.5.1 where it has one.
QUALITIES = [
    ("", "1 3 5", "major"),
    ("m", "1 b3 5", "minor"),
    ("-", "1 b3 5", "minor"),
    ("dim", "1 b3 b5", "diminished"),
    ("+", "1 3 #5", "augmented"),
    ("6", "1 3 5 6", "major-sixth"),
    ("m6", "1 b3 5 6", "minor-sixth"),
    ("6/9", "1 3 5 6 9", ""),
    ("m6/9", "1 b3 5 6 9", ""),
    ("7", "1 3 5 b7", "dominant"),
    ("maj7", "1 3 5 7", "major-seventh"),
    ("△7", "1 3 5 7", "major-seventh"),
    ("m7", "1 b3 5 b7", "minor-seventh"),
    ("mMaj7", "1 b3 5 7", "minor-major-seventh"),
    ("dim7", "1 b3 b5 bb7", "diminished-seventh"),
    ("°7", "1 b3 b5 bb7", "diminished-seventh"),
    ("ø7", "1 b3 b5 b7", "half-diminished"),
    ("m7b5", "1 b3 b5 b7", "half-diminished"),
    ("+7", "1 3 #5 b7", "augmented-seventh"),
    ("7#5", "1 3 #5 b7", "augmented-seventh"),
    ("maj7#5", "1 3 #5 7", "augmented-major-seventh"),
    ("7b5", "1 3 b5 b7", "seventh-flat-five"),
    ("9", "1 3 5 b7 9", "dominant-ninth"),
    ("maj9", "1 3 5 7 9", "major-ninth"),
    ("m9", "1 b3 5 b7 9", "minor-ninth"),
    ("11", "1 3 5 b7 9 11", "dominant-11th"),
    ("maj11", "1 3 5 7 9 11", "major-11th"),
    ("m11", "1 b3 5 b7 9 11", "minor-11th"),
    ("13", "1 3 5 b7 9 11 13", "dominant-13th"),
    ("maj13", "1 3 5 7 9 11 13", "major-13th"),
    ("m13", "1 b3 5 b7 9 11 13", "minor-13th"),
    ("7b9", "1 3 5 b7 b9", ""),
    ("7#9", "1 3 5 b7 #9", ""),
    ("7#11", "1 3 5 b7 #11", ""),
    ("7b13", "1 3 5 b7 b13", ""),
    ("7b9#5", "1 3 #5 b7 b9", ""),
    ("7b9b13", "1 3 5 b7 b9 b13", ""),
    ("maj7#11", "1 3 5 7 #11", ""),
    ("alt", "1 3 b5 #5 b7 b9 #9", ""),
    ("sus2", "1 2 5", "suspended-second"),
    ("sus4", "1 4 5", "suspended-fourth"),
    ("7sus4", "1 4 5 b7", "suspended-fourth-seventh"),
    ("9sus", "1 4 5 b7 9", ""),
    ("13sus(b9)", "1 4 5 b7 b9 13", ""),
    ("5", "1 5", "power"),
    ("add9", "1 3 5 9", ""),
    ("m(add9)", "1 b3 5 9", ""),
]


def spell(root: str, degrees: str) -> list[str]:
    """Count letters from the root, then the accidentals that make the distance right."""
    names = []
    for degree in degrees.split():
        number = int(degree.strip("b#"))
        place = LETTERS.index(root[0]) + number - 1
        letter = LETTERS[place % 7]
        root_key = KEYS[root[0]] + root.count("#") - root.count("b")
        wanted = root_key + MAJOR_SCALE[(number - 1) % 7] + 12 * ((number - 1) // 7)
        wanted += degree.count("#") - degree.count("b")
        signs = wanted - (KEYS[letter] + 12 * (place // 7))
        names.append(letter + ("#" * signs if signs > 0 else "b" * -signs))
    return names


@pytest.mark.parametrize(
    ("root", "degrees", "notes"),
    [
        # The arithmetic itself, against W3C MusicXML 4.0 (A dominant-11th) and Hutchinson (Fdim7).
        ("A", "1 3 5 b7 9 11", "A C# E G B D"),
        ("F", "1 b3 b5 bb7", "F Ab Cb Ebb"),
        ("Fb", "1 b3 b5 bb7", "Fb Abb Cbb Ebbb"),
    ],
)
def test_the_arithmetic_of_this_file(root: str, degrees: str, notes: str) -> None:
    assert spell(root, degrees) == notes.split()


@pytest.mark.parametrize(("suffix", "degrees", "kind"), QUALITIES)
def test_on_every_root(suffix: str, degrees: str, kind: str) -> None:
    found = {root: ChordSymbol.parse(root + suffix).palette for root in ROOTS}
    names = {root: [name.ascii for name in palette.names] for root, palette in found.items()}
    assert names == {root: spell(root, degrees) for root in ROOTS}
    for root, palette in found.items():
        assert [tone.degree.ascii for tone in palette.tones] == degrees.split()
        assert palette.bass is not None
        assert palette.bass.ascii == root


@pytest.mark.parametrize(("suffix", "degrees", "kind"), QUALITIES)
def test_unicode_is_read_like_ascii(suffix: str, degrees: str, kind: str) -> None:
    signs = str.maketrans({"b": "♭", "#": "♯"})
    # No quality of the table has a letter b that is not a flat.
    for root in ROOTS:
        unicode = ChordSymbol.parse((root + suffix).translate(signs))
        assert unicode.palette == ChordSymbol.parse(root + suffix).palette
        assert ChordSymbol.parse(unicode.display).palette == unicode.palette


@pytest.mark.parametrize("suffix", ["7", "m7b5", "maj7", "dim7", "6/9"])
@pytest.mark.parametrize("bass", ["C", "F##", "Bb", "Ebb", "G#"])
def test_every_root_over_a_bass(suffix: str, bass: str) -> None:
    for root in ROOTS:
        palette = ChordSymbol.parse(f"{root}{suffix}/{bass}").palette
        assert palette.names == ChordSymbol.parse(root + suffix).palette.names
        assert palette.bass is not None
        assert palette.bass.ascii == bass
        assert palette.keys[0].name == palette.bass
        sounding = [key.midi for key in palette.keys]
        assert sounding == sorted(set(sounding))
        # A bass on a chord tone's key takes its place, however the two are spelled.
        names = {*palette.names, palette.bass}
        assert {key % 12 for key in sounding} == {name.pitch_class for name in names}
        assert {key.name for key in palette.keys} <= names


@pytest.fixture(scope="module")
def harmony() -> ModuleType:
    """music21 10.5.1, ``harmony``: imported here because it is slow."""
    import music21.harmony

    return music21.harmony


@pytest.mark.parametrize(
    ("suffix", "kind"), [(suffix, kind) for suffix, _, kind in QUALITIES if kind]
)
def test_music21_agrees(harmony: ModuleType, suffix: str, kind: str) -> None:
    # By root= and kind= alone: its reading of text takes "Bb7" for B with a flat 7.
    for root in ROOTS:
        other = harmony.ChordSymbol(root=root.replace("b", "-"), kind=kind)
        theirs = [pitch.name.replace("-", "b") for pitch in other.pitches]
        ours = [name.ascii for name in ChordSymbol.parse(root + suffix).palette.names]
        assert ours[0] == theirs[0] == root
        # It lists by height, we by degree.
        assert sorted(ours) == sorted(theirs), root
