"""Keys as the ``K:`` field writes them: tonic, mode, accidentals of their own, octave shift.

Source: ABC 2.1 sections 3.1.14 (keys) and 4.6 (clefs, ``octave=``, ``transpose=``).

A chart's key is major or minor. The modes keep their signature: mixolydian and lydian count as the
major key of that signature, dorian, phrygian and locrian as the minor one.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final

from chartwalk.key import Key
from chartwalk.mending.texts import quoted
from chartwalk.pitch import FIFTHS_ORDER, Name, alteration

_TONIC: Final = re.compile(
    r"([A-G])([#b♯♭]?)\s*"
    r"((?i:(?:maj|ion|lyd|mix|min|aeo|dor|phr|loc|exp)[a-z]*|m(?![a-z=])))?"
)
_MODES: Final = {
    "": (0, "major"), "maj": (0, "major"), "ion": (0, "major"), "lyd": (1, "major"),
    "mix": (-1, "major"), "m": (-3, "minor"), "min": (-3, "minor"), "aeo": (-3, "minor"),
    "dor": (-2, "minor"), "phr": (-4, "minor"), "loc": (-5, "minor"),
}  # fmt: skip
"""How far the signature lies sharpwards of the tonic's major key, and the kind of third."""
_PLAIN: Final = frozenset({"", "maj", "ion", "m", "min", "aeo"})
_PIPES: Final = Key(2)  # G A B c♯ d e f♯ g a
_ACCIDENTAL: Final = re.compile(r"(\^\^?|__?|=)([A-Ga-g])")
SIGNS: Final = {"^": 1, "^^": 2, "_": -1, "__": -2, "=": 0}
_CLEF: Final = re.compile(
    r"(?:clef=)?(?:treble|alto|tenor|bass|perc|none)?\d?(?:[+-]8(?:va|vb)?)?|"
    r"(?:clef|middle|m|stafflines|style|name|nm|subname|snm|stem|staffscale)=.*",
)
_OCTAVE: Final = re.compile(r"octave=([+-]?\d)")
_TRANSPOSE: Final = re.compile(r"(?:transpose|t)=([+-]?\d{1,2})")


@dataclass(frozen=True, slots=True)
class Signature:
    """What a ``K:`` field says.

    ``key`` is None where it only moves the clef or octave; ``alters`` has the semitones of every
    altered letter, ``octave`` how far notes are moved. ``named`` tells whether it says a key at
    all; C major stands in where it does not.
    """

    key: Key | None = Key()
    alters: Mapping[str, int] = field(default_factory=dict)
    octave: int | None = None
    notices: tuple[str, ...] = ()
    named: bool = True


def read_key(text: str) -> Signature:
    """Read a ``K:`` field; what can't be read is told in the notices.

    >>> signature = read_key("D Phr ^f")
    >>> str(signature.key), sorted(signature.alters.items())
    ('G minor', [('B', -1), ('E', -1), ('F', 1)])
    """
    text = text.strip()
    words = text.split()
    if not words or words[0].lower() == "none":
        return _with_words(Signature(named=False), words[1:])
    if words[0] in ("HP", "Hp"):
        notice = "bagpipe scale: read with F sharp and C sharp"
        return _with_words(Signature(_PIPES, _alters(2), None, (notice,)), words[1:])
    match = _TONIC.match(text)
    if match is None:
        signature = _with_words(Signature(None, named=False), words)
        unknown = [notice for notice in signature.notices if "unknown" in notice]
        return Signature(notices=(_no_key(text),), named=False) if unknown else signature
    return _with_words(*_tonic(match, text))


def _no_key(text: str) -> str:
    return f"{quoted(text)} is no key: write K:G, K:Am, K:D mix or K:none; none is assumed"


def _tonic(match: re.Match[str], text: str) -> tuple[Signature, list[str]]:
    """Read tonic and mode; return what they say with the words that follow."""
    tonic = Name(match[1], alteration(match[2]))
    word = match[3] or ""
    mode = "maj" if word == "M" else word.lower()[:3]
    rest = text[match.end() :].split()
    if mode == "exp":
        return Signature(), rest
    shift, third = _MODES[mode]
    fifths = tonic.fifths + shift
    shown = Key(max(-7, min(7, fifths)), third)
    notices: tuple[str, ...] = ()
    if shown.fifths != fifths:
        notices = (f"{tonic} {mode} has more than 7 sharps or flats: shown as {shown}",)
    elif word == "M":
        notices = (f"{tonic}M is read as {shown}",)
    elif mode not in _PLAIN:
        notices = (f"{tonic} {word.lower()} is shown by its signature, as {shown}",)
    return Signature(shown, _alters(fifths), None, notices), rest


def _alters(fifths: int) -> dict[str, int]:
    """Return the alteration of every altered letter, for any place on the line of fifths.

    >>> _alters(-2), _alters(8)["F"]
    ({'B': -1, 'E': -1}, 2)
    """
    sharps = {letter: (fifths + 6 - place) // 7 for place, letter in enumerate(FIFTHS_ORDER)}
    return {letter: alter for letter, alter in sorted(sharps.items()) if alter}


def _with_words(signature: Signature, words: list[str]) -> Signature:
    """Add the words after tonic and mode: accidentals, clef, octave, transposition."""
    alters = dict(signature.alters)
    notices = list(signature.notices)
    octave = None
    for word in words:
        accidentals = _ACCIDENTAL.findall(word)
        if accidentals and "".join(map("".join, accidentals)) == word:
            alters.update((letter.upper(), SIGNS[sign]) for sign, letter in accidentals)
        elif match := _OCTAVE.fullmatch(word):
            octave = int(match[1])
        elif match := _TRANSPOSE.fullmatch(word):
            if int(match[1]) % 12:
                sounds = f"the tune sounds {match[1]} semitones from where it is written"
                notices.append(f"{sounds}: read as written")
        elif not _CLEF.fullmatch(word.lower()) and word.lower() not in ("exp", "none"):
            notices.append(f"unknown word {quoted(word)} in the key: left out")
    alters = {letter: alter for letter, alter in alters.items() if alter}
    key = signature.key
    if key is None and alters:
        notices.append("accidentals without a key to change: left out")
    if key is not None and alters != signature.alters:
        key = next(
            (Key(fifths, key.mode) for fifths in range(-7, 8) if _alters(fifths) == alters), key
        )
        if _alters(key.fifths) != alters:
            notices.append(f"a signature with accidentals of its own: shown as {key}")
    named = signature.named or (key is not None and bool(alters))
    return Signature(key, alters, octave, tuple(notices), named)
