"""One spelling a chord: it says the same, it stays, and equal chords have equal spellings."""

from collections.abc import Iterable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chartwalk.chord import ChordSymbol, Degree, Palette
from chartwalk.chord.canonical import QUALITIES, Canonical, canonical, degrees_of, suffix_of
from chartwalk.pitch import Name

# What is written, and its one spelling. The forms: Brandt & Roemer, *Standardized Chord Symbol
# Notation*, 1976, as reported (alterations in brackets), Hutchinson's 9(13) and 7(b9), and common
# practice, no source.
ONE = [
    ("C", "C"),
    ("CM", "C"),
    ("C-", "Cm"),
    ("Co", "Cdim"),
    ("C+", "Caug"),
    ("C(#5)", "Caug"),
    ("C△", "Cmaj7"),
    ("C7M", "Cmaj7"),
    ("C-7", "Cm7"),
    ("C-Δ7", "Cm(maj7)"),
    ("Cø", "Cm7b5"),
    ("C°7", "Cdim7"),
    ("C+7", "C7#5"),
    ("Csus", "Csus4"),
    ("Csus7", "C7sus4"),
    ("C69", "C6/9"),
    ("C2", "C(add2)"),
    ("Cadd9", "C(add9)"),
    ("C-(add9)", "Cm(add9)"),
    ("C7(-9)", "C7b9"),
    ("C7b9#11", "C7(b9,#11)"),
    ("C7#11b9", "C7(b9,#11)"),
    ("C13(#11)", "C13#11"),
    ("C9add13", "C9(13)"),
    ("C7add11", "C7(11)"),
    ("C7sus4b9", "C7sus4(b9)"),
    ("Cb5", "Cb5"),
    ("C-5", "C(b5)"),
    ("Comit3", "C5"),
    ("C7omit3", "C7(no3)"),
    ("Calt", "C7alt"),
    ("Am7/g", "Am7/G"),
    ("C/C", "C"),
    ("F##dim7/Bb", "F##dim7/Bb"),
    ("NC", "N.C."),
    # Rare ones: a note beside its natural, a note in the place of an altered one.
    ("C11add#11", "C11(add#11)"),
    ("C7b9add9", "C9(addb9)"),
    ("Cdim7+", "Cdim7(no5,#5)"),
    ("CaltM7", "C7alt(maj7)"),
]


@pytest.mark.parametrize(("symbol", "spelling"), ONE)
def test_the_one_spelling(symbol: str, spelling: str) -> None:
    assert canonical(ChordSymbol.parse(symbol)).ascii == spelling


def test_signs_on_screen() -> None:
    found = canonical(ChordSymbol.parse("Bb7(-9,+11)/F#"))
    assert found == Canonical("B♭7(♭9,♯11)/F♯", "Bb7(b9,#11)/F#")


def check(symbol: ChordSymbol, known: dict[Palette, Canonical]) -> None:
    one = canonical(symbol)
    assert one.ascii.isascii(), symbol.text
    assert one.ascii == one.display.replace("♭", "b").replace("♯", "#")
    for spelling in (one.ascii, one.display):
        again = ChordSymbol.parse(spelling)
        assert (again.root, again.palette) == (symbol.root, symbol.palette), symbol.text
        assert canonical(again) == one, symbol.text
    assert known.setdefault(symbol.palette, one) == one, symbol.text


def test_every_symbol_of_the_tables(table_symbols: Iterable[ChordSymbol]) -> None:
    known: dict[Palette, Canonical] = {}
    for symbol in table_symbols:
        check(symbol, known)
    assert len(known) > 2000
    assert len(set(known.values())) == len(known), "two chords, one spelling"


@given(st.data())
def test_any_symbol(written: st.SearchStrategy[ChordSymbol], data: st.DataObject) -> None:
    symbol = data.draw(written)
    check(symbol, {})
    # Equal palettes, equal spellings: as shown, and with the root named as the bass.
    shown = ChordSymbol.parse(symbol.display)
    assert shown.palette == symbol.palette
    assert canonical(shown) == canonical(symbol)
    if symbol.root and not symbol.bass:
        assert canonical(ChordSymbol.parse(f"{symbol.text}/{symbol.root}")) == canonical(symbol)


@given(st.data())
def test_every_chord_that_can_be_written_has_a_spelling(
    written: st.SearchStrategy[ChordSymbol], data: st.DataObject
) -> None:
    degrees = frozenset(data.draw(written).degrees)
    suffix = suffix_of(degrees)
    assert suffix is not None
    assert degrees_of(suffix) == degrees


@given(st.data(), st.sampled_from(["C", "F##", "Bbb", "E#"]))
def test_the_ending_is_the_same_on_every_root(
    written: st.SearchStrategy[ChordSymbol], data: st.DataObject, root: str
) -> None:
    symbol = data.draw(written)
    ending = suffix_of(frozenset(symbol.degrees))
    moved = ChordSymbol.parse(f"{root}{ending}")
    if moved.root == Name.parse(root):  # an ending such as b5 would stick to the root
        assert moved.degrees == symbol.degrees


@pytest.mark.parametrize("quality", QUALITIES)
def test_a_named_quality_is_its_own_spelling(quality: str) -> None:
    assert suffix_of(degrees_of(quality)) == quality


def test_degrees_that_no_symbol_asks_for_have_no_spelling() -> None:
    assert suffix_of(frozenset({Degree(1), Degree(3), Degree(8)})) is None
