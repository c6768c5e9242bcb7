"""Other spellings say the same; neighbours sound one note different."""

import re
from collections.abc import Iterable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chartwalk.chord import ChordSymbol
from chartwalk.chord.relatives import NEAR, neighbours, other_spellings

# Print's other ways for one chord: MusicXML 4.0 ``use-symbols``, Hutchinson (MT21C) and common
# practice, no source. Not all of them, but these must be among the offered.
OTHERS = [
    ("Cm", "C-"),
    ("Cm7", "C-7"),
    ("Cmaj7", "CΔ7"),
    ("CΔ7", "Cmaj7"),
    ("Cdim7", "C°7"),
    ("Cm7b5", "Cø7"),
    ("Cø", "Cm7♭5"),
    ("C+", "Caug"),
    ("Caug", "C+"),
    ("Csus4", "Csus"),
    ("Csus", "Csus4"),
    ("C6/9", "C69"),
    ("C7(b9,#11)", "C7♭9♯11"),
    ("C7b9", "C7-9"),
    ("C7#5", "C+7"),
    ("Am7/G", "A-7/G"),
    ("Calt", "C7alt"),
    ("F##m", "F♯♯-"),
    ("C7(no3)", "C7(omit3)"),
]
# Pairs that ear training sets against each other, one note apart (common practice, no source).
PAIRS = [
    ("Cmaj7", "C7"),
    ("C7", "Cm7"),
    ("C", "Cm"),
    ("Cm", "Cdim"),
    ("C", "Caug"),
    ("C", "Csus4"),
    ("Cm7", "Cm7b5"),
    ("Cm7b5", "Cdim7"),
    ("Cm7", "Cm(maj7)"),
    ("C7", "C7sus4"),
    ("C", "C6"),
    ("C9", "C7b9"),
    ("C7b9", "C9"),
    ("C13", "C13sus4"),  # the 13's own 11th is not played
    ("C13", "C9"),
    ("C2", "Csus2"),
]
CLOSE = {1, 11}  # semitones between two keys that are neighbours, up or down


def keys(symbol: ChordSymbol) -> set[int]:
    """The keys within the octave that sound when the chord is played."""
    return {pitch.midi % 12 for pitch in symbol.palette.usual_keys}


def alt(symbol: ChordSymbol) -> bool:
    return {"b5", "#5", "b9", "#9"} <= {degree.ascii for degree in symbol.degrees}


def check_others(symbol: ChordSymbol) -> None:
    found = other_spellings(symbol)
    assert len(found) <= 6
    assert len(set(found)) == len(found)
    assert symbol.display not in found
    for spelling in found:
        other = ChordSymbol.parse(spelling)
        assert other.display == spelling
        assert (other.root, other.palette) == (symbol.root, symbol.palette), spelling


def check_neighbours(symbol: ChordSymbol) -> None:
    found = neighbours(symbol)
    assert len(found) <= 6
    assert len({frozenset(keys(chord)) for chord in found}) == len(found), symbol.text
    for chord in found:
        assert (chord.root, chord.palette.bass) == (symbol.root, symbol.palette.bass)
        if alt(symbol):
            continue
        gone, new = keys(symbol) - keys(chord), keys(chord) - keys(symbol)
        if gone and new:
            (old_key,), (new_key,) = gone, new
            assert (old_key - new_key) % 12 in CLOSE, (symbol.text, chord.text)
        else:
            assert len(gone | new) == 1, (symbol.text, chord.text)


def test_every_symbol_of_the_tables(table_symbols: Iterable[ChordSymbol]) -> None:
    for symbol in table_symbols:
        check_others(symbol)
        check_neighbours(symbol)


@given(st.data())
def test_any_symbol(written: st.SearchStrategy[ChordSymbol], data: st.DataObject) -> None:
    symbol = data.draw(written)
    check_others(symbol)
    check_neighbours(symbol)


@pytest.mark.parametrize(("symbol", "other"), OTHERS)
def test_what_other_hands_write(symbol: str, other: str) -> None:
    assert other in other_spellings(ChordSymbol.parse(symbol))


@pytest.mark.parametrize("symbol", ["Cm7#5", "C-7#5", "Cm7(#5,b9)", "Am9#5"])
def test_m_plus_7_is_not_offered(symbol: str) -> None:
    # Some sheets mean m(maj7) by it: common practice, no source.
    for spelling in other_spellings(ChordSymbol.parse(symbol)):
        assert not re.search(r"(m|min|mi|-)(\+|aug)", spelling)


@pytest.mark.parametrize(("symbol", "neighbour"), PAIRS)
def test_pairs_for_the_ear(symbol: str, neighbour: str) -> None:
    for root in ("C", "F#", "Ebb"):
        first, second = (ChordSymbol.parse(root + text[1:]) for text in (symbol, neighbour))
        assert second.palette in [chord.palette for chord in neighbours(first)]


def test_alt_stands_beside_the_four_chords_it_leaves_open() -> None:
    # MT21C: any altered fifth with any altered ninth.
    found = [chord.display for chord in neighbours(ChordSymbol.parse("C7alt/E"))]
    assert found == ["C7(♭5,♭9)/E", "C7(♭5,♯9)/E", "C7(♯5,♭9)/E", "C7(♯5,♯9)/E"]


def test_a_neighbour_is_heard_upon_the_bass() -> None:
    # With A below, C and C6 sound the same keys: no pair for the ear.
    assert "C6/A" not in [chord.display for chord in neighbours(ChordSymbol.parse("C/A"))]
    assert "C6" in [chord.display for chord in neighbours(ChordSymbol.parse("C"))]


def test_near_in_one_note_first_then_one_more_or_less() -> None:
    sizes = [len(chord.degrees) for chord in neighbours(ChordSymbol.parse("Cmaj7"))]
    moved = [size == 4 for size in sizes]
    assert moved == sorted(moved, reverse=True)
    assert len(set(moved)) == 2


@pytest.mark.parametrize("suffix", NEAR)
def test_every_near_chord_has_a_neighbour(suffix: str) -> None:
    assert neighbours(ChordSymbol.parse(f"C{suffix}"))


def test_silence_has_no_relatives() -> None:
    silence = ChordSymbol.parse("N.C.")
    assert (other_spellings(silence), neighbours(silence)) == ((), ())
