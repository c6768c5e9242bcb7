"""Symbols that are hard to spell, letter by letter.

References
----------
Letter-and-semitone arithmetic over the published degree lists (MusicXML 4.0, Hutchinson), confirmed
by @tonaljs/chord 6.2.0 (printed values) and, for all but the starred symbols, by music21 10.5.1
``ChordSymbol(root=, kind=)``. Where those leave the 11th out of a 13, ours follows MusicXML 4.0,
whose dominant-13th has it: such rows say ``(no 11)`` and are compared without the 11th.
"""

import pytest

from chartwalk.chord import ChordSymbol

SPELLINGS = """
Gbm7b5 Gb Bbb Dbb Fb     | D#maj7 D# F## A# C##     | Cb7 Cb Eb Gb Bbb
Abm6 Ab Cb Eb F          | F#7#9* F# A# C# E G##    | Cbmaj7 Cb Eb Gb Bb
Fbmaj7 Fb Ab Cb Eb       | Gbm7 Gb Bbb Db Fb        | Abm7b5 Ab Cb Ebb Gb
Ebdim7 Eb Gb Bbb Dbb     | Fdim7 F Ab Cb Ebb        | Cdim7 C Eb Gb Bbb
F#dim7 F# A C Eb         | G#dim7 G# B D F          | D#m7b5 D# F# A C#
A#m7b5 A# C# E G#        | E#m7b5 E# G# B D#        | B#dim7 B# D# F# A
C#maj7 C# E# G# B#       | C#7 C# E# G# B           | G#maj7 G# B# D# F##
A#maj7 A# C## E# G##     | D#7 D# F## A# C#         | G#7 G# B# D# F#
D#m6 D# F# A# B#         | G#m6 G# B D# E#          | Dbm7 Db Fb Ab Cb
Dbm6 Db Fb Ab Bb         | Dbm7b5 Db Fb Abb Cb      | Cbm Cb Ebb Gb
Gbm6 Gb Bbb Db Eb        | Abm Ab Cb Eb             | Ebm7b5 Eb Gb Bbb Db
Bbm7b5 Bb Db Fb Ab       | Gbdim7 Gb Bbb Dbb Fbb    | Abdim7 Ab Cb Ebb Gbb
Dbdim7 Db Fb Abb Cbb     | F#aug F# A# C##          | G#aug G# B# D##
Daug D F# A#             | Ebaug Eb G B             | Abaug Ab C E
Gbaug Gb Bb D            | B7b9* B D# F# A C        | F#7b9* F# A# C# E G
Ab7b9* Ab C Eb Gb Bbb    | Db7#9* Db F Ab Cb E      | Eb7#9* Eb G Bb Db F#
Ab7#9* Ab C Eb Gb B      | G#7#9* G# B# D# F# A##   | Gb7 Gb Bb Db Fb
Gb9 Gb Bb Db Fb Ab       | Db9 Db F Ab Cb Eb        | B9 B D# F# A C#
C#9 C# E# G# B D#        | F#13* F# A# C# E G# D# (no 11) | Ab13* Ab C Eb Gb Bb F (no 11)
Gbmaj9 Gb Bb Db F Ab     | B6 B D# F# G#            | F#6 F# A# C# D#
Db6 Db F Ab Bb           | Gb6 Gb Bb Db Eb          | Ebm6 Eb Gb Bb C
Bbm6 Bb Db F G           | F#m7b5 F# A C E          | C#m7b5 C# E G B
G#m7b5 G# B D F#         | Csus4 C F G              | F#sus4 F# B C#
Dbsus2 Db Eb Ab          | Bbsus4 Bb Eb F           | E7sus4 E A B D
Ab7sus4 Ab Db Eb Gb      | F#m F# A C#              | G#m G# B D#
D#m D# F# A#             | A#m A# C# E#             | Ebm Eb Gb Bb
EmMaj7 E G B D#          | Bbmaj7#11* Bb D F A E    | D7#5 D F# A# C
Bb7b5* Bb D Fb Ab        | G7#11* G B D F C#        | CmMaj7 C Eb G B
F#mMaj7 F# A C# E#       | EbmMaj7 Eb Gb Bb D       | B7#9* B D# F# A C##
E7#9* E G# B D F##       | A7b9* A C# E G Bb        | D7b9* D F# A C Eb
G13* G B D F A E (no 11) | Em11 E G B D F# A        | Bm9 B D F# A C#
"""
# Triple flats and the like; music21 10.5.1, ChordSymbol docstring and root= kind=.
FAR = "Fbdim7 Fb Abb Cbb Ebbb | C##dim C## E# G#"
# music21 10.5.1, corpus demos/ComprehensiveChordSymbolsTestFile.
DEMOS = "Gbm11 Gb Bbb Db Fb Ab Cb | C#M13 C# E# G# B# D# F# A# | Do7 D F Ab Cb"


def rows(table: str) -> list[list[str]]:
    cells = table.strip().replace("\n", "|").split("|")
    return [cell.strip().split(maxsplit=1) for cell in cells]


ROWS = rows(SPELLINGS)


def test_the_whole_table_is_here() -> None:
    assert len(ROWS) == 93
    assert len({symbol for symbol, _ in ROWS}) == 93
    # The source book counts 18 starred; 75 agree in all three ways.
    assert sum(symbol.endswith("*") for symbol, _ in ROWS) == 18


@pytest.mark.parametrize(("symbol", "notes"), [*ROWS, *rows(FAR), *rows(DEMOS)])
def test_spelling(symbol: str, notes: str) -> None:
    tones = ChordSymbol.parse(symbol.rstrip("*")).palette.tones
    without_11th = notes.endswith("(no 11)")
    names = [t.name.ascii for t in tones if not (without_11th and t.degree.number == 11)]
    assert names == notes.removesuffix("(no 11)").split()
