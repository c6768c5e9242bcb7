"""The triad of one symbol."""

import pytest

from chartwalk.chord import ChordSymbol, Degree
from chartwalk.depth import plainer

# MusicXML 4.0 ``kind``: each kind is described there as a triad and what is added to it.
KINDS = {
    "C": "C", "C7": "C", "Cmaj7": "C", "C6": "C", "C9": "C", "Cmaj9": "C", "C11": "C",
    "Cmaj11": "C", "C13": "C", "Cmaj13": "C", "Cm": "Cm", "Cm7": "Cm", "Cm(maj7)": "Cm",
    "Cm6": "Cm", "Cm9": "Cm", "Cm11": "Cm", "Cm13": "Cm", "C+": "Caug", "C7#5": "Caug",
    "Cdim": "Cdim", "Cdim7": "Cdim", "Cm7b5": "Cdim", "C5": "C5",
}  # fmt: skip

# Common practice, no source: a slash, a figure or an altered fifth that names no triad goes.
OTHERS = {
    "Eb/G": "Eb", "F#m7/E": "F#m", "B♭maj7": "Bb", "F-": "Fm", "Dmi7": "Dm", "G°": "Gdim",
    "Aø": "Adim", "Gaug": "Gaug", "C(add9)": "C", "C2": "C", "E7(b9,#11)": "E", "C7b5": "C",
    "Gm7#5": "Gm", "A7alt": "A", "Cmaj7#5": "Caug", "Cno5": "C", "C7no3": "C5", "C5/G": "C5",
    "Cno3": "C5", "C5(add9)": "C5", "N.C.": "N.C.", "Cx7": "C##",
}  # fmt: skip

SUSPENDED = {
    "Dsus4": "Dsus4", "D7sus4": "Dsus4", "D9sus": "Dsus4", "Dsus2": "Dsus2", "Dsus": "Dsus4",
    "Dsus24": "Dsus4", "D7sus4/A": "Dsus4",
}  # fmt: skip


@pytest.mark.parametrize("text", KINDS | OTHERS)
def test_the_triad_of_a_symbol(text: str) -> None:
    expected = (KINDS | OTHERS)[text]
    assert plainer(ChordSymbol.parse(text)).text == expected
    assert plainer(ChordSymbol.parse(text), suspended=True, third=Degree(3, -1)).text == expected


@pytest.mark.parametrize("text", SUSPENDED)
def test_a_suspension_stays_or_falls_to_a_third(text: str) -> None:
    symbol = ChordSymbol.parse(text)
    assert plainer(symbol, suspended=True).text == SUSPENDED[text]
    assert plainer(symbol).text == "D"
    assert plainer(symbol, third=Degree(3, -1)).text == "Dm"


def test_an_altered_fifth_is_kept_when_a_suspension_falls() -> None:
    assert plainer(ChordSymbol.parse("C7#5sus4")).text == "Caug"
