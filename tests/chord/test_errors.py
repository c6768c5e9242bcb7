"""Symbols that can't be read: the place, what stands there and what would fit."""

import string

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chartwalk.chord import ChordError, ChordSymbol
from chartwalk.pitch import Name

# Symbol, column (from 1), a word of what would fit there. Counted by hand.
BAD = [
    ("", 1, "root"),
    ("H7", 1, "H is B"),  # the German B natural: common practice, no source
    ("am", 1, "Am"),
    ("bb", 1, "Bb"),
    ("7", 1, "root"),
    ("/E", 1, "root"),
    ("♯C", 1, "root"),
    ("N.C.7", 1, "N.C."),
    ("Cq", 2, "quality"),
    ("C8", 2, "number"),
    ("CE", 2, "quality"),
    ("D.C.", 2, "quality"),
    ("C🎹", 2, "quality"),
    ("日本", 1, "root"),
    ("\x00", 1, "root"),
    ("Cmm", 3, "number"),
    ("C7zz", 3, "alteration"),
    ("C77", 3, "alteration"),
    ("C7#", 3, "alteration"),
    ("C7)", 3, "alteration"),
    ("C7b9q", 5, "alteration"),
    ("C((b9))", 3, "alteration"),
    ("C7(b9", 6, ")"),
    ("C7(b9)(#11", 11, ")"),
    ("C7(#)", 4, "alteration"),
    ("C/", 3, "bass"),
    ("Cdim/", 6, "bass"),
    ("C/H", 3, "bass"),
    ("C/7", 3, "bass"),
    ("C/E/G", 4, "nothing more"),
    ("C/Eb7", 5, "nothing more"),
    ("C/E)", 4, "nothing more"),
    ("Ebmaj7x", 7, "alteration"),
    ("F♯♯♯♯", 5, "quality"),
]


@pytest.mark.parametrize(("symbol", "column", "fits"), BAD)
def test_unreadable_symbols_say_where_and_what_fits(symbol: str, column: int, fits: str) -> None:
    with pytest.raises(ChordError) as caught:
        ChordSymbol.parse(symbol)
    error = caught.value
    assert error.column == column
    assert error.found == symbol[column - 1 :]
    assert fits in error.fits
    assert error.fits in str(error)
    assert error.found in str(error) or repr(error.found) in str(error)


@pytest.mark.parametrize("advice", ["am", "c7", "ebmaj7", "g"])
def test_small_roots_are_offered_in_capitals(advice: str) -> None:
    with pytest.raises(ChordError) as caught:
        ChordSymbol.parse(advice)
    offered = advice[0].upper() + advice[1:]
    assert offered in caught.value.fits
    assert not ChordSymbol.parse(offered).silent


@pytest.mark.parametrize(
    "symbol",
    [
        # Signs with nothing in them, or that contradict what was said: common practice, no source.
        "C()",
        "C7()",
        "C7(,)",
        "C7,",
        "C7(b9,)",
        "C[b9)",
        "Csus5",
        "Csusm",
    ],
)
def test_symbols_without_sense_are_refused(symbol: str) -> None:
    with pytest.raises(ChordError):
        ChordSymbol.parse(symbol)


def test_chord_error_is_a_value_error() -> None:
    assert issubclass(ChordError, ValueError)


def _refused(text: str) -> ChordError | None:
    try:
        ChordSymbol.parse(text)
    except ChordError as error:
        return error
    return None


def _try(text: str) -> None:
    squeezed = "".join(text.split())
    if error := _refused(text):
        assert 1 <= error.column <= len(squeezed) + 1
        assert error.found == squeezed[error.column - 1 :]
        assert error.fits
    else:
        chord = ChordSymbol.parse(text)
        assert chord.silent or chord.palette.bass is not None
        assert chord.explanation


@given(st.text())
def test_any_text_is_read_or_refused(text: str) -> None:
    _try(text)


