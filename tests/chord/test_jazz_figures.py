"""Chord symbols and their notes as worked in a published textbook.

References
----------
Hutchinson, *Music Theory for the 21st-Century Classroom* (MT21C): Triads (T), Seventh Chords (S),
Introduction to Jazz Theory with its chord-label figures (J), and its exercises with answers (X).
Open Music Theory, triads.
"""

import pytest

from chartwalk.chord import ChordSymbol
from chartwalk.pitch import Name

# Section, symbol, notes. ``Eb*=D#`` is a note that the figure respells: it is compared by its key,
# and the spelling by letter beside it by name. ``(no 5)``: the figure leaves the fifth out.
FIGURES = """
T F            F A C
T Gm           G Bb D
T D°           D F Ab
T C+           C E G#
T G°/Db        Db G Bb
T F/A          A C F
T Dm/A         A D F
T C+/G#        G# C E
T Bm           B D F#
T E+           E G# B#
T Absus2       Ab Bb Eb
T C#           C# E# G#
T Dsus4        D G A
T F°           F Ab Cb
T F#           F# A# C#
T G°           G Bb Db
T Abm          Ab Cb Eb
S Bm7          B D F# A
S Aø7          A C Eb G
S C#ø7         C# E G B
S G7           G B D F
S Emaj7/G#     G# B D# E
J C6           C E G A
J Cm6          C Eb G A
J C(add9)      C D E G
J Cm(add9)     C D Eb G
J C6/9         C E G A D
J Cm6/9        C Eb G A D
J C7           C E G Bb
J C9           C E G Bb D
J C9(#11)      C E G Bb D F#
J C9(13)       C E G Bb D A
J C13          C E G Bb D F A
J C13(#11)     C E G Bb D F# A
J C△7          C E G B
J C△9          C E G B D
J C△9(#11)     C E G B D F#
J C△13(#11)    C E G B D F# A
J C△7(#5)      C E G# B
J C△7(b5)      C E Gb B
J Cm7          C Eb G Bb
J Cm9          C Eb G Bb D
J Cm11         C Eb G Bb D F
J Cm7(11)      C Eb G Bb F
J Cm13         C Eb G Bb D F A
J Cm13(#11)    C Eb G Bb D F# A
J Cm7(b5)      C Eb Gb Bb
J Cm9(b5)      C Eb Gb Bb D
J Cm11(b5)     C Eb Gb Bb D F
J Csus         C F G
J C7sus        C F G Bb
J C9sus        C F G Bb D
J C13sus       C F G Bb D A
J C7susb9      C F G Bb Db
J C13susb9     C F G Bb Db A
J C7(b5)       C E Gb Bb
J C7(#5)       C E Ab*=G# Bb
J C7(b9)       C E G Bb Db
J C7(#9)       C E G Bb Eb*=D#
J C7(11)       C E G Bb F
J Cm△7         C Eb G B
J Cm△9         C Eb G B D
J Cdim         C Eb Gb
J C°7          C Eb F#*=Gb A*=Bbb
J Cdim(△7)     C Eb F#*=Gb B
J C7(#9#11)    C E G Bb Eb*=D# Gb*=F#
J C#m6         C# E G# A#
J C#(addb6)    C# E# G# A
J C+7          C E G# Bb
J Cb9          Cb Eb Gb Bbb Db
J C(b9)        C E G Db
J Fdim7        F Ab Cb Ebb
J Bb7(13,b9)   Bb D F Ab Cb G
J Ab7(#11)     Ab C Eb Gb D
J Ab7(b5)      Ab C D*=Ebb Gb
J Dm△11        D F A C# E G
J D11          D F# A C E G
J D△11         D F# A C# E G
J E7(#5#9#11)  E G# D C*=B# G*=F## A#
J Eb7(#9#11)   Eb G Bb Db Gb*=F# A
J F13sus(b9)   F Bb Eb Gb D (no 5)
X F7(#5#9#11)  F A Db*=C# Eb Ab*=G# B
X G9sus        G C D F A
X B7(#5)       B D# G*=F## A
X Em9(b5)      E G Bb D F#
X C#m11        C# E G# B D# F#
X D7(b9b5)     D F# Ab C Eb
X Gm△9         G Bb D F# A
X Ab△9(#11)    Ab C Eb G Bb D
X Db6/9        Db F Ab Bb Eb
X Eb△9(#5)     Eb G B D F
X F△7(b5)      F A B*=Cb E
X Ebm6/9       Eb Gb Bb C F
X B13sus(b9)   B E F# A C G#
X Gm7(11)      G Bb D F C
X A9(#11)      A C# E G B D#
X F#m9(b5)     F# A C E G#
X Em△9(13)     E G D# F# C# (no 5)
X D7(#9b5)     D F# Ab C F*=E#
X E9sus        E B D F# A
"""
# The progressions worked there and the chords that Open Music Theory, triads, names; the notes
# follow from the rules of the same texts.
PROGRESSIONS = """
J Dm9          D F A C E
J G9(13)       G B D F A E
J Dm7(b5)      D F Ab C
O D#dim/F#     F# D# A
O Cm/Eb        Eb C G
O Gmaj7        G B D F#
O B7           B D# F# A
O F#m7         F# A C# E
O Ddim7        D F Ab Cb
"""
ROWS = [line.split(maxsplit=2) for line in FIGURES.split("\n") if line]
MORE_ROWS = [line.split(maxsplit=2) for line in PROGRESSIONS.split("\n") if line]


