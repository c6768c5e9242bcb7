"""A hundred thousand strings at random: each is read or refused with its place, in linear work."""

import re
import sys
from collections.abc import Callable
from random import Random
from types import FrameType

import pytest

from chartwalk.chord import ChordError, ChordSymbol
from chartwalk.chord.grammar import RULES, Rule
from chartwalk.chord.symbol import read_symbol
from chartwalk.pitch import Pitch

STRINGS = 25_000  # of each of the four kinds
SIGNS = "ABCDEFGHNabcdefgmMsujlot#b♯♭♮𝄪𝄫x0123456789-−–+°ºoøØ△Δ/()[],. %\t"
PIECES = [
    *["C", "D", "Eb", "F#", "G", "A", "Bb", "B♭", "m", "M", "-", "°", "ø", "+", "△", "maj", "min"],
    *["dim", "aug", "sus", "sus4", "sus2", "alt", "add", "no", "omit", "5", "6", "7", "9", "11"],
    *[
        "13",
        "69",
        "6/9",
        "b5",
        "#5",
        "b9",
        "#9",
        "#11",
        "b13",
        "(",
        ")",
        "[",
        "]",
        ",",
        "/",
        "N.C.",
    ],
]
VALID = [
    *["C", "F#m", "Bb7", "E♭maj7", "Am7b5", "G7sus4", "D6/9", "Cdim7", "Aø7", "C+", "B-7#5", "F△9"],
    *["G7(b9,#11)", "C7[b9](#11)", "Dm(maj7)", "Ebadd9", "C7alt", "A7no3", "Gm7/F", "C/Bb", "N.C."],
    *["F13(#11)/A", "Csus2sus4", "DbM7#5", "E7♯9", "Abm6", "C5", "B♭♭m11", "Fmaj13", "Ddim/Ab"],
]


def from_signs(random: Random) -> str:
    return "".join(random.choices(SIGNS, k=random.randrange(12)))


def from_pieces(random: Random) -> str:
    return "".join(random.choices(PIECES, k=random.randrange(1, 8)))


def from_unicode(random: Random) -> str:
    """Any characters there are, behind a root or not."""
    start = random.choice(["", "", "C", "Bb7", "Am(", "G/"])
    return start + "".join(
        chr(random.randrange(sys.maxunicode + 1)) for _ in range(random.randrange(7))
    )


def mutated(random: Random) -> str:
    """A right symbol with one to three stretches left out, doubled, exchanged or typed wrong."""
    text = random.choice(VALID)
    for _ in range(random.randrange(1, 4)):
        start, end = sorted(random.choices(range(len(text) + 1), k=2))
        inside = random.choice(
            ["", text[start:end] * 2, random.choice(VALID), random.choice(SIGNS)]
        )
        text = text[:start] + inside + text[end:]
    return text


def fault(text: str, read: Callable[[str], object]) -> str:
    """What is wrong about the way a text is read or refused; empty where nothing is."""
    try:
        chord = read(text)
    except ChordError as error:
        return fault_of_error("".join(text.split()) if read == ChordSymbol.parse else text, error)
    except Exception as error:
        return f"raises {error!r}"
    if not isinstance(chord, ChordSymbol):
        return f"gives {chord!r}"
    palette = chord.palette
    if chord.silent:
        return "" if palette.keys == () else "keys without a chord"
    if not palette.tones or palette.bass is None or not chord.explanation:
        return "a palette without notes, bass or explanation"
    playable = all(isinstance(key, Pitch) and 0 <= key.midi <= 127 for key in palette.keys)
    return "" if palette.keys and playable else f"no keys to play: {palette.keys}"


def fault_of_error(symbol: str, error: ChordError) -> str:
    """What an error lacks: a place within the symbol, and what stands there, named."""
    if not 1 <= error.column <= len(symbol) + 1:
        return f"column {error.column} of {len(symbol)}"
    rest = symbol[error.column - 1 :]
    if not (rest.startswith(error.found) and bool(error.found) == bool(rest)):
        return f"{error.found!r} does not stand at column {error.column}"
    named = str(error).replace(repr(symbol), "", 1)  # the whole symbol names every character
    if (repr(error.found) if rest else "ends") not in named:
        return f"the message does not name what was found: {error}"
    return "" if error.fits else "nothing would fit"


@pytest.mark.parametrize("make", [from_signs, from_pieces, from_unicode, mutated])
def test_every_string_is_read_or_refused_with_its_place(make: Callable[[Random], str]) -> None:
    random = Random(make.__name__)
    texts = [make(random) for _ in range(STRINGS)]
    readers = (ChordSymbol.parse, read_symbol) * (STRINGS // 2)
    found = [(text, fault(text, read)) for text, read in zip(texts, readers, strict=True)]
    assert [it for it in found if it[1]][:10] == []


def is_read(text: str) -> bool:
    try:
        read_symbol(text)
    except ChordError:
        return False
    return True


@pytest.mark.parametrize(("make", "least"), [(from_pieces, 0.02), (mutated, 0.1)])
def test_strings_of_both_sorts_come_up(make: Callable[[Random], str], least: float) -> None:
    random = Random(make.__name__)
    share = sum(is_read(make(random)) for _ in range(1000)) / 1000
    assert least < share < 1 - least


# Linear work, by counting: trials of rules and all other calls, on a tail of n units and of 2 n.
# What one trial reads is bounded, so that the calls account for the time.


def calls(text: str) -> int:
    """The calls, in Python and in C, that reading a text anew takes."""
    count = 0

    def note(_: FrameType, event: str, __: object) -> None:
        nonlocal count
        count += event in {"call", "c_call"}

    before = sys.getprofile()
    sys.setprofile(note)
    try:
        is_read(text)
    finally:
        sys.setprofile(before)
    return count


UNITS = [
    *["add9", "b9", "#11", "(b9)", "[#5]", ",b5", "sus4", "no3", "no3,5", ",5", "maj7", "+", "alt"],
    *["m", "7", "6/9", "(", ")", ",", "/", "/E", "#", "b", "x", "N.C.", "q", "日", "addb13", "-5"],
]


@pytest.mark.parametrize("start", ["", "C", "C7", "C7("])
@pytest.mark.parametrize("unit", UNITS)
def test_twice_the_text_takes_twice_the_calls(start: str, unit: str) -> None:
    for end in ("", "/q"):
        calls(start + unit + end)  # patterns are compiled once
        short, long = (calls(start + unit * times + end) for times in (50, 100))
        assert long <= 2.1 * short


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.pattern.pattern)
def test_what_a_trial_reads_is_bounded_or_kept(rule: Rule) -> None:
    """A repeat without an end may only end a pattern: nothing after it can fail."""
    outside = re.sub(r"\\.|\[[^]]*\]", "", rule.pattern.pattern)  # escapes and sets of characters
    but_the_end = re.sub(r"[*+]\)*$", "", outside)
    assert not re.search(r"[*+]|\{\d*,\}", but_the_end)


@pytest.mark.parametrize("unit", ["add9", "(b9)", ",b5", "no3,5", "m", "/E", "#", "q", "N.C."])
def test_very_long_strings_are_read_or_refused(unit: str) -> None:
    for start in ("", "C", "C7"):
        text = start + unit * (20_000 // len(unit))
        assert fault(text, ChordSymbol.parse) == ""
