"""What to say to a symbol whose root or bass can't be read: the traps of print and of habit.

Some sheets write a minor chord as a small letter, some put the whole chord in brackets as a choice
(ABC 2.1, section 4.18: not played), and German sheets call B natural H, B flat B, F sharp Fis and
E flat Es (common practice, no source).
"""

import re
from typing import Final

_GERMAN: Final = re.compile(r"(?:([CDFG])(is|es)|([AE])(is|s))(?!us|is|es)(.*)", re.DOTALL)
_SIGNS: Final = {"is": "#", "es": "b", "s": "b"}
_IN_BRACKETS: Final = re.compile(r"\(([A-G].*)\)|\[([A-G].*)\]", re.DOTALL)
_SMALL: Final = re.compile(r"(?!dim|aug|add|alt)([a-g][#b♯♭]*)(.*)", re.DOTALL)
_PERHAPS_MINOR: Final = re.compile(r"[24679/(\[]|1[13]|$")  # a small letter may mean minor here


def root_advice(text: str) -> str:
    """Say what would fit where a symbol should begin with its root.

    >>> root_advice("am7")
    'a root in capitals: Am7'
    >>> root_advice("bb7")
    'a root in capitals: Bb7, or where small letters mean minor Bbm7'
    """
    if bracketed := _IN_BRACKETS.fullmatch(text):
        return f"no brackets around a whole chord: {bracketed[1] or bracketed[2]}"
    if text[:1] in {"H", "h"}:
        return "a root A to G; the German H is B, and the German B is Bb"
    if small := _SMALL.fullmatch(text):
        capital = text[0].upper() + text[1:]
        if german := german_advice(capital):
            return f"a root in capitals: {german}"
        root, rest = small[1].capitalize(), small[2]
        minor = f", or where small letters mean minor {root}m{rest}"
        return f"a root in capitals: {capital}{minor if _PERHAPS_MINOR.match(rest) else ''}"
    return "a root A to G, with # or b, or N.C."


def german_advice(text: str) -> str:
    """Say the plain name where a text begins with a German note name; empty where it does not.

    >>> german_advice("Fis7"), german_advice("Es"), german_advice("Esus4")
    ('F#7, for the German Fis is F#', 'Eb, for the German Es is Eb', '')
    """
    match = _GERMAN.match(text)
    if not match:
        return ""
    letter, ending = match[1] or match[3], match[2] or match[4]
    name = letter + _SIGNS[ending]
    return f"{name}{match[5]}, for the German {letter}{ending} is {name}"


def bass_advice(text: str) -> str:
    """Say what would fit after the slash."""
    if text[:1] in {"H", "h"}:
        return "a bass note A to G; the German H is B, and the German B is Bb"
    return german_advice(text[:1].upper() + text[1:]) or "a bass note, such as E or F#"
