"""One spelling a chord: what to write after the root for a set of degrees.

The spelling is the one with the fewest pieces upon a named quality: 7♭9, 13♯11, m(maj7), 9(13). One
alteration follows a number without brackets; several, and every added or missing note, stand in one
pair of brackets with commas, which no reader can take for something else (brackets around
alterations: Brandt & Roemer 1976, as reported). What is written is read back before it is returned,
so it always asks for the same notes.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from chartwalk.chord.degree import Degree
from chartwalk.chord.symbol import ChordError, ChordSymbol
from chartwalk.pitch import in_ascii

QUALITIES: Final = (
    "", "m", "7", "m7", "maj7", "9", "m9", "maj9", "11", "m11", "maj11", "13", "m13", "maj13",
    "dim", "aug", "dim7", "m(maj7)", "m(maj9)", "m(maj11)", "m(maj13)",
    "6", "m6", "6/9", "m6/9", "5", "sus4", "sus2", "sus2sus4",
    "7sus4", "9sus4", "13sus4", "7sus2", "7sus2sus4", "maj7sus4", "maj9sus4", "maj7sus2",
    "6sus4", "6sus2", "7alt", "quartal", "quartal4",
)  # fmt: skip
"""The qualities that other chords are built upon, in the order in which they are tried."""

_NUMBERED: Final = re.compile(r"(?!5)(?:m|maj|dim)?[\d/]+")
MOST_TRIED: Final = 12  # a file may hold thousands of chords that no symbol can say
ALTERABLE: Final = frozenset({4, 5, 6, 9, 11, 13})


@dataclass(frozen=True, slots=True)
class Canonical:
    """The one spelling of a chord: ``display`` with ♯ and ♭, ``ascii`` with # and b."""

    display: str
    ascii: str


def canonical(symbol: ChordSymbol) -> Canonical:
    """Return the one way to write a symbol; it reads as the same palette.

    >>> canonical(ChordSymbol.parse("B-7(+5)")).display, canonical(ChordSymbol.parse("CΔ")).ascii
    ('Bm7♯5', 'Cmaj7')
    """
    if symbol.root is None:
        return Canonical(symbol.display, symbol.display)
    suffix = suffix_of(frozenset(symbol.degrees))
    ending = symbol.suffix if suffix is None else suffix
    slash = "" if symbol.bass in {None, symbol.root} else f"/{symbol.palette.bass}"
    written = ChordSymbol.parse(f"{symbol.root.ascii}{ending}{slash}")
    return Canonical(written.display, in_ascii(written.display))


@lru_cache(maxsize=4096)
def suffix_of(degrees: frozenset[Degree]) -> str | None:
    """Return what follows the root, in ASCII; None for degrees that no symbol asks for.

    >>> suffix_of(frozenset({Degree(1), Degree(3), Degree(5), Degree(7, -1), Degree(9, -1)}))
    '7b9'
    """
    pieces = {quality: _pieces(degrees_of(quality), degrees) for quality in QUALITIES}
    nearest = sorted(QUALITIES, key=lambda name: len(pieces[name]))
    for quality in nearest[:MOST_TRIED]:
        for suffix in _joined(quality, pieces[quality]):
            if _reads_as(suffix, degrees):
                return suffix
    return None


@lru_cache(maxsize=1024)
def degrees_of(suffix: str) -> frozenset[Degree]:
    """Return the degrees that an ending asks for; raise ChordError where it can't be read.

    >>> [degree.ascii for degree in sorted(degrees_of("m7"))]
    ['1', 'b3', '5', 'b7']
    """
    return frozenset(ChordSymbol.parse(f"C{suffix}").degrees)


def _pieces(held: frozenset[Degree], wanted: frozenset[Degree]) -> tuple[str, ...]:
    """Return what turns one set of degrees into another: b9, maj7, add11, no3."""
    numbers = {degree.number for degree in wanted}
    gone = sorted(held - wanted)
    # An alteration replaces the natural note; others must go before what takes their place comes.
    cleared = {d.number for d in gone if d.number in numbers and not _replaced(d, wanted)}
    added = sorted(d for d in wanted if d not in held or d.number in cleared)
    left_out = dict.fromkeys(d.number for d in gone if d.number not in numbers)
    seventh = any(degree.number == 7 for degree in held)
    return (
        *(f"no{number}" for number in sorted(cleared)),
        *(_piece(degree, wanted, seventh) for degree in added),
        *(f"no{number}" for number in left_out),
    )


def _replaced(degree: Degree, wanted: frozenset[Degree]) -> bool:
    """Whether the new note on a degree's number takes its place by itself."""
    return degree.alter == 0 or (Degree(7) in wanted and degree.number == 7)


def _piece(degree: Degree, wanted: frozenset[Degree], seventh: bool) -> str:
    if degree == Degree(7):
        return "maj7"
    if seventh and not degree.alter and degree.number in {9, 11, 13}:
        return str(degree.number)  # 9(13): no add where there is a seventh
    beside = Degree(degree.number) in wanted  # b9 alone would replace the natural 9th
    if degree.alter and not beside and (degree.number in ALTERABLE or degree == Degree(7, -1)):
        return degree.ascii
    return f"add{degree.ascii}"


def _joined(quality: str, pieces: tuple[str, ...]) -> Iterator[str]:
    """Yield how pieces may stand after a quality, the way a reader likes best first."""
    if not pieces:
        yield quality
        return
    if len(pieces) == 1 and pieces[0][0] in "b#" and _NUMBERED.fullmatch(quality):
        yield f"{quality}{pieces[0]}"
    yield f"{quality}({','.join(pieces)})"


def _reads_as(suffix: str, degrees: frozenset[Degree]) -> bool:
    try:
        return degrees_of(suffix) == degrees
    except ChordError:
        return False