PIECES = [
    *"CDEFGABHcdefgabm-+°ø△#b♯♭♮x()[],/ 124567893",
    *["maj", "min", "dim", "aug", "sus", "sus4", "add9", "no3", "no11", "alt", "11", "13", "N.C."],
    *["b5", "#5", "b9", "#9", "#11", "b13", "Maj7", "omit5", "6/9"],
]


@given(st.lists(st.sampled_from(PIECES), max_size=8).map("".join))
def test_any_music_like_text_is_read_or_refused(text: str) -> None:
    _try(text)


@given(st.sampled_from("CDEFGAB"), st.text(string.printable, max_size=6))
def test_any_tail_is_read_or_refused(root: str, tail: str) -> None:
    _try(root + tail)


# Symbols that are right: root x quality and number x alterations x bass.
ROOTS = [letter + sign for letter in "CDEFGAB" for sign in ("", "b", "#", "bb", "##", "♭", "♯")]
HEADS = {
    # Degrees that the head brings, by MusicXML 4.0 kinds.
    "7": "1 3 5 b7",
    "9": "1 3 5 b7 9",
    "11": "1 3 5 b7 9 11",
    "13": "1 3 5 b7 9 11 13",
    "maj7": "1 3 5 7",
    "△9": "1 3 5 7 9",
    "M13": "1 3 5 7 9 11 13",
    "m7": "1 b3 5 b7",
    "-9": "1 b3 5 b7 9",
    "min11": "1 b3 5 b7 9 11",
    "mMaj7": "1 b3 5 7",
    "dim7": "1 b3 b5 bb7",
    "ø7": "1 b3 b5 b7",
    "+7": "1 3 #5 b7",
    "6": "1 3 5 6",
    "m6": "1 b3 5 6",
    "6/9": "1 3 5 6 9",
    "7sus4": "1 4 5 b7",
    "9sus": "1 4 5 b7 9",
}
ALTERATIONS = ["b5", "#5", "b9", "#9", "#11", "b13"]


@st.composite
def symbols(draw: st.DrawFn) -> tuple[str, str, list[str], str]:
    root = draw(st.sampled_from(ROOTS))
    head = draw(st.sampled_from(sorted(HEADS)))
    alterations = draw(st.lists(st.sampled_from(ALTERATIONS), max_size=3, unique=True))
    bass = draw(st.sampled_from(["", *ROOTS]))
    return root, head, alterations, bass


@given(symbols(), st.sampled_from(["()", "[]", ","]))
def test_right_symbols_give_sane_palettes(
    made: tuple[str, str, list[str], str], brackets: str
) -> None:
    root, head, alterations, bass = made
    tail = ",".join(alterations)
    if brackets != "," and tail:
        tail = brackets[0] + tail + brackets[1]
    chord = ChordSymbol.parse(root + head + tail + (f"/{bass}" if bass else ""))
    tones = chord.palette.tones
    degrees = [tone.degree.ascii for tone in tones]
    # Independent account of what is held: an alteration takes the place of the natural degree.
    natural = [a.strip("b#") for a in alterations]
    expected = {d for d in HEADS[head].split() if d not in natural} | set(alterations)
    assert set(degrees) == expected
    assert len(set(degrees)) == len(degrees)
    assert degrees == sorted(
        degrees, key=lambda d: (int(d.strip("b#")), d.count("#") - d.count("b"))
    )
    assert degrees[0] == "1"
    assert tones[0].name == chord.root == Name.parse(root)
    for tone in tones:
        letter = ("CDEFGAB".index(root[0]) + tone.degree.number - 1) % 7
        assert tone.name.letter == "CDEFGAB"[letter]
        above = tone.name.pitch_class - Name.parse(root).pitch_class
        assert above % 12 == tone.degree.interval.semitones % 12
    assert chord.palette.bass == Name.parse(bass or root)
    assert ChordSymbol.parse(chord.display).palette == chord.palette
