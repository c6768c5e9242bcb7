"""Pitch-class sets of the chord-labelling literature.

References
----------
mir_eval 0.8.2, ``chord.QUALITIES``, ``chord.EXTENDED_QUALITY_REDUX``, ``chord.SCALE_DEGREES`` and
labels through ``chord.encode`` (printed values); the same rows stand in Harte, Sandler, Abdallah
and Gómez, "Symbolic representation of musical chords", ISMIR 2005 (read in transcription). music21
10.5.1, ``harmony.CHORD_TYPES`` and docstring examples (printed values).
"""

import pytest

from chartwalk.chord import ChordSymbol

# mir_eval 0.8.2 chord.QUALITIES: label, our symbol on C, semitones above the root.
QUALITIES = [
    ("maj", "C", "0 4 7"),
    ("min", "Cm", "0 3 7"),
    ("aug", "C+", "0 4 8"),
    ("dim", "C°", "0 3 6"),
    ("sus4", "Csus4", "0 5 7"),
    ("sus2", "Csus2", "0 2 7"),
    ("7", "C7", "0 4 7 10"),
    ("maj7", "Cmaj7", "0 4 7 11"),
    ("min7", "Cm7", "0 3 7 10"),
    ("minmaj7", "Cm(maj7)", "0 3 7 11"),
    ("maj6", "C6", "0 4 7 9"),
    ("min6", "Cm6", "0 3 7 9"),
    ("dim7", "C°7", "0 3 6 9"),
    ("hdim7", "Cø7", "0 3 6 10"),
    ("1", "Cno3no5", "0"),
    ("5", "C5", "0 7"),
    ("", "N.C.", ""),
]
# mir_eval 0.8.2 chord.SCALE_DEGREES, 1 to 13.
SCALE_DEGREES = dict(
    zip(
        (str(number) for number in range(1, 14)),
        (0, 2, 4, 5, 7, 9, 11, 12, 14, 16, 17, 19, 21),
        strict=True,
    )
)
# mir_eval 0.8.2 chord.EXTENDED_QUALITY_REDUX: label, our symbol, the base quality, what is added to
# it.
EXTENDED = [
    ("9", "C9", "7", "9"),
    ("b9", "C7b9", "7", "b9"),
    ("#9", "C7#9", "7", "#9"),
    ("11", "C11", "7", "9 11"),
    ("#11", "C9#11", "7", "9 #11"),
    ("13", "C13", "7", "9 11 13"),
    ("b13", "C11b13", "7", "9 11 b13"),
    ("maj9", "Cmaj9", "maj7", "9"),
    ("maj13", "Cmaj13", "maj7", "9 11 13"),
    ("min9", "Cm9", "min7", "9"),
    ("min11", "Cm11", "min7", "9 11"),
    ("min13", "Cm13", "min7", "9 11 13"),
    ("minmaj7", "CmMaj7", "min", "7"),
]
# mir_eval 0.8.2 chord.encode: label, our symbol, root, semitones above it, bass above it.
LABELS = [
    ("C:min7/b7", "Cm7/Bb", 0, {0, 3, 7, 10}, 10),
    ("C:maj/3", "C/E", 0, {0, 4, 7}, 4),
    ("D:sus4(b7)", "D7sus4", 2, {0, 5, 7, 10}, 0),
    ("Ab:hdim7", "Abø7", 8, {0, 3, 6, 10}, 0),
    ("Gb:dim7", "Gbdim7", 6, {0, 3, 6, 9}, 0),
]
# music21 10.5.1 harmony.CHORD_TYPES, rows beyond the kinds of MusicXML.
CHORD_TYPES = [
    ("augmented-major-seventh", "Cmaj7#5", "1 3 #5 7"),
    ("augmented-major-seventh", "C+maj7", "1 3 #5 7"),
    ("seventh-flat-five", "C7b5", "1 3 b5 b7"),
    ("suspended-fourth-seventh", "C7sus4", "1 4 5 b7"),
]
# music21 10.5.1 docstring examples, the lowest note first; A7/G etc. as symbols of ours.
DOCSTRINGS = [
    ("A7/G", "G A C# E"),
    ("E7/Eb", "Eb E G# B D"),
    ("Cadd2/E", "E G C D"),
    ("Dsus/G", "G D A"),
    ("E°7/C", "C E G Bb Db"),
    ("G9#5", "G B D# F A"),
]


def above(symbol: str) -> list[int]:
    """Semitones above the root, in the order of the degrees."""
    tones = ChordSymbol.parse(symbol).palette.tones
    return [tone.degree.interval.semitones for tone in tones]


def semitones(degree: str) -> int:
    """Semitones of a degree with its sign, counted by the published table."""
    number = degree.lstrip("b#")
    return SCALE_DEGREES[number] + degree.count("#") - degree.count("b")


@pytest.mark.parametrize(("label", "symbol", "expected"), QUALITIES)
def test_quality(label: str, symbol: str, expected: str) -> None:
    assert above(symbol) == [int(count) for count in expected.split()]


@pytest.mark.parametrize(("label", "symbol", "base", "added"), EXTENDED)
def test_extended_quality(label: str, symbol: str, base: str, added: str) -> None:
    plain = next(expected for name, _, expected in QUALITIES if name == base)
    extensions = [semitones(degree) for degree in added.split()]
    assert above(symbol) == [int(count) for count in plain.split()] + extensions


@pytest.mark.parametrize(("label", "symbol", "root", "expected", "bass"), LABELS)
def test_label(label: str, symbol: str, root: int, expected: set[int], bass: int) -> None:
    chord = ChordSymbol.parse(symbol)
    assert chord.root is not None
    assert chord.palette.bass is not None
    assert chord.root.pitch_class == root
    assert {(name.pitch_class - root) % 12 for name in chord.palette.names} == expected
    assert (chord.palette.bass.pitch_class - root) % 12 == bass


@pytest.mark.parametrize(("kind", "symbol", "degrees"), CHORD_TYPES)
def test_chord_type(kind: str, symbol: str, degrees: str) -> None:
    tones = ChordSymbol.parse(symbol).palette.tones
    assert [tone.degree.ascii for tone in tones] == degrees.split()


@pytest.mark.parametrize(("symbol", "notes"), DOCSTRINGS)
def test_docstring_example(symbol: str, notes: str) -> None:
    palette = ChordSymbol.parse(symbol).palette
    expected = notes.split()
    assert palette.bass is not None
    assert palette.bass.ascii == expected[0]
    # The bass belongs to the notes, whether or not the chord has it (Dsus/G doubles its G).
    assert {name.ascii for name in palette.names} | {expected[0]} == set(expected)
    assert {key.name.ascii for key in palette.keys} == set(expected)
