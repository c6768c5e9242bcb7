"""Music code taken apart: one line into notes, rests, bar lines, chords and signs.

Source: ABC 2.1 chapter 4; 4.20 for the order of what belongs to a note.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

_LENGTH: Final = r"\d*(?:/+\d*)?"
_NOTE: Final = rf"(?:\^\^?|__?|=)?[A-Ga-g][,']*{_LENGTH}"
_KINDS: Final = {
    "space": r"[ \t`]+",
    "text": r'"[^"]*"?',
    "field": r"\[[A-Za-z]:[^\]]*\]?",
    "ending": r"\[\s*(?:\d[\d,\-–.]*|\"\d[\d,\-–.]*\")",
    "old": rf"\+(?!f+\+)(?:{_NOTE}){{2,}}\+{_LENGTH}",
    "decoration": r"![^!\s|\[\]:]+!|![A-Za-z.]+:[A-Za-z.]+!|\+[^+\s|\[\]:]+\+",
    "bar": r"\.?(?:\[\|\]|\[(?=[|:\]])|[|\]]|:(?=[|:\]\[]))(?:\[\|\]|\[(?=[|:\]])|[|:\]])*",
    "tuplet": r"\(\d+(?::\d*){0,2}",
    "grace": r"\{[^}]*\}?",
    "chord": rf"\[(?=[^\[\]|]*[A-Ga-gzx])[^\[\]|]*\]{_LENGTH}",
    "note": _NOTE,
    "rest": rf"[zx]{_LENGTH}",
    "bars": r"[ZX]\d*",
    "broken": r"<+|>+",
    "tie": r"\.?-",
    "slur": r"\.?[()]",
    "spacer": r"y\d*(?:/+\d*)?",
    "symbol": r"[.~H-Wh-w]",
    "overlay": r"&+",
    "continued": r"\\\s*$",
    "break": r"[$!*;]",
    "unknown": r".",
}
_TOKEN: Final = re.compile("|".join(f"(?P<{kind}>{form})" for kind, form in _KINDS.items()))
NOTE: Final = re.compile(
    r"(?P<sign>\^\^?|__?|=)?(?P<letter>[A-Ga-g])(?P<octave>[,']*)"
    rf"(?P<length>{_LENGTH})(?P<tie>\.?-)?"
)
_ENDING_AFTER_BAR: Final = re.compile(r"\d[\d,\-–]*")
_PARTS: Final = re.compile(r"(\d*)(/*)(\d*)")
LONGEST: Final = 4  # digits of a number in a length


@dataclass(frozen=True, slots=True)
class Token:
    """A piece of music code: its kind, its text, and its column, from 1."""

    kind: str
    text: str
    column: int


def tokens(line: str) -> Iterator[Token]:
    """Cut a line of music; what fits nothing is of the kind ``unknown``.

    >>> [f"{token.kind} {token.text}" for token in tokens('"Am"A2>B|1c:|')]
    ['text "Am"', 'note A2', 'broken >', 'note B', 'bar |', 'ending 1', 'note c', 'bar :|']
    """
    place = 0
    after_bar = False
    while place < len(line):
        match = _ENDING_AFTER_BAR.match(line, place) if after_bar else None
        kind = "ending" if match else ""
        match = match or _TOKEN.match(line, place)
        if match is None:  # only a line break inside the line
            place += 1
            continue
        kind = kind or str(match.lastgroup)
        yield Token(kind, match[0], place + 1)
        after_bar = kind == "bar"
        place = match.end()


def read_length(text: str) -> Fraction:
    """Read a multiplier of the unit note length (section 4.3); raise ValueError on an absurd one.

    >>> [str(read_length(text)) for text in ("", "3/2", "/", "//", "/4", "3/")]
    ['1', '3/2', '1/2', '1/4', '1/4', '3/2']
    """
    match = _PARTS.fullmatch(text)
    if match is None or max(map(len, match.groups())) > LONGEST:
        raise ValueError(f"{text!r} is no note length")
    top = int(match[1] or 1)
    halvings = len(match[2]) - (1 if match[3] else 0)
    bottom = int(match[3] or 1) * 2 ** max(0, halvings)
    if not top or not bottom:
        raise ValueError(f"{text!r} is no note length")
    return Fraction(top, bottom)
