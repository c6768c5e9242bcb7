"""The words rows: a syllable a note, hyphens, holds and verses."""

from collections.abc import Callable

import pytest

from chartwalk.chart import Bar, Syllable

Bars = Callable[..., tuple[Bar, ...]]
Words = Callable[[Bar], list[str]]

# Tune, words, syllables.
CELLS = [
    ("B4:2 B4:2", "la la", "la la"),
    ("B4:2 B4:2", "la- la", "la- la"),
    ("B4:2 B4:2", "la la-", "la la-"),
    ("B4:2 B4:2", "la _", "la ( )"),
    ("B4:1 B4:1 B4:1 B4:1", "la _ _ now", "la ( ) ( ) now"),
    ("B4:2 B4:2", "_ la", "( ) la"),
    ("B4:2 B4:2", "la", "la"),
    ("B4:2 r:1 B4:1", "la lo", "la lo"),
    ("B4:2 B4:2", "o'er; (the) ", "o'er; (the)"),
    ("B4:2 B4:2", "süß- été!", "süß- été!"),
    ("B4:2 B4:2", "self-made up-to-", "self-made up-to-"),
    ("B4:2 B4:2", "lan - terns", "lan- terns"),
    ("B4:2 B4:2", "a_b _c", "a_b _c"),
    # Notes that a tie leads into take no syllable.
    ("B4:2~ B4:1 A4:1", "la lo", "la lo"),
    ("B4:2~ C5:2", "la lo", "la lo"),
]


@pytest.mark.parametrize(("tune", "row", "syllables"), CELLS)
def test_cells(bars: Bars, words: Words, tune: str, row: str, syllables: str) -> None:
    assert words(bars(f"tune | {tune} |\nwords | {row} |")[0]) == [syllables]


def test_a_hold_is_an_empty_syllable(bars: Bars) -> None:
    (bar,) = bars("tune | B4:2 C5:2 |\nwords | a- _ |")
    assert bar.words == ((Syllable("a", joined=True), Syllable("")),)


def test_a_hold_can_not_be_joined(problems_in_rows: Callable[..., list[str]]) -> None:
    (problem,) = problems_in_rows("tune  | B4:2 B4:2 |\nwords | la _- |")
    assert problem.startswith("x.lead:5:12 ")
    assert "_-" in problem


def test_a_note_tied_over_the_bar_line_takes_no_syllable(bars: Bars, words: Words) -> None:
    _, second = bars("tune | B4:4~ | B4:2 A4:2 |\nwords | la | lo |")
    assert words(second) == ["lo"]


def test_three_verses(bars: Bars, words: Words) -> None:
    rows = "tune | B4:4 | A4:4 |\nwords | one | two |\nwords 2 | three | |\nwords 3 | | four |"
    first, second = bars(rows)
    assert words(first) == ["one", "three"]
    assert words(second) == ["two", "", "four"]


@pytest.mark.parametrize("row", ["words 1", "words", "words  1"])
def test_the_first_verse_needs_no_number(bars: Bars, words: Words, row: str) -> None:
    assert words(bars(f"tune | B4:4 |\n{row} | la |")[0]) == ["la"]


def test_a_second_verse_alone(bars: Bars, words: Words) -> None:
    assert words(bars("tune | B4:4 |\nwords 2 | la |")[0]) == ["", "la"]


def test_words_without_a_tune(bars: Bars, words: Words) -> None:
    assert words(bars("chords | C |\nwords | any num- ber fits |")[0]) == ["any num- ber fits"]


def test_verses_are_counted_from_one(problems_in_rows: Callable[..., list[str]]) -> None:
    (problem,) = problems_in_rows("tune | B4:4 |\nwords 0 | la |")
    assert problem.startswith("x.lead:5:")


@pytest.mark.parametrize("number", ["100000", "9" * 30, "9" * 5000], ids=len)
def test_a_verse_nobody_sings_is_refused(
    problems_in_rows: Callable[..., list[str]], number: str
) -> None:
    (problem,) = problems_in_rows(f"tune | B4:4 |\nwords {number} | |")
    assert problem.startswith("x.lead:5:")
