"""The traps of print and of habit: refused with the words that help.

German note names and small letters for minor chords: common practice, no source. A text in
brackets is an alternative that is not played: ABC 2.1, section 4.18.
"""

import pytest

from chartwalk.chord import ChordError, ChordSymbol
from chartwalk.pitch import Name

# German names, every letter: sharps with -is, flats with -es, but As and Es.
GERMAN = {
    "Cis": "C#", "Dis": "D#", "Eis": "E#", "Fis": "F#", "Gis": "G#", "Ais": "A#",
    "Ces": "Cb", "Des": "Db", "Es": "Eb", "Fes": "Fb", "Ges": "Gb", "As": "Ab",
}  # fmt: skip
ENDINGS = ["", "7", "m", "m7", "maj7", "dim7", "6/9", "/G"]


def fits(symbol: str) -> str:
    with pytest.raises(ChordError) as caught:
        ChordSymbol.parse(symbol)
    return caught.value.fits


@pytest.mark.parametrize("ending", ENDINGS)
@pytest.mark.parametrize("german", GERMAN)
def test_german_names_are_told_in_english(german: str, ending: str) -> None:
    told = fits(german + ending)
    offered = GERMAN[german] + ending
    assert told.startswith(f"{offered}, ")
    assert f"the German {german} is {GERMAN[german]}" in told
    assert ChordSymbol.parse(offered).root == Name.parse(GERMAN[german])


@pytest.mark.parametrize("german", GERMAN)
def test_german_names_in_the_bass(german: str) -> None:
    for written in (german, german.lower()):
        assert f"the German {german} is {GERMAN[german]}" in fits(f"Am/{written}")


@pytest.mark.parametrize("german", GERMAN)
def test_german_names_in_small_letters(german: str) -> None:
    told = fits(f"{german.lower()}7")
    assert f"{GERMAN[german]}7, " in told
    assert "capitals" in told


@pytest.mark.parametrize("symbol", ["H", "H7", "Hm", "h", "h7", "hm7b5", "C/H", "Em/h"])
def test_german_h(symbol: str) -> None:
    assert "the German H is B, and the German B is Bb" in fits(symbol)


@pytest.mark.parametrize("symbol", ["Asus", "Asus4", "Asus2", "Esus", "Esus4", "A7sus4", "Es us"])
def test_a_suspended_chord_is_not_german(symbol: str) -> None:
    chord = ChordSymbol.parse(symbol)
    assert chord.root in {Name("A"), Name("E")}


@pytest.mark.parametrize("symbol", ["Cisis", "asus4", "esus4", "A/C", "Desk"])
def test_no_german_word_where_it_would_mislead(symbol: str) -> None:
    # An advice that is given can be typed.
    try:
        ChordSymbol.parse(symbol)
    except ChordError as error:
        offered = error.fits.split(",")[0].removeprefix("a root in capitals: ")
        if "German" in error.fits:
            assert symbol == "Desk"
        elif "capitals" in error.fits:
            assert not ChordSymbol.parse(offered).silent


# A small letter: the same in capitals, and minor too where the rest says nothing of the third.
SMALL = [
    ("c", "C", "Cm"),
    ("a7", "A7", "Am7"),
    ("d6", "D6", "Dm6"),
    ("e9", "E9", "Em9"),
    ("g11", "G11", "Gm11"),
    ("bb", "Bb", "Bbm"),
    ("bb7", "Bb7", "Bbm7"),
    ("b7", "B7", "Bm7"),
    ("f#", "F#", "F#m"),
    ("e♭7", "E♭7", "E♭m7"),
    ("c(add9)", "C(add9)", "Cm(add9)"),
    ("d/f#", "D/f#", "Dm/f#"),
    ("am", "Am", ""),
    ("a-7", "A-7", ""),
    ("f#m7b5", "F#m7b5", ""),
    ("bbm7", "Bbm7", ""),
    ("dmaj7", "Dmaj7", ""),
    ("gM7", "GM7", ""),
    ("edim7", "Edim7", ""),
    ("c°", "C°", ""),
    ("cø7", "Cø7", ""),
    ("d+", "D+", ""),
    ("esus4", "Esus4", ""),
    ("g5", "G5", ""),
    ("eb△7", "Eb△7", ""),
]


@pytest.mark.parametrize(("symbol", "capital", "minor"), SMALL)
def test_small_letters(symbol: str, capital: str, minor: str) -> None:
    told = fits(symbol)
    expected = f"a root in capitals: {capital}"
    assert told == (f"{expected}, or where small letters mean minor {minor}" if minor else expected)
    for offered in filter(None, (capital, minor)):
        assert not ChordSymbol.parse(offered).silent
    if minor:
        assert [d.ascii for d in ChordSymbol.parse(minor).degrees][1] == "b3"


@pytest.mark.parametrize("word", ["dim7", "aug", "add9", "alt", "maj7", "m7", "sus4", "no3"])
def test_a_quality_without_a_root(word: str) -> None:
    assert fits(word) == "a root A to G, with # or b, or N.C."


@pytest.mark.parametrize("inside", ["Am7", "C", "C7(b9)", "F#m7b5/E", "Csus4"])
@pytest.mark.parametrize("brackets", ["()", "[]"])
def test_brackets_around_a_whole_chord(inside: str, brackets: str) -> None:
    told = fits(f"{brackets[0]}{inside}{brackets[1]}")
    assert told == f"no brackets around a whole chord: {inside}"


@pytest.mark.parametrize("symbol", ["()", "(", "(Am7", "[C", "(am)", "((C))", "(7)", "(b9)"])
def test_other_brackets_offer_no_chord(symbol: str) -> None:
    assert fits(symbol) == "a root A to G, with # or b, or N.C."


@pytest.mark.parametrize("symbol", ["Am7)", "C7]", "C7(b9))"])
def test_a_bracket_that_nothing_opened(symbol: str) -> None:
    with pytest.raises(ChordError) as caught:
        ChordSymbol.parse(symbol)
    assert caught.value.found == symbol[-1]
