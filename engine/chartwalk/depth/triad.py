"""The triad of one chord symbol, written the plain way."""

from typing import Final

from chartwalk.chord import ChordSymbol, Degree

MAJOR: Final = Degree(3)
MINOR: Final = Degree(3, -1)
FIFTH: Final = Degree(5)
DOMINANT_SEVENTH: Final = Degree(7, -1)
SUFFIXES: Final = {
    (MAJOR, FIFTH): "", (MINOR, FIFTH): "m",
    (MINOR, Degree(5, -1)): "dim", (MAJOR, Degree(5, 1)): "aug",
}  # fmt: skip
BY_THIRD: Final = {MAJOR: "", MINOR: "m"}  # where the fifth is altered and names no triad
SUSPENSIONS: Final = {4: "sus4", 2: "sus2"}  # the fourth first, where both are suspended


def same_root(one: ChordSymbol, other: ChordSymbol) -> bool:
    """Whether two roots are one key: spelling, which follows the key, changes nothing."""
    return (one.root and one.root.pitch_class) == (other.root and other.root.pitch_class)


def third_of(symbol: ChordSymbol) -> Degree | None:
    """Return the third of a chord; None without one."""
    return next((degree for degree in symbol.degrees if degree.number == 3), None)


def suspension_of(symbol: ChordSymbol) -> int | None:
    """Return the degree, 4 or 2, that stands in place of the third; None where none does."""
    if third_of(symbol):
        return None
    numbers = {degree.number for degree in symbol.degrees}
    return next((number for number in SUSPENSIONS if number in numbers), None)


def plainer(symbol: ChordSymbol, *, suspended: bool = False, third: Degree = MAJOR) -> ChordSymbol:
    """Return the triad of a symbol: no figures, no slash.

    A suspended chord stays so if ``suspended``; else it falls to the triad with that ``third``.
    The rules stand at the head of the package.

    >>> [plainer(ChordSymbol.parse(text)).text for text in ("Ebmaj9/G", "Bm7b5", "A7#5", "D7sus4")]
    ['Eb', 'Bdim', 'Aaug', 'D']
    >>> plainer(ChordSymbol.parse("D7sus4"), suspended=True).text
    'Dsus4'
    """
    if symbol.root is None:
        return symbol
    own = third_of(symbol)
    suspension = suspension_of(symbol)
    if suspension and suspended:
        suffix = SUSPENSIONS[suspension]
    elif own or suspension:
        suffix = _suffix(symbol, own or third)
    else:
        suffix = "5"
    return ChordSymbol.parse(symbol.root.ascii + suffix)


def _suffix(symbol: ChordSymbol, third: Degree) -> str:
    fifth = next((degree for degree in symbol.degrees if degree.number == 5), FIFTH)
    return SUFFIXES.get((third, fifth), BY_THIRD[third])
