"""Chord kinds and degrees of the standard, and the symbols that name them.

References: MusicXML 4.0 ``kind-value`` (33 values; ``major-minor`` is a MINOR triad with a major
seventh), ``degree``, ``degree-alter`` and ``degree-type``. Four more values occur in real files:
``augmented-ninth``, ``minor-major``, ``maj69`` and the empty one.
"""

from typing import Final

from chartwalk.chord import Degree
from chartwalk.chord.canonical import degrees_of, suffix_of

KINDS: Final = {
    "major": "", "minor": "m", "augmented": "aug", "diminished": "dim",
    "dominant": "7", "major-seventh": "maj7", "minor-seventh": "m7",
    "diminished-seventh": "dim7", "augmented-seventh": "aug7", "half-diminished": "m7b5",
    "major-minor": "m(maj7)", "major-sixth": "6", "minor-sixth": "m6",
    "dominant-ninth": "9", "major-ninth": "maj9", "minor-ninth": "m9",
    "dominant-11th": "11", "major-11th": "maj11", "minor-11th": "m11",
    "dominant-13th": "13", "major-13th": "maj13", "minor-13th": "m13",
    "suspended-second": "sus2", "suspended-fourth": "sus4",
    "power": "5", "pedal": "(no3no5)", "other": "(no3no5)",
    "augmented-ninth": "aug9", "minor-major": "m(maj7)", "maj69": "6/9", "": "",
}  # fmt: skip
"""What follows the root for each kind that has notes of its own, counted from its root."""

BORROWED: Final = {
    "Neapolitan": ("m2", "", "M3"), "Italian": ("m6", "7(no5)", ""),
    "French": ("m6", "7(b5)", ""), "German": ("m6", "7", ""), "Tristan": ("P1", "m7b5", ""),
}  # fmt: skip
"""Kinds without a symbol: the interval from the file's root to the root of a chord with the same
keys, what follows that root, and the interval from it up to the bass."""

_DRAWN: Final = {
    "major": "△", "minor": "-", "augmented": "+", "diminished": "°", "half": "ø",
}  # fmt: skip
"""The symbols of families of kinds, each by the word its kinds begin with."""

LARGEST: Final = 21  # no degree lies more than three octaves up


def numbered_degree(value: int, alter: int) -> Degree | None:
    """Return an added degree; None where no chord has it.

    Added degrees count from a dominant chord: the 7th is the minor one, all others major or
    perfect (MusicXML 4.0 ``degree-alter``). 8, 10, 12 and 14 are 1, 3, 5 and 7 an octave up.

    >>> numbered_degree(7, 1), numbered_degree(10, -1)
    (Degree(number=7, alter=0), Degree(number=3, alter=-1))
    """
    if not 1 <= value <= LARGEST or abs(alter) > 2:
        return None
    number = (value - 1) % 7 + 1
    if value in {9, 11, 13}:
        number = value
    return Degree(number, alter - (number == 7))


def drawn(kind: str, text: str) -> str:
    """Return the printed text of a kind with the symbol that is drawn before it.

    Source: MusicXML 4.0 ``kind`` (``use-symbols``). Of ``major-minor`` the minus alone is drawn, so
    that its text says too little: it has none here, and the kind itself counts.

    >>> drawn("major-seventh", "7"), drawn("half-diminished", "7"), drawn("dominant", "7")
    ('△7', 'ø7', '7')
    """
    return "" if kind == "major-minor" else _DRAWN.get(kind.partition("-")[0], "") + text


def spell(degrees: frozenset[Degree], own: str) -> str | None:
    """Return an ending for these degrees: ``own`` where it fits; None where none does.

    >>> spell(degrees_of("7") | {Degree(9, -1)}, "7"), spell(degrees_of("aug7"), "aug7")
    ('7b9', 'aug7')
    """
    return own if degrees_of(own) == degrees else suffix_of(degrees)
