"""The grammar of chord symbols after the root: one table, tried from the top at each place.

Each row says where it may stand, what it looks like and what it does. Case counts: M7 is not m7.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum
from typing import Final

from chartwalk.chord.recipe import Recipe
from chartwalk.pitch import alteration


class Spot(Enum):
    """Where the reading stands, and what would fit there."""

    ROOT = "a quality (m, maj, dim, ø, aug, sus), a number (6, 7, 9, 11, 13), (b5) or /bass"
    QUALITY = "a number (6, 7, 9, 11, 13), maj7, an alteration (b5, #5), sus, add9 or /bass"
    TAIL = "an alteration (b5 #5 b9 #9 #11 b13), sus, add9, no3 or /bass"
    BRACKET = "an alteration (b5 #5 b9 #9 #11 b13), maj7, 9, 11, 13, add9 or no3, then )"


@dataclass(frozen=True, slots=True)
class Rule:
    """A row: where it may stand, what it looks like, what it does and where it leads.

    ``then`` None stays at the same spot.
    """

    spots: frozenset[Spot]
    pattern: re.Pattern[str]
    act: Callable[[Recipe, re.Match[str]], str]
    then: Spot | None = None


MAJOR: Final = "major|maj|Maj|MAJ|ma|Ma(?!dd|ug|lt)|MA|M"
TRIANGLE: Final = "Δ|△|∆"
ACCIDENTAL: Final = "[b♭#♯]"
SIGN: Final = r"[b♭#♯♮+\-−–]"
SUSPENDED: Final = "sus(2sus4|4sus2|24|42|2|4)?"
EVERYWHERE: Final = tuple(Spot)
SUSPENSIONS: Final = {
    "": (4,), "4": (4,), "2": (2,), "24": (2, 4), "42": (2, 4), "2sus4": (2, 4), "4sus2": (2, 4),
}  # fmt: skip


def _rule(
    spots: tuple[Spot, ...],
    pattern: str,
    act: Callable[[Recipe, re.Match[str]], str],
    then: Spot | None = None,
) -> Rule:
    return Rule(frozenset(spots), re.compile(pattern), act, then)


def _signed(match: re.Match[str]) -> tuple[int, int]:
    """Return (degree, alteration) of a sign and a number; + and - stand for sharp and flat."""
    sign = {"+": "#", "-": "b", "−": "b", "–": "b"}.get(match[1] or "", match[1] or "")
    return int(match[2]), alteration(sign)


def _major(recipe: Recipe, match: re.Match[str]) -> str:
    number = match[1] or ("7" if re.fullmatch(TRIANGLE, match[0]) else "")
    if not number:
        return recipe.major()
    return recipe.stack(int(number), 0)


def _suspended(recipe: Recipe, match: re.Match[str]) -> str:
    return recipe.suspend(SUSPENSIONS[match[1] or ""])


def _sixth(recipe: Recipe, match: re.Match[str]) -> str:
    return recipe.sixth(ninth="9" in match[0])


def _added(recipe: Recipe, match: re.Match[str]) -> str:
    number, alter = _signed(match)
    if number == 7:  # counted from a dominant chord: MusicXML 4.0, degree-alter
        return recipe.stack(7, 0 if alter > 0 else -1)
    return recipe.add(number, alter)


def _left_out(recipe: Recipe, match: re.Match[str]) -> str:
    return recipe.omit([int(number) for number in f"{match[1]}{match[2]}".split(",")])


RULES: Final = (
    _rule((Spot.ROOT, Spot.QUALITY), r"(-|−|–)(5)(?!\d)",
          lambda r, m: r.alter(*_signed(m)), Spot.TAIL),
    _rule((Spot.ROOT,), r"minor|min|Min|MIN|mi|Mi|MI|m(?!a(?!dd|ug|lt))|-|−|–",
          lambda r, _: r.minor(), Spot.QUALITY),
    _rule((Spot.ROOT, Spot.QUALITY), rf"(?:{MAJOR})(?:6/9|69|6)", _sixth, Spot.TAIL),
    _rule(EVERYWHERE, rf"(?:{MAJOR}|{TRIANGLE})(7|9|11|13)?", _major, Spot.TAIL),
    _rule((Spot.ROOT,), r"j(7|9|11|13)", _major, Spot.TAIL),
    _rule((Spot.QUALITY, Spot.BRACKET), r"[#♯]7", lambda r, _: r.stack(7, 0), Spot.TAIL),
    _rule((Spot.ROOT,), r"(?:ø|Ø|∅|⌀|half-?dim(?:inished)?|hdim)(7|9|11|13)?",
          lambda r, m: r.half_diminish(int(m[1] or 7)), Spot.TAIL),
    _rule((Spot.ROOT,), r"dim(?:inished)?|°|º|˚|o(?!m)", lambda r, _: r.diminish(), Spot.QUALITY),
    _rule((Spot.ROOT, Spot.QUALITY), r"(?:aug(?:mented)?|\+)(?:5(?!\d))?", lambda r, _: r.augment(),
          Spot.QUALITY),
    _rule((Spot.ROOT, Spot.QUALITY), r"6/9|69|6", _sixth, Spot.TAIL),
    _rule((Spot.ROOT, Spot.QUALITY), r"(?:dom)?(7|9|11|13)",
          lambda r, m: r.number(int(m[1])), Spot.TAIL),
    _rule((Spot.ROOT,), r"quartal([34])?", lambda r, m: r.quartal(int(m[1] or 3)), Spot.TAIL),
    _rule((Spot.ROOT,), r"5", lambda r, _: r.power(), Spot.TAIL),
    _rule((Spot.ROOT, Spot.QUALITY), r"(2|4)", lambda r, m: r.add(int(m[1]), 0), Spot.TAIL),
    _rule((Spot.ROOT, Spot.TAIL, Spot.BRACKET), r"alt", lambda r, _: r.altered(), Spot.TAIL),
    _rule((Spot.ROOT, Spot.QUALITY), SUSPENDED, _suspended, Spot.QUALITY),
    _rule((Spot.TAIL, Spot.BRACKET), SUSPENDED, _suspended),
    _rule(EVERYWHERE, rf"[Aa]dd({SIGN})?(2|4|6|7|9|11|13)", _added),
    _rule(EVERYWHERE, rf"add\(({SIGN})?(2|4|6|7|9|11|13)\)", _added),
    _rule(EVERYWHERE, r"(?:[Nn]o|[Oo]mit)(11|3|5|7|9)(?:rd|th)?((?:,[357](?!\d))*)", _left_out),
    _rule((Spot.TAIL, Spot.BRACKET), rf"({SIGN})(4|5|6|9|11|13)",
          lambda r, m: r.alter(*_signed(m))),
    _rule((Spot.ROOT, Spot.QUALITY), rf"({ACCIDENTAL})(4|5|6|9|11|13)",
          lambda r, m: r.alter(*_signed(m)), Spot.TAIL),
    _rule((Spot.TAIL,), r"\+|aug", lambda r, _: r.augment()),
    _rule((Spot.TAIL, Spot.BRACKET), r"([b♭\-−–])(7)", lambda r, m: r.alter(*_signed(m))),
    _rule((Spot.BRACKET,), r"7", lambda r, _: r.number(7)),
    _rule((Spot.BRACKET,), r"()(2|4|6|9|11|13)", lambda r, m: r.add(*_signed(m))),
)  # fmt: skip
"""Every piece that may follow the root, in the order in which they are tried."""
