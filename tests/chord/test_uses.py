"""What is usually played of a symbol, what each piece adds, and that the words tell all of it.

References
----------
Hutchinson, *Music Theory for the 21st-Century Classroom* (MT21C): jazz chord symbols (the 11th of a
13 is usually left out; alt leaves fifth and ninth open). Common practice, no source: the 3rd of an
11 is left out.
"""

import re
from collections.abc import Iterable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chartwalk.chord import ChordSymbol, Use
from chartwalk.pitch import Name

# Symbol, the degrees that are usually left out.
LEFT_OUT = [
    ("C", ""),
    ("C9", ""),
    ("C11", "3"),
    ("Cmaj11", "3"),
    ("C13", "11"),
    ("Cmaj13", "11"),
    ("C13b9", "11"),
    ("C9(13)", ""),
    ("C13(no11)", ""),
    ("Cm11", ""),  # a minor third takes the 11th well
    ("Cm13", ""),
    ("Cø11", ""),
    ("C13#11", ""),  # the raised 11th is the colour of the chord
    ("C7(11)", ""),  # added by name: wanted
    ("Cadd11", ""),
    ("Cadd4", ""),
    ("C9sus4", ""),
    ("C13sus4", ""),
    ("C11(no3)", ""),
]
NAME = re.compile(r"(?<![A-Za-z♯♭])[A-G][♯♭]*(?![A-Za-z♯♭])")

ALONE = re.compile(
    r"(?:second|fourth|fifth|sixth|seventh|9th|11th|13th)(?:,| to) ([A-G][♯♭]+)(?=,|;|$)"
)


def labels(symbol: str, use: Use) -> str:
    tones = ChordSymbol.parse(symbol).palette.tones
    return " ".join(tone.degree.ascii for tone in tones if tone.use is use)


@pytest.mark.parametrize(("symbol", "degrees"), LEFT_OUT)
def test_left_out(symbol: str, degrees: str) -> None:
    assert labels(symbol, Use.LEFT_OUT) == degrees
    palette = ChordSymbol.parse(symbol).palette
    usual = {tone.degree.ascii for tone in palette.usual}
    assert usual == {tone.degree.ascii for tone in palette.tones} - set(degrees.split())
    told = [line for line in ChordSymbol.parse(symbol).explanation if "usually left out" in line]
    assert len(told) == len(degrees.split())


@pytest.mark.parametrize("symbol", ["Calt", "C7alt", "C7(alt)", "C7(b5,#5,b9,#9)"])
def test_alt_is_a_choice(symbol: str) -> None:
    assert labels(symbol, Use.CHOICE) == "b5 #5 b9 #9"
    usual = [tone.degree.ascii for tone in ChordSymbol.parse(symbol).palette.usual]
    assert usual == ["1", "3", "#5", "b7", "#9"]  # one fifth, one ninth


@pytest.mark.parametrize("symbol", ["C7(b5,b9)", "C7(b9,#9)", "C7(b5,#5)", "C7#9"])
def test_what_is_written_out_is_no_choice(symbol: str) -> None:
    assert labels(symbol, Use.CHOICE) == ""


@pytest.mark.parametrize(
    ("symbol", "played"),
    [("C13", "C E G B♭ D A"), ("C11", "C G B♭ D F"), ("C11/E", "E G B♭ C D F")],
)
def test_the_usual_keys(symbol: str, played: str) -> None:
    keys = ChordSymbol.parse(symbol).palette.usual_keys
    assert {str(key.name) for key in keys} == set(played.split())
    assert list(keys) == sorted(keys)
    assert str(keys[0].name) == played[0], "the bass is played, even where its tone is left out"


# Each piece, and the notes held when it has been read.
GROWING = [
    ("C", ["1 3 5"]),
    ("Cm7b5", ["1", "1 b3 5", "1 b3 5 b7", "1 b3 b5 b7"]),
    ("C7(b9)", ["1 3 5", "1 3 5 b7", "1 3 5 b7", "1 3 5 b7 b9", "1 3 5 b7 b9"]),
    ("C7sus4", ["1 3 5", "1 3 5 b7", "1 4 5 b7"]),
    ("Csus4", ["1", "1 4 5"]),
    ("C(sus4)", ["1", "1", "1 4 5", "1 4 5"]),
    ("C7no3", ["1 3 5", "1 3 5 b7", "1 5 b7"]),
    ("Cno3", ["1 3 5", "1 5"]),
    ("C5", ["1", "1 5"]),
    ("C+", ["1", "1 3 #5"]),
    ("C7+", ["1 3 5", "1 3 5 b7", "1 3 #5 b7"]),
    ("C/E", ["1 3 5", "1 3 5"]),
]


@pytest.mark.parametrize(("symbol", "held"), GROWING)
def test_each_piece_changes_what_it_says(symbol: str, held: list[str]) -> None:
    pieces = ChordSymbol.parse(symbol).pieces
    found = [[degree.ascii for degree in piece.degrees] for piece in pieces]
    assert found == [degrees.split() for degrees in held]


def plain(names: Iterable[Name]) -> set[str]:
    return {str(name) for name in names}


def check(symbol: ChordSymbol) -> None:
    # The last piece leaves the palette; before it the bass is the root.
    assert symbol.palette_after(symbol.pieces[-1]) == symbol.palette
    for piece in symbol.pieces[:-1]:
        assert symbol.palette_after(piece).bass == symbol.root
    # A line names every note that its piece adds, and brackets, which say nothing, add none.
    before: set[str] = set()
    for piece in symbol.pieces:
        after = plain(symbol.palette_after(piece).names)
        shown = piece.display if piece is symbol.pieces[0] else ""
        assert after - before <= {shown, *NAME.findall(piece.line)}, (symbol.text, piece)
        before = after
    # No word of the lines is lost on the way to the pupil.
    told = NAME.findall("\n".join(symbol.explanation))
    assert plain(symbol.palette.names) <= set(told), symbol.text
    # What is said alone, and not in a row of names, is followed by its plain key.
    keys = {str(name): name.friendly for name in symbol.palette.names}
    for line in symbol.explanation:
        for name in ALONE.findall(line):
            if friendly := keys.get(name):
                assert f"{name}, the key {friendly}" in line, line


def test_every_symbol_of_the_tables(table_symbols: Iterable[ChordSymbol]) -> None:
    for symbol in table_symbols:
        if not symbol.silent:
            check(symbol)


@given(st.data())
def test_any_symbol(written: st.SearchStrategy[ChordSymbol], data: st.DataObject) -> None:
    check(data.draw(written))


@pytest.mark.parametrize(
    ("symbol", "words"),
    [
        ("B-7#5", "F♯♯, the key G"),
        ("Gb7", "F♭, the key E"),
        ("Ebm6/9", "C, and the 9th, F"),
        ("Cb", "the root, the key B"),
        ("G/E#", "E♯, the key F, in the bass"),
        ("Fdim7", "E♭♭, the key D"),
        ("F#maj7", "E♯, the key F"),
        ("A#6/9", "F♯♯, the key G, and the 9th, B♯, the key C"),
        ("Abm7b5", "E♭♭, the key D"),
    ],
)
def test_names_that_make_a_player_stop_have_their_key_beside_them(symbol: str, words: str) -> None:
    assert words in "\n".join(ChordSymbol.parse(symbol).explanation)


def test_silence_asks_for_nothing() -> None:
    silence = ChordSymbol.parse("N.C.")
    assert silence.palette_after(silence.pieces[0]) == silence.palette
    assert (silence.palette.usual, silence.palette.usual_keys) == ((), ())
