"""The chord kinds of MusicXML 4.0, each through a symbol that says it.

References
----------
W3C MusicXML 4.0, ``kind-value`` (degrees from its interval descriptions; the semitones are counted
from them), and the worked examples of ``degree``, ``bass`` and the harmony tutorial.

The remaining values have no degrees there: Neapolitan, Italian, French, German, pedal, Tristan,
other, none.
"""

import pytest

from chartwalk.chord import ChordSymbol

# kind, symbols that say it on C, degrees, semitones above the root.
KINDS = [
    ("major", "C Cmaj CM", "1 3 5", "0 4 7"),
    ("minor", "Cm Cmin C- Cmi", "1 b3 5", "0 3 7"),
    ("augmented", "C+ Caug", "1 3 #5", "0 4 8"),
    ("diminished", "Cdim C° Co", "1 b3 b5", "0 3 6"),
    ("dominant", "C7", "1 3 5 b7", "0 4 7 10"),
    ("major-seventh", "Cmaj7 CM7 C△7 C△ CΔ7", "1 3 5 7", "0 4 7 11"),
    ("minor-seventh", "Cm7 C-7 Cmin7", "1 b3 5 b7", "0 3 7 10"),
    ("diminished-seventh", "Cdim7 C°7 Co7", "1 b3 b5 bb7", "0 3 6 9"),
    ("augmented-seventh", "C+7 Caug7 C7#5", "1 3 #5 b7", "0 4 8 10"),
    ("half-diminished", "Cø Cø7 Cm7b5", "1 b3 b5 b7", "0 3 6 10"),
    ("major-minor", "CmM7 Cm(maj7) C-△7 CmMaj7", "1 b3 5 7", "0 3 7 11"),
    ("major-sixth", "C6", "1 3 5 6", "0 4 7 9"),
    ("minor-sixth", "Cm6 C-6", "1 b3 5 6", "0 3 7 9"),
    ("dominant-ninth", "C9", "1 3 5 b7 9", "0 4 7 10 14"),
    ("major-ninth", "Cmaj9 CM9 C△9", "1 3 5 7 9", "0 4 7 11 14"),
    ("minor-ninth", "Cm9 C-9", "1 b3 5 b7 9", "0 3 7 10 14"),
    ("dominant-11th", "C11", "1 3 5 b7 9 11", "0 4 7 10 14 17"),
    ("major-11th", "Cmaj11 C△11", "1 3 5 7 9 11", "0 4 7 11 14 17"),
    ("minor-11th", "Cm11 C-11", "1 b3 5 b7 9 11", "0 3 7 10 14 17"),
    ("dominant-13th", "C13", "1 3 5 b7 9 11 13", "0 4 7 10 14 17 21"),
    ("major-13th", "Cmaj13 C△13", "1 3 5 7 9 11 13", "0 4 7 11 14 17 21"),
    ("minor-13th", "Cm13 C-13", "1 b3 5 b7 9 11 13", "0 3 7 10 14 17 21"),
    ("suspended-second", "Csus2", "1 2 5", "0 2 7"),
    ("suspended-fourth", "Csus4 Csus", "1 4 5", "0 5 7"),
    ("power", "C5", "1 5", "0 7"),
]
# Encodings worked in MusicXML 4.0, as symbols: the encoding, the symbol, its notes, the lowest
# note.
WORKED = [
    ("A dominant, degree 5 alter -1, degree 3 subtract", "A7b5no3", "A Eb G", "A"),
    ("A minor-seventh, degree 13 add -1", "Am7(b13)", "A C E G F", "A"),
    ("A major, degree 9 add 0", "Aadd9", "A C# E B", "A"),
    ("C major-seventh, use-symbols", "C△7", "C E G B", "C"),
    ("G major, bass B", "G/B", "B G D", "B"),
    ("C major, bass G#", "C/G#", "G# C E G", "G#"),
    ("G major-sixth, bass D", "G6/D", "D G B E", "D"),
    ("A dominant-11th", "A11", "A C# E G B D", "A"),
]
SYMBOLS = [
    (kind, symbol, degrees, semitones)
    for kind, symbols, degrees, semitones in KINDS
    for symbol in symbols.split()
]


def test_every_kind_with_degrees_is_here() -> None:
    assert len({kind for kind, *_ in KINDS}) == 33 - 8


@pytest.mark.parametrize(("kind", "symbol", "degrees", "semitones"), SYMBOLS)
def test_kind(kind: str, symbol: str, degrees: str, semitones: str) -> None:
    palette = ChordSymbol.parse(symbol).palette
    assert [tone.degree.ascii for tone in palette.tones] == degrees.split()
    above = [tone.degree.interval.semitones for tone in palette.tones]
    assert above == [int(count) for count in semitones.split()]
    assert [name.pitch_class for name in palette.names] == [count % 12 for count in above]


@pytest.mark.parametrize(("encoding", "symbol", "notes", "lowest"), WORKED)
def test_worked_example(encoding: str, symbol: str, notes: str, lowest: str) -> None:
    palette = ChordSymbol.parse(symbol).palette
    assert palette.bass is not None
    assert palette.bass.ascii == lowest
    assert {name.ascii for name in palette.names} | {lowest} == set(notes.split())
    assert palette.keys[0].name.ascii == lowest
    assert len(palette.keys) == len(notes.split())
