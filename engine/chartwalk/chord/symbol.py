"""Chord symbols: the letters as written, taken apart from left to right."""

import re
from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import Final

from chartwalk.chord.advice import bass_advice, german_advice, root_advice
from chartwalk.chord.degree import Degree, spelled
from chartwalk.chord.grammar import RULES, Spot
from chartwalk.chord.palette import Palette, Tone, Use, uses_of
from chartwalk.chord.recipe import Recipe, spoken
from chartwalk.pitch import ACCIDENTAL_PATTERN, Name, in_signs

_ROOT: Final = re.compile(rf"[A-G]{ACCIDENTAL_PATTERN}")
_BASS: Final = re.compile(rf"/([A-Ga-g])({ACCIDENTAL_PATTERN})")
_NO_CHORD: Final = re.compile(r"N\.?C\.?|NOCHORD|nochord|n\.?c\.?")
_MORE: Final = re.compile(r"/(?=[b#♭♯+\-−–](?:5|9|11|13)|9|11|13|ma|Ma|M|Δ|△|∆|sus|add|no|omit)")
BRACKETS: Final = {"(": ")", "[": "]"}


class ChordError(ValueError):
    """A chord symbol that can't be read.

    ``column`` counts from 1 within the symbol; ``found`` is what stands there, ``fits`` what would.
    """

    def __init__(self, symbol: str, column: int, fits: str) -> None:
        self.symbol, self.column, self.fits = symbol, column, fits
        self.found = symbol[column - 1 :]
        found = f"{self.found!r} can't be read" if self.found else "it ends too soon"
        super().__init__(f"chord {symbol!r}: {found}; what fits: {fits}")


@dataclass(frozen=True, slots=True)
class Piece:
    """One piece of a symbol as it shows on screen, the line that explains it, the notes so far."""

    display: str
    line: str
    degrees: tuple[Degree, ...] = ()


@dataclass(frozen=True, slots=True)
class ChordSymbol:
    """A chord symbol, made by `parse`; everything follows from its text.

    ``root`` is None and ``degrees`` are empty in N.C.; ``bass`` is the note after the slash;
    ``palette`` holds the notes the symbol asks for, each spelled by its degree.

    >>> chord = ChordSymbol.parse("B-7#5")
    >>> chord.display, [str(name) for name in chord.palette.names]
    ('B-7♯5', ['B', 'D', 'F♯♯', 'A'])
    >>> for line in chord.explanation: print(line)
    B: the root
    -: minor, so B D F♯
    7: add a minor seventh, A
    ♯5: raise the fifth to F♯♯, the key G
    """

    text: str
    root: Name | None = field(compare=False)
    degrees: tuple[Degree, ...] = field(compare=False)
    bass: Name | None = field(compare=False)
    palette: Palette = field(compare=False, repr=False)

    @classmethod
    def parse(cls, text: str) -> "ChordSymbol":
        """Read a symbol, spaces left out; raise ChordError with the place and what would fit."""
        return _parse("".join(text.split()))

    @property
    def pieces(self) -> tuple[Piece, ...]:
        """The symbol taken apart from left to right."""
        return _taken_apart(self.text)

    @property
    def silent(self) -> bool:
        """Whether this is N.C., no chord."""
        return self.root is None

    @property
    def display(self) -> str:
        """The symbol as it shows on screen, with ♯ and ♭."""
        return "".join(piece.display for piece in self.pieces)

    @property
    def suffix(self) -> str:
        """What stands between the root and the slash, as it shows on screen."""
        return "".join(piece.display for piece in self.pieces[1 : -1 if self.bass else None])

    @property
    def explanation(self) -> tuple[str, ...]:
        """The symbol taken apart, a line a piece; at the end what players usually leave out."""
        lines = [f"{piece.display}: {piece.line}" for piece in self.pieces if piece.line]
        spare = [tone for tone in self.palette.tones if tone.use is Use.LEFT_OUT]
        told = [f"usually left out: {tone.name}, the {tone.degree.label}" for tone in spare]
        return (*lines, *told)

    def palette_after(self, piece: Piece) -> Palette:
        """Return the notes asked for when this piece has been read, from the left."""
        last = piece is self.pieces[-1]
        return _palette(self.root, piece.degrees, self.bass if last else None)

    def __str__(self) -> str:
        return self.display


@lru_cache(maxsize=4096)
def _parse(text: str) -> ChordSymbol:
    return read_symbol(text)


def read_symbol(text: str) -> ChordSymbol:
    """Read a symbol without spaces; `ChordSymbol.parse` remembers it, this only its ending."""
    if _NO_CHORD.fullmatch(text):
        return ChordSymbol(text, None, (), None, Palette())
    match = _ROOT.match(text)
    if not match:
        raise ChordError(text, 1, root_advice(text))
    root = Name.parse(match[0])
    try:
        degrees, length = _degrees(text[match.end() :])
    except ChordError:
        _taken_apart(text)  # raises the error of the whole symbol
        raise
    slash = match.end() + length
    bass = _read_bass(text, slash) if slash < len(text) else None
    return ChordSymbol(text, root, degrees, bass, _palette(root, degrees, bass))


