"""Chord symbols for the properties: at random, and all those of the tables beside this file."""

import runpy
from pathlib import Path

import pytest
from hypothesis import strategies as st

from chartwalk.chord import ChordError, ChordSymbol

HERE = Path(__file__).parent
ROOTS = [letter + sign for letter in "CDEFGAB" for sign in ("bb", "b", "", "#", "##")]
HEADS = [
    *["", "m", "-", "min", "maj", "M", "Δ", "dim", "°", "o", "aug", "+", "ø", "ø7", "half-dim"],
    *["sus", "sus2", "sus4", "sus2sus4", "5", "2", "4", "quartal", "quartal4", "alt"],
]
NUMBERS = ["", "7", "9", "11", "13", "6", "6/9", "maj7", "M9", "(maj7)", "#7", "dom7"]
TAILS = [
    *["b5", "#5", "b6", "b7", "b9", "#9", "#11", "b13", "-5", "+5", "-9", "+9", "+", "aug", "alt"],
    *["(b9)", "(#11,b13)", "(b9/#11)", "(7)", "(9,13)", "(6)", "/9", "/13", "maj7", "sus4", "sus2"],
    *["add2", "add4", "add6", "add7", "add9", "add11", "add13", "addb6", "add#11", "add(b9)"],
    *["no3", "no5", "no7", "no9", "no11", "omit3,5"],
]
BASSES = ["", "", "/E", "/Bb", "/F##", "/c#"]


def read(text: str) -> ChordSymbol | None:
    try:
        return ChordSymbol.parse(text)
    except ChordError:
        return None


WRITTEN: st.SearchStrategy[ChordSymbol] = (
    st.tuples(
        st.sampled_from(ROOTS),
        st.sampled_from(HEADS),
        st.sampled_from(NUMBERS),
        st.lists(st.sampled_from(TAILS), max_size=4).map("".join),
        st.sampled_from(BASSES),
    )
    .map("".join)
    .map(read)
    .flatmap(lambda chord: st.just(chord) if chord else st.nothing())
)


@pytest.fixture(scope="session")
def written() -> st.SearchStrategy[ChordSymbol]:
    """Symbols composed at random of pieces, those that can be read."""
    return WRITTEN


@pytest.fixture(scope="session")
def table_symbols() -> tuple[ChordSymbol, ...]:
    """Every symbol of the tables of published pairs, and every quality on each of 35 roots."""
    jazz, hard, kinds, rules, roots, classes = (
        runpy.run_path(str(HERE / f"test_{name}.py"))
        for name in (
            *("jazz_figures", "hard_spellings", "kinds", "rules", "every_root"),
            "pitch_classes",
        )
    )
    texts = [symbol for _, symbol, _ in jazz["ROWS"] + jazz["MORE_ROWS"]]
    texts += [symbol.rstrip("*") for symbol, _ in hard["ROWS"]]
    texts += [symbol for _, symbol, *_ in kinds["SYMBOLS"] + kinds["WORKED"]]
    texts += [row[1] for row in rules["RULES"] + rules["FORMS"] + rules["DOUBTFUL"]]
    texts += [symbol for row in rules["SAME"] for symbol in row.split()]
    texts += [row[1] for row in classes["QUALITIES"] + classes["EXTENDED"] + classes["LABELS"]]
    texts += [root + row[0] for row in roots["QUALITIES"] for root in roots["ROOTS"]]
    return tuple(ChordSymbol.parse(text) for text in dict.fromkeys(texts))
