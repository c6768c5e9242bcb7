"""A chord symbol as a ``harmony``: root, kind, degrees and bass, with the letters as typed.

The kind is the one of the standard from which the fewest steps lead to the notes of the chord; the
steps are its degrees. The printed letters stand whole in the kind's ``text``, so the degrees are
not printed again. Sources: MusicXML 4.0 ``harmony``, ``kind``, ``degree-alter`` (an added degree
counts from a dominant chord: its 7th is the minor one), ``degree`` (``print-object``).
"""

import re
from collections.abc import Iterator
from functools import lru_cache
from typing import Final
from xml.etree.ElementTree import Element

from chartwalk.chord import ChordSymbol, Degree
from chartwalk.chord.canonical import degrees_of
from chartwalk.musicxml.kinds import KINDS
from chartwalk.musicxml.out.xml import node
from chartwalk.pitch import ACCIDENTAL_PATTERN, Name

STANDARD: Final = tuple(
    (kind, degrees_of(suffix))
    for kind, suffix in KINDS.items()
    if kind not in {"augmented-ninth", "minor-major", "maj69", "", "other"}
)
"""The kinds of the standard that have notes of their own, with their degrees."""

_ROOT: Final = re.compile(rf"[A-G]{ACCIDENTAL_PATTERN}")
_BASS: Final = re.compile(rf"/([A-Ga-g]{ACCIDENTAL_PATTERN})$")

Step = tuple[str, int, int]
"""What a ``degree`` does, to which number, by how many semitones."""


def harmony(symbol: ChordSymbol, offset: int = 0) -> Element:
    """Return the element for a chord symbol, ``offset`` divisions after the note it stands at."""
    content = list(_silence(symbol) if symbol.root is None else _chord(symbol, symbol.root))
    if offset:
        content.append(node("offset", offset))
    return node("harmony", content)


def _silence(symbol: ChordSymbol) -> Iterator[Element]:
    """No chord: the standard wants a root, which is not printed."""
    yield node("root", [node("root-step", "C", text="")])
    yield node("kind", "none", text=symbol.text)


def _chord(symbol: ChordSymbol, root: Name) -> Iterator[Element]:
    letters, suffix, bass = taken_apart(symbol)
    yield node("root", _name("root", root, letters, letters != root.ascii))
    kind, steps = kind_of(frozenset(symbol.degrees))
    yield node("kind", kind, text=suffix)
    if symbol.bass:
        told = bass != symbol.bass.ascii or symbol.bass == root
        yield node("bass", _name("bass", symbol.bass, bass, told))
    for action, number, alter in steps:
        parts = [
            node("degree-value", number),
            node("degree-alter", alter),
            node("degree-type", action),
        ]
        yield node("degree", parts, print_object="no")


def taken_apart(symbol: ChordSymbol) -> tuple[str, str, str]:
    """Return the letters of the root, of what follows and of the bass, as they are typed.

    >>> taken_apart(ChordSymbol.parse("E♭6/9/g"))
    ('E♭', '6/9', 'g')
    """
    match = _ROOT.match(symbol.text)
    root = match[0] if match else ""
    slash = _BASS.search(symbol.text) if symbol.bass else None
    end = slash.start() if slash else len(symbol.text)
    return root, symbol.text[len(root) : end], slash[1] if slash else ""


def _name(role: str, name: Name, letters: str, told: bool) -> Iterator[Element]:
    """Yield step and alteration; letters that are ``told`` are printed in their place."""
    yield node(f"{role}-step", name.letter, **({"text": letters} if told else {}))
    if name.alter:
        hidden = {"print_object": "no"} if told else {}
        yield node(f"{role}-alter", name.alter, **hidden)


@lru_cache(maxsize=1024)
def kind_of(degrees: frozenset[Degree]) -> tuple[str, tuple[Step, ...]]:
    """Return the kind nearest to these degrees and the steps from it to them.

    >>> kind_of(frozenset(ChordSymbol.parse("C7b9").degrees))
    ('dominant', (('add', 9, -1),))
    >>> kind_of(frozenset(ChordSymbol.parse("Cmaj7#5").degrees))
    ('major-seventh', (('alter', 5, 1),))
    """
    found = ((kind, _steps(held, degrees), len(held)) for kind, held in STANDARD)
    kind, steps, _ = min(found, key=lambda row: (len(row[1]), _unusual(row[1]), -row[2]))
    return kind, steps


def _unusual(steps: tuple[Step, ...]) -> int:
    """Count what players would say otherwise: C7 with a ♭9, no C9; C with a 9, no C9 without 7."""
    return sum(
        action == "subtract" or (action == "alter" and number > 8) for action, number, _ in steps
    )


def _steps(held: frozenset[Degree], wanted: frozenset[Degree]) -> tuple[Step, ...]:
    steps: list[Step] = []
    for number in sorted({degree.number for degree in held ^ wanted}):
        old = {degree.alter for degree in held if degree.number == number}
        new = {degree.alter for degree in wanted if degree.number == number}
        gone, come = sorted(old - new), sorted(new - old)
        if gone and come:  # one note a number, in the kinds of the standard
            steps.append(("alter", number, come.pop(0) - gone[0]))
        elif gone:
            steps.append(("subtract", number, 0))
        steps += (("add", number, alter + (number == 7)) for alter in come)
    return tuple(steps)
