"""Decorations and quoted texts: which are chords, which are road signs, which are neither.

Sources: ABC 2.1 sections 4.14 (decorations), 4.16 (letters for them), 4.18 (chord symbols; those in
parentheses are alternatives for print) and 4.19 (annotations).

Old tunebooks write D.C., Segno and Fine as quoted text, with or without the sign of an annotation;
they are read as the signs they name.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from chartwalk.abc.text import text_string
from chartwalk.chart import Sign
from chartwalk.chord import ChordError, ChordSymbol
from chartwalk.mending.words import feel_word, road_sign, times_word

LETTERS: Final[Mapping[str, str]] = {"S": "segno", "O": "coda", "H": "fermata"}
"""The letters with a meaning here unless ``U:`` says otherwise; the others are ornaments."""

BARE_CODA: Final = "coda"
FERMATAS: Final = frozenset({"fermata", "invertedfermata"})
_NAMED: Final = {"dacoda": Sign.TO_CODA, "dacapo": Sign.DC, "sign": Sign.SEGNO}
_PLACED: Final = frozenset("^_<>@")
_OFFSET: Final = re.compile(r"@?\s*-?\d+(?:\.\d+)?\s*,\s*-?\d+(?:\.\d+)?\s*")
_ALTERNATIVE: Final = re.compile(r"\(\s*[A-G][^()]*(?:\([^()]*\)[^()]*)?\)")
_USER: Final = re.compile(r"\s*([H-Wh-w~])\s*=\s*(.*\S)")
_NONE: Final = frozenset({"nil", "none"})


@dataclass(frozen=True, slots=True)
class Meaning:
    """What a text or decoration says; ``coda`` is a coda sign without a word.

    ``chord`` is None too where a chord can't be read: ``problem`` tells why. ``ignored`` is a text
    that says nothing to the road or the chords, or an alternative to a chord.
    """

    chord: ChordSymbol | None = None
    sign: Sign | None = None
    coda: bool = False
    fermata: bool = False
    times: int | None = None
    feel: str | None = None
    problem: str = ""
    ignored: str = ""


def decoration(name: str) -> Meaning:
    """Return what a decoration says: ``!D.C.!``, ``!fermata!``; ornaments say nothing.

    >>> decoration("D.S.alcoda").sign, decoration("coda").coda, decoration("trill").sign
    (<Sign.DS_AL_CODA: 'ds al coda'>, True, None)
    """
    lower = name.lower()
    if lower == BARE_CODA:
        return Meaning(coda=True)
    if lower in FERMATAS:
        return Meaning(fermata=True)
    return Meaning(sign=_NAMED.get(lower) or road_sign(name))


def user_symbol(text: str) -> tuple[str, str] | None:
    """Read a ``U:`` field: the letter and the decoration it stands for, empty for none.

    >>> user_symbol("T = !segno!"), user_symbol("S=!nil!")
    (('T', 'segno'), ('S', ''))
    """
    match = _USER.fullmatch(text)
    if match is None:
        return None
    name = match[2].strip("!+")
    return match[1], "" if name in _NONE or name.startswith('"') else name


def text(quoted: str) -> Meaning:
    """Return what a quoted text says, given without its quotation marks.

    >>> text("G(Em)").chord.text, text("^fill").ignored, text("_D.C.").sign
    ('G', '^fill', <Sign.DC: 'dc'>)
    >>> text("C7zz").problem.partition(";")[0]
    "chord 'C7zz': 'zz' can't be read"
    """
    placed = quoted[:1] in _PLACED
    words = text_string(_OFFSET.sub("", quoted[1:]) if placed else quoted).strip()
    if not placed:
        symbol = "".join(_ALTERNATIVE.sub("", words).split())
        alternative = " ".join(_ALTERNATIVE.findall(words))
        if not symbol:
            return Meaning(ignored=alternative)
        try:
            return Meaning(chord=ChordSymbol.parse(symbol), ignored=alternative)
        except ChordError as error:
            problem = str(error) if symbol[0] in "ABCDEFG" else f"{words!r} is no chord"
    said = _said(words)
    if said is not None:
        return said
    return Meaning(ignored=quoted) if placed else Meaning(problem=problem)


def _said(words: str) -> Meaning | None:
    """Return what words say to the road or the feel."""
    if words.lower().strip(".() ") in _NAMED:
        return Meaning(sign=_NAMED[words.lower().strip(".() ")])
    if sign := road_sign(words):
        return Meaning(sign=sign)
    if times := times_word(words):
        return Meaning(times=times)
    if feel := feel_word(words):
        return Meaning(feel=feel)
    return None