def test_the_whole_table_is_here() -> None:
    assert len(ROWS) == 100
    assert len({symbol for _, symbol, _ in ROWS}) == len(ROWS)


@pytest.mark.parametrize(("section", "symbol", "notes"), ROWS + MORE_ROWS)
def test_figure(section: str, symbol: str, notes: str) -> None:
    palette = ChordSymbol.parse(symbol).palette
    no_fifth = notes.endswith("(no 5)")
    printed = notes.removesuffix("(no 5)").split()
    tones = [tone for tone in palette.tones if not (no_fifth and tone.degree.number == 5)]
    # Starred notes: the key that the figure prints is there, and so is the spelling by letter.
    keys = {Name.parse(note.split("*=")[0]).pitch_class for note in printed}
    assert {tone.name.pitch_class for tone in tones} == keys
    assert sorted(tone.name.ascii for tone in tones) == sorted(
        note.split("*=")[-1] for note in printed
    )
    # The lowest note comes first.
    assert palette.bass is not None
    assert palette.bass.ascii == printed[0]
    assert palette.keys[0].name == palette.bass


@pytest.mark.parametrize(
    ("symbol", "lowest_first"),
    [(symbol, notes) for _, symbol, notes in ROWS if "/" in symbol.replace("6/9", "6")],
)
def test_inversions_rise_from_the_bass(symbol: str, lowest_first: str) -> None:
    keys = ChordSymbol.parse(symbol).palette.keys
    assert [key.name.ascii for key in keys] == lowest_first.split()
    assert list(keys) == sorted(keys)


@pytest.mark.parametrize(
    ("symbol", "third", "seventh"), [("Gm7", "Bb", "F"), ("C7", "E", "Bb"), ("F△7", "A", "E")]
)
def test_guide_tones(symbol: str, third: str, seventh: str) -> None:
    # MT21C: the guide tones are the third and the seventh.
    by_degree = {
        tone.degree.number: tone.name.ascii for tone in ChordSymbol.parse(symbol).palette.tones
    }
    assert (by_degree[3], by_degree[7]) == (third, seventh)


@pytest.mark.parametrize(
    ("dominant", "substitute"), [("G7", "Db7"), ("C7", "Gb7"), ("D7", "Ab7"), ("F7", "B7")]
)
def test_a_tritone_substitute_keeps_the_guide_tones(dominant: str, substitute: str) -> None:
    # MT21C: the same pair of keys, third and seventh exchanged.
    def guides(symbol: str) -> dict[int, int]:
        tones = ChordSymbol.parse(symbol).palette.tones
        return {tone.degree.number: tone.name.pitch_class for tone in tones}

    assert guides(dominant)[3] == guides(substitute)[7]
    assert guides(dominant)[7] == guides(substitute)[3]
