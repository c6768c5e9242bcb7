"""Every quality on every root, spelled a second time by counting letters, then semitones.

The arithmetic here is its own: it shares nothing with the code it checks. The degrees of the
qualities are those of MusicXML 4.0, ``kind-value``, and Hutchinson, *Music Theory for the
21st-Century Classroom*, jazz chord symbols. music21 10.5.1 spells the same kinds as a third
opinion.
"""

from types import ModuleType

import pytest

from chartwalk.chord import ChordError, ChordSymbol

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
    ("aug", "1 3 #5", "augmented"),
    ("(b5)", "1 3 b5", ""),
    ("m(#5)", "1 b3 #5", ""),
    ("5", "1 5", "power"),
    # Sixths and added notes.
    ("6", "1 3 5 6", "major-sixth"),
    ("m6", "1 b3 5 6", "minor-sixth"),
    ("6/9", "1 3 5 6 9", ""),
    ("m6/9", "1 b3 5 6 9", ""),
    ("2", "1 2 3 5", ""),
    ("m2", "1 2 b3 5", ""),
    ("add2", "1 2 3 5", ""),
    ("4", "1 3 4 5", ""),
    ("add4", "1 3 4 5", ""),
    ("add9", "1 3 5 9", ""),
    ("m(add9)", "1 b3 5 9", ""),
    ("add11", "1 3 5 11", ""),
    ("m(add11)", "1 b3 5 11", ""),
    ("7(add4)", "1 3 4 5 b7", ""),
    ("7(add6)", "1 3 5 6 b7", ""),
    # Dominant.
    ("7", "1 3 5 b7", "dominant-seventh"),
    ("9", "1 3 5 b7 9", "dominant-ninth"),
    ("11", "1 3 5 b7 9 11", "dominant-11th"),
    ("13", "1 3 5 b7 9 11 13", "dominant-13th"),
    ("7b5", "1 3 b5 b7", "seventh-flat-five"),
    ("7b9", "1 3 5 b7 b9", ""),
    ("7#9", "1 3 5 b7 #9", ""),
    ("7#11", "1 3 5 b7 #11", ""),
    ("7b13", "1 3 5 b7 b13", ""),
    ("7b9#5", "1 3 #5 b7 b9", ""),
    ("7b9b13", "1 3 5 b7 b9 b13", ""),
    ("9(13)", "1 3 5 b7 9 13", ""),
    ("13(b9,#11)", "1 3 5 b7 b9 #11 13", ""),
    ("alt", "1 3 b5 #5 b7 b9 #9", ""),
    # Major.
    ("maj7", "1 3 5 7", "major-seventh"),
    ("△7", "1 3 5 7", "major-seventh"),
    ("maj9", "1 3 5 7 9", "major-ninth"),
    ("maj11", "1 3 5 7 9 11", "major-11th"),
    ("maj13", "1 3 5 7 9 11 13", "major-13th"),
    ("maj7#11", "1 3 5 7 #11", ""),
    ("maj7b5", "1 3 b5 7", ""),
    # Minor.
    ("m7", "1 b3 5 b7", "minor-seventh"),
    ("m9", "1 b3 5 b7 9", "minor-ninth"),
    ("m11", "1 b3 5 b7 9 11", "minor-11th"),
    ("m13", "1 b3 5 b7 9 11 13", "minor-13th"),
    # Minor with a major seventh.
    ("mMaj7", "1 b3 5 7", "minor-major-seventh"),
    ("m(maj7)", "1 b3 5 7", "minor-major-seventh"),
    ("m(maj9)", "1 b3 5 7 9", "minor-major-ninth"),
    ("m(maj11)", "1 b3 5 7 9 11", "minor-major-11th"),
    ("m(maj13)", "1 b3 5 7 9 11 13", "minor-major-13th"),
    # Diminished.
    ("dim7", "1 b3 b5 bb7", "diminished-seventh"),
    ("°7", "1 b3 b5 bb7", "diminished-seventh"),
    ("dim9", "1 b3 b5 bb7 9", "diminished-ninth"),
    ("dim7b9", "1 b3 b5 bb7 b9", "diminished-minor-ninth"),
    ("dim11", "1 b3 b5 bb7 9 11", "diminished-11th"),
    ("dim13", "1 b3 b5 bb7 9 11 13", ""),
    ("dim(maj7)", "1 b3 b5 7", ""),
    # Half-diminished.
    ("ø7", "1 b3 b5 b7", "half-diminished-seventh"),
    ("m7b5", "1 b3 b5 b7", "half-diminished-seventh"),
    ("ø9", "1 b3 b5 b7 9", "half-diminished-ninth"),
    ("øb9", "1 b3 b5 b7 b9", "half-diminished-minor-ninth"),
    ("ø11", "1 b3 b5 b7 9 11", "half-diminished-11th"),
    ("ø13", "1 b3 b5 b7 9 11 13", "half-diminished-13th"),
    # Augmented.
    ("+7", "1 3 #5 b7", "augmented-seventh"),
    ("7#5", "1 3 #5 b7", "augmented-seventh"),
    ("+9", "1 3 #5 b7 9", "augmented-dominant-ninth"),
    ("9#5", "1 3 #5 b7 9", "augmented-dominant-ninth"),
    ("+11", "1 3 #5 b7 9 11", "augmented-11th"),
    ("+13", "1 3 #5 b7 9 11 13", "augmented-dominant-13th"),
    ("maj7#5", "1 3 #5 7", "augmented-major-seventh"),
    ("+maj9", "1 3 #5 7 9", "augmented-major-ninth"),
    ("+maj11", "1 3 #5 7 9 11", "augmented-major-11th"),
    ("+maj13", "1 3 #5 7 9 11 13", "augmented-major-13th"),
    # Suspended: a natural 11th would be the fourth once more, and is not held twice.
    ("sus2", "1 2 5", "suspended-second"),
    ("sus4", "1 4 5", "suspended-fourth"),
    ("sus2sus4", "1 2 4 5", ""),
    ("7sus4", "1 4 5 b7", "suspended-fourth-seventh"),
    ("7sus2", "1 2 5 b7", ""),
    ("9sus", "1 4 5 b7 9", ""),
    ("11sus4", "1 4 5 b7 9", ""),
    ("13sus4", "1 4 5 b7 9 13", ""),
    ("13sus(b9)", "1 4 5 b7 b9 13", ""),
    ("maj7sus4", "1 4 5 7", ""),
    ("maj9sus4", "1 4 5 7 9", ""),
    ("maj13sus4", "1 4 5 7 9 13", ""),
    # Fourths: MusicXML has no such kind (common practice, no source).
    ("quartal", "1 4 b7", ""),
    ("quartal4", "1 b3 4 b7", ""),
]
# MusicXML 4.0 ``kind-value``: the values with notes of their own, and what follows the root here.
MUSICXML = {
    "major": "", "minor": "m", "augmented": "aug", "diminished": "dim", "dominant": "7",
    "major-seventh": "maj7", "minor-seventh": "m7", "diminished-seventh": "dim7",
    "augmented-seventh": "+7", "half-diminished": "ø7", "major-minor": "m(maj7)",
    "major-sixth": "6", "minor-sixth": "m6", "dominant-ninth": "9", "major-ninth": "maj9",
    "minor-ninth": "m9", "dominant-11th": "11", "major-11th": "maj11", "minor-11th": "m11",
    "dominant-13th": "13", "major-13th": "maj13", "minor-13th": "m13",
    "suspended-second": "sus2", "suspended-fourth": "sus4", "power": "5",
}  # fmt: skip
# Kinds of music21 10.5.1 ``harmony.CHORD_TYPES`` that no symbol here stands for.
WITHOUT_SYMBOL = {
    "Neapolitan": "a function, not a symbol; counts 1 b2 3 b5, which no text confirms",
    "Italian": "a function (augmented sixth on the lowered 6th of a key), no root of its own",
    "French": "a function, as the Italian",
    "German": "a function, as the Italian",
    "pedal": "one note, no chord (MusicXML 4.0: pedal-point bass)",
    "Tristan": "a function; MusicXML 4.0 gives no intervals",
}
# Abbreviations of music21 10.5.1 that are read otherwise here, and why.
READ_OTHERWISE = {
    "ob9": "no 7 is written, so none is added: dim(b9), by Hutchinson's C(b9) against C7(b9)",
    "dimb9": "the same",
    "dom7dim5": "no printed symbol; refused",
    "power": "a name, no symbol; refused: C5",
}


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
    # No quality of the table has a letter b that is not a flat.
    signs = str.maketrans({"b": "♭", "#": "♯"})
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


def test_every_kind_of_musicxml_and_of_music21_is_here(harmony: ModuleType) -> None:
    # 33 values in all; eight of them have no notes of their own (MusicXML 4.0).
    assert len(MUSICXML) == 33 - 8
    assert set(MUSICXML.values()) <= {suffix for suffix, *_ in QUALITIES}
    here = {kind for *_, kind in QUALITIES if kind}
    assert here | set(WITHOUT_SYMBOL) == set(harmony.CHORD_TYPES)
    assert not here & set(WITHOUT_SYMBOL)


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


def test_the_abbreviations_of_music21_are_read_alike(harmony: ModuleType) -> None:
    unlike = set()
    for kind, (degrees, abbreviations) in harmony.CHORD_TYPES.items():
        if kind in WITHOUT_SYMBOL:
            continue
        theirs = degrees.replace("-", "b").split(",")
        unlike |= {ending for ending in abbreviations if _degrees(f"C{ending}") != theirs}
    assert unlike == set(READ_OTHERWISE)


def _degrees(symbol: str) -> list[str] | None:
    try:
        return [degree.ascii for degree in ChordSymbol.parse(symbol).degrees]
    except ChordError:
        return None