@lru_cache(maxsize=1024)
def _degrees(tail: str) -> tuple[tuple[Degree, ...], int]:
    """Return what a tail asks for on any root, and its length up to a slash and its bass."""
    recipe = Recipe(Name("C"))
    place = _read_tail(f"C{tail}", 1, recipe, [Piece("C", "")])
    return tuple(sorted(recipe.degrees)), place - 1


@lru_cache(maxsize=1024)
def _taken_apart(text: str) -> tuple[Piece, ...]:
    """Read a symbol piece by piece; raise ChordError as `read_symbol` does."""
    match = _ROOT.match(text)
    if not match:
        return (Piece("N.C.", "no chord here; the tune goes on alone"),)
    root = Name.parse(match[0])
    recipe = Recipe(root)
    pieces = [Piece(str(root), "", tuple(recipe.degrees))]
    place = _read_tail(text, match.end(), recipe, pieces)
    degrees = tuple(sorted(recipe.degrees))
    if place < len(text):
        bass = _read_bass(text, place)
        pieces.append(Piece(f"/{bass}", _bass_line(recipe, bass), degrees))
    begun = pieces[0].degrees[: 1 if recipe.triad_told else None]
    untold = next((n for n, piece in enumerate(pieces) if piece.line), 1)  # the root, brackets
    pieces[:untold] = [replace(piece, degrees=begun) for piece in pieces[:untold]]
    pieces[0] = replace(pieces[0], line=recipe.begin())
    return tuple(pieces)


def _palette(root: Name | None, degrees: tuple[Degree, ...], bass: Name | None) -> Palette:
    if root is None:
        return Palette()
    tones = (
        Tone(degree, spelled(root, degree), use)
        for degree, use in zip(degrees, uses_of(degrees), strict=True)
    )
    if bass:  # what the symbol puts in the bass is played
        key = bass.pitch_class
        tones = (
            replace(tone, use=Use.PLAYED) if tone.name.pitch_class == key else tone
            for tone in tones
        )
    return Palette(tuple(tones), bass or root)


def _read_tail(text: str, place: int, recipe: Recipe, pieces: list[Piece]) -> int:
    """Read the pieces after the root; return the place of the slash or the end."""
    spot = Spot.ROOT
    closing = ""  # the bracket that must follow, inside a pair
    awaited = False  # whether a bracket or a comma has just opened room for a piece
    while place < len(text):
        sign = text[place]
        if sign in BRACKETS and not closing:
            spot, closing, awaited = Spot.BRACKET, BRACKETS[sign], True
        elif sign == closing and not awaited:
            spot, closing = Spot.TAIL, ""
        elif not awaited and _separates(text, place, spot):
            spot, awaited = Spot.BRACKET, True
        elif sign == "/" and not closing and not awaited:
            return place
        else:
            place, spot = _read_piece(text, place, spot, recipe, pieces)
            if spot is Spot.BRACKET and not closing:
                spot = Spot.TAIL  # after a comma or a slash without brackets
            awaited = False
            continue
        pieces.append(Piece(sign, "", tuple(sorted(recipe.degrees))))
        place += 1
    if closing or awaited:
        fits = spot.value if awaited else f"the closing bracket {closing}"
        raise ChordError(text, place + 1, fits)
    return place


def _separates(text: str, place: int, spot: Spot) -> bool:
    """Whether a comma, or a slash that no bass follows, parts two pieces: 7(b9/#11), C7/13."""
    if text[place] == ",":
        return spot in {Spot.TAIL, Spot.BRACKET}
    return text[place] == "/" and _MORE.match(text, place) is not None


def _read_piece(
    text: str, place: int, spot: Spot, recipe: Recipe, pieces: list[Piece]
) -> tuple[int, Spot]:
    for rule in RULES:
        if spot in rule.spots and (match := rule.pattern.match(text, place)):
            line = rule.act(recipe, match)
            display = _pretty(match[0])
            if len(pieces) == 1 and display[0] in "♯♭":  # it would stick to the root
                display = f"({display})"
            pieces.append(Piece(display, line, tuple(sorted(recipe.degrees))))
            after = spot if spot is Spot.BRACKET or rule.then is None else rule.then
            return match.end(), after
    german = german_advice(text) if place == 1 else ""
    raise ChordError(text, place + 1, german or spot.value)


def _read_bass(text: str, place: int) -> Name:
    match = _BASS.match(text, place)
    if not match:
        raise ChordError(text, place + 2, bass_advice(text[place + 1 :]))
    if match.end() < len(text):
        more = german_advice(match[0][1:].upper() + text[match.end() :])
        fits = more or "nothing more: the bass note ends the symbol"
        raise ChordError(text, match.end() + 1, fits)
    return Name.parse(match[1].upper() + match[2])


def _bass_line(recipe: Recipe, bass: Name) -> str:
    key = bass.pitch_class
    same = [degree for degree in sorted(recipe.degrees) if recipe.name(degree).pitch_class == key]
    place = f"the {same[0].label} of the chord" if same else "a note outside the chord"
    written = recipe.name(same[0]) if same else bass
    otherwise = "" if written == bass else f"the same key as {written}, "
    comma = "," if bass.friendly else ""
    return f"{spoken(bass)}{comma} in the bass, {otherwise}{place}"


def _pretty(piece: str) -> str:
    """Show accidentals as signs; no other piece of a symbol has a b before a digit or a #."""
    return re.sub(r"[#b](?=\d)", lambda match: in_signs(match[0]), piece)
