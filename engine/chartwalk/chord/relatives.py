"""Around one symbol: how else it is written, and the chords next to it that the ear should compare.

The other ways to write a piece are those of print (MusicXML 4.0 ``use-symbols``: △ - + ° ø;
Hutchinson, jazz chord symbols; the rest common practice, no source).
"""

from functools import lru_cache
from itertools import islice, product
from typing import Final

from chartwalk.chord.canonical import canonical, degrees_of
from chartwalk.chord.symbol import ChordError, ChordSymbol
from chartwalk.pitch import in_ascii

MOST: Final = 6  # more ways, or more neighbours, are no help
MOST_VARIANTS: Final = 64

WORDS: Final = (
    ("m7b5", ("ø7", "ø", "-7(b5)")),
    ("(maj7)", ("M7", "Δ7", "(M7)")),
    ("(maj9)", ("M9", "Δ9", "(M9)")),
    ("maj", ("Δ", "M", "ma")),
    ("dim", ("°", "o")),
    ("aug", ("+", "(#5)")),
    ("sus4", ("sus",)),
    ("6/9", ("69", "6(9)")),
    ("add2", ("2",)),
    ("add4", ("4",)),
    ("7alt", ("alt", "7(alt)")),
    ("no", ("omit",)),
    ("m", ("-", "min", "mi")),
)
"""Words of the canonical spelling and what other hands write for them, the commonest first."""

AT_ROOT: Final = (("7#5", ("+7", "aug7", "7+")),)
"""The same, right after the root alone: some sheets mean m(maj7) by ``m+7``."""

SIGNED: Final = str.maketrans("b#", "-+")  # C7(-9), C7(+5)
BARE: Final = str.maketrans("", "", "(),")

NEAR: Final = (
    "", "m", "dim", "aug", "sus4", "sus2", "5", "6", "m6", "7", "maj7", "m7", "m(maj7)", "m7b5",
    "dim7", "7sus4", "7b5", "7#5", "7b9", "7#9", "7#11", "maj7#5", "maj7#11", "add9", "m(add9)",
    "6/9", "m6/9", "9", "maj9", "m9", "9sus4", "9#11", "11", "m11", "maj11", "13", "m13", "maj13",
    "13b9", "13#11", "13sus4", "7b13",
)  # fmt: skip
"""The chords a neighbour may be, in the order in which they are offered."""

CHOICES: Final = ("7(b5,b9)", "7(b5,#9)", "7(#5,b9)", "7(#5,#9)")
"""What ``alt`` leaves open: these are its neighbours."""


def other_spellings(symbol: ChordSymbol) -> tuple[str, ...]:
    """Return other ways to write a symbol, as they show on screen; none of them is its own.

    >>> other_spellings(ChordSymbol.parse("Am7"))
    ('A-7', 'Amin7', 'Ami7')
    """
    if symbol.root is None:
        return ()
    root, bass = str(symbol.root), f"/{symbol.bass}" if symbol.bass else ""
    one = ChordSymbol.parse(canonical(symbol).ascii)
    suffix, own = in_ascii(one.suffix), in_ascii(symbol.suffix)
    found: dict[str, None] = {}
    for other in (*_variants(suffix), own.translate(BARE), own.translate(SIGNED)):
        read = _parse_or_none(f"{root}{other}{bass}")
        if read and read.palette == symbol.palette and read.display != symbol.display:
            found[read.display] = None
    return tuple(islice(found, MOST))


def _variants(suffix: str) -> list[str]:
    """Return a suffix with each of its words written otherwise."""
    choices: list[tuple[str, ...]] = [] if suffix else [("", "maj", "M")]
    rest = suffix
    while rest:
        words = AT_ROOT + WORDS if rest == suffix else WORDS
        found = ((word, *others) for word, others in words if rest.startswith(word))
        choice = next(found, (rest[0],))
        choices.append(choice)
        rest = rest[len(choice[0]) :]
    return ["".join(words) for words in islice(product(*choices), MOST_VARIANTS)]


@lru_cache(maxsize=1024)
def neighbours(symbol: ChordSymbol) -> tuple[ChordSymbol, ...]:
    """Return the chords on the same root and bass that sound one note different.

    What counts are the keys that are usually played, the bass among them, so that the ear can tell
    the chords apart: the 13 and the 13sus4 differ in one note. First come those in which one note
    is a semitone away (maj7 and 7, m and dim), then those with one note more or less. Beside
    ``alt`` stand the four chords it leaves open.

    >>> [chord.display for chord in neighbours(ChordSymbol.parse("Cmaj7"))][:3]
    ['C7', 'Cm(maj7)', 'Cmaj7♯5']
    """
    if symbol.root is None:
        return ()
    root, bass = symbol.root.ascii, f"/{symbol.bass.ascii}" if symbol.bass else ""
    if degrees_of("7alt") <= frozenset(symbol.degrees):
        return tuple(ChordSymbol.parse(f"{root}{choice}{bass}") for choice in CHOICES)
    lowest = (symbol.bass or symbol.root).pitch_class - symbol.root.pitch_class
    held = _sounding(symbol, lowest)
    moved: dict[frozenset[int], str] = {}
    counted: dict[frozenset[int], str] = {}
    for suffix in NEAR:
        keys = _sounding(ChordSymbol.parse(f"C{suffix}"), lowest)
        gone, new = held - keys, keys - held
        if len(gone) == len(new) == 1 and (sum(gone) - sum(new)) % 12 in {1, 11}:
            moved.setdefault(keys, suffix)
        elif len(gone) + len(new) == 1:
            counted.setdefault(keys, suffix)
    nearest = (*moved.values(), *counted.values())[:MOST]
    return tuple(ChordSymbol.parse(f"{root}{suffix}{bass}") for suffix in nearest)


def _sounding(chord: ChordSymbol, lowest: int) -> frozenset[int]:
    """Return the keys that sound when a chord is played upon a bass, in semitones above the root.

    ``lowest`` is the bass counted so; all of them are counted within the octave, 0 to 11.
    """
    heard = [tone.degree.interval.semitones for tone in chord.palette.usual]
    return frozenset(semitones % 12 for semitones in (lowest, *heard))


def _parse_or_none(text: str) -> ChordSymbol | None:
    try:
        return ChordSymbol.parse(text)
    except ChordError:
        return None
