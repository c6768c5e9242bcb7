"""One ``harmony`` element: the chord symbol a player reads there.

The printed text of the ``kind`` is what the player reads, so it goes before the kind itself; the
degrees are added where the text does not cover them. Sources: MusicXML 4.0 ``harmony``, ``kind``,
``degree``, ``bass``, ``inversion``, ``numeral``.

Readings of what has no symbol of its own, each told with a warning:

- the functional sixth chords count from the file's root as the tonic: Italian, French and German
  on C are A♭7 without fifth, A♭7(♭5) and A♭7, the Neapolitan is D♭/F: the same keys;
- the Tristan chord is the m7(♭5) of its root: the same keys;
- ``other`` without degrees or readable text is its root alone.
"""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Final
from xml.etree.ElementTree import Element

from chartwalk.chord import ChordError, ChordSymbol, Degree
from chartwalk.chord.canonical import degrees_of
from chartwalk.key import Key
from chartwalk.mending.texts import quoted
from chartwalk.mending.words import no_chord
from chartwalk.musicxml.elements import text_of, whole
from chartwalk.musicxml.kinds import BORROWED, KINDS, drawn, numbered_degree, spell
from chartwalk.pitch import Interval, Name

_SCALES: Final = {"major": (0, 2, 4, 5, 7, 9, 11), "minor": (0, 2, 3, 5, 7, 8, 10)}
_LEADING: Final = re.compile(r"(?:[b#♭♯](?:4|5|6|7|9|11|13))+")
_SIGNS: Final = {-2: "bb", -1: "b", 1: "#", 2: "##"}
LONGEST: Final = 80  # no symbol has more letters
_ROOTS: Final = ("root", "numeral", "function")

Read = tuple[ChordSymbol | None, tuple[str, ...]]


@dataclass(frozen=True, slots=True)
class Alteration:
    """One ``degree`` element: what it does (add, alter, subtract) and to what."""

    action: str
    value: int
    alter: int
    printed: bool = True

    def applied(self, degrees: frozenset[Degree]) -> frozenset[Degree]:
        """Return the degrees after it; what can't be done leaves them as they are.

        ``alter`` counts from the degree as the chord has it, and adds one that it lacks.
        """
        same = frozenset(degree for degree in degrees if degree.number == self.value)
        if self.action == "subtract":
            return degrees - same
        if self.action == "alter" and same:
            shifted = {Degree(degree.number, degree.alter + self.alter) for degree in same}
            possible = all(abs(degree.alter) <= 2 for degree in shifted)
            return degrees - same | shifted if possible else degrees
        added = numbered_degree(self.value, self.alter)
        return degrees | {added} if added else degrees

    def covered(self, kind: frozenset[Degree], text: str, read: frozenset[Degree]) -> bool:
        """Whether a printed text says it already, by its notes or in so many letters."""
        if not self.printed:
            return True
        after = self.applied(kind)
        letters = f"{_SIGNS.get(self.alter, '')}{self.value}"
        named = self.alter != 0 and letters in text.translate({0x266D: "b", 0x266F: "#"})
        return named or (after - kind <= read and not (kind - after) & read)


def symbol(harmony: Element, key: Key) -> Read:
    """Return the chord symbol of a harmony and what had to be assumed; None if there is none.

    ``key`` is what roman numerals count from.
    """
    chord, more = _first_chord(harmony)
    by_tag = {child.tag: child for child in reversed(chord)}
    kind_element = by_tag.get("kind")
    kind = text_of(kind_element)[:LONGEST]
    text = kind_element.get("text", "") if kind_element is not None else ""
    printed = "".join(text[:LONGEST].split())
    if printed and kind_element is not None and kind_element.get("use-symbols") == "yes":
        printed = drawn(kind, printed)
    if _is_silence(kind, printed):
        return ChordSymbol.parse("N.C."), ()
    root = _root(by_tag, key)
    if root is None:
        return None, (
            f"a chord without a readable root ({quoted(kind) if kind else 'no kind'}) is left out",
        )
    read, warnings = _on_root(root, kind, printed, _alterations(chord))
    bass, bass_warnings = _bass(by_tag, root, read)
    if bass and not read.bass and bass != read.root:
        read = ChordSymbol.parse(f"{read.text}/{bass.ascii}")
    extra = (f"of several chords stacked in one, only {read} is read",) if more else ()
    return read, warnings + bass_warnings + extra


def _first_chord(harmony: Element) -> tuple[list[Element], bool]:
    """Return the elements of the first chord in a harmony, and whether more follow."""
    children = list(harmony)
    starts = [place for place, child in enumerate(children) if child.tag in _ROOTS]
    second = starts[1] if len(starts) > 1 else len(children)
    return children[:second], len(starts) > 1


def _root(chord: Mapping[str, Element], key: Key) -> Name | None:
    if "root" in chord:
        return _name(chord["root"], "root")
    return _numeral(chord["numeral"], key) if "numeral" in chord else None


@lru_cache(maxsize=1024)
def _is_silence(kind: str, printed: str) -> bool:
    return kind == "none" or no_chord(printed)


def _name(element: Element, role: str) -> Name | None:
    return _named(text_of(element, f"{role}-step").upper(), text_of(element, f"{role}-alter"))


@lru_cache(maxsize=256)
def _named(step: str, altered: str) -> Name | None:
    alter = whole(altered or "0")
    if len(step) != 1 or step not in "ABCDEFG" or alter is None or abs(alter) > 2:
        return None
    return Name(step, alter)


def _numeral(element: Element, key: Key) -> Name | None:
    """Return the note of a roman numeral in its own key, or the key in force."""
    fifths = whole(text_of(element, "numeral-key/numeral-fifths"))
    if fifths is not None and -7 <= fifths <= 7:
        mode = "minor" if "minor" in text_of(element, "numeral-key/numeral-mode") else "major"
        key = Key(fifths, mode)
    degree = whole(text_of(element, "numeral-root"))
    alter = whole(text_of(element, "numeral-alter") or "0")
    if degree is None or not 1 <= degree <= 7 or alter is None or abs(alter) > 2:
        return None
    return key.tonic + Interval(degree - 1, _SCALES[key.mode][degree - 1] + alter)


def _alterations(chord: Iterable[Element]) -> tuple[Alteration, ...]:
    found = []
    for child in chord:
        if child.tag == "degree":
            value = whole(text_of(child, "degree-value"))
            alter = whole(text_of(child, "degree-alter") or "0")
            action = text_of(child, "degree-type") or "add"
            if value is not None and alter is not None and abs(alter) <= 2:
                found.append(Alteration(action, value, alter, child.get("print-object") != "no"))
    return tuple(found)


@lru_cache(maxsize=1024)
def _on_root(
    root: Name, kind: str, printed: str, alterations: tuple[Alteration, ...]
) -> tuple[ChordSymbol, tuple[str, ...]]:
    """Return the symbol without its bass, from the printed text or else from the kind."""
    suffix = KINDS.get(kind, KINDS.get(kind.lower()))
    base = degrees_of(suffix or "")
    text = _bracketed(printed)
    read = _parsed(root, text) if text or suffix == "" else None
    if read is not None:
        held = frozenset(read.degrees)
        open_ones = [item for item in alterations if not item.covered(base, printed, held)]
        if not open_ones:
            return read, ()
        return _spelled(root, _apply(held, open_ones), text)
    borrowed = BORROWED.get(kind.capitalize())
    if borrowed:
        return _borrowed(root, kind, borrowed)
    chord, warnings = _spelled(root, _apply(base, alterations), suffix or "")
    if suffix is None or (kind == "other" and not alterations):
        name = printed or kind
        asked = quoted(f"{root.ascii} {name}")
        warnings += (f"chord {asked} can't be read: {chord} is assumed",)
    return chord, warnings


def _bracketed(text: str) -> str:
    """Put an accidental that would stick to the root in brackets: B and b5 are B(b5)."""
    match = _LEADING.match(text)
    return f"({match[0]}){text[match.end() :]}" if match else text


def _parsed(root: Name, text: str) -> ChordSymbol | None:
    try:
        read = ChordSymbol.parse(root.ascii + text)
    except ChordError:
        return None
    return read if read.root == root else None


def _apply(degrees: frozenset[Degree], alterations: Iterable[Alteration]) -> frozenset[Degree]:
    for alteration in alterations:
        degrees = alteration.applied(degrees)
    return degrees


def _spelled(
    root: Name, degrees: frozenset[Degree], own: str
) -> tuple[ChordSymbol, tuple[str, ...]]:
    """Name these degrees upon an ending; what no symbol can say is told and left out."""
    own = own.partition("/")[0] if _ends_in_bass(own) else own
    suffix = spell(degrees, own)
    if suffix is not None:
        return ChordSymbol.parse(root.ascii + suffix), ()
    chord = ChordSymbol.parse(root.ascii + own)
    wanted = " ".join(degree.label for degree in sorted(degrees))
    return chord, (f"a chord on {root} with {wanted} has no symbol: {chord} is assumed",)


def _ends_in_bass(text: str) -> bool:
    return bool(re.search(r"/[A-Ga-g]", text))


def _borrowed(
    root: Name, kind: str, row: tuple[str, str, str]
) -> tuple[ChordSymbol, tuple[str, ...]]:
    interval, suffix, bass = row
    base = root + Interval.parse(interval)
    slash = f"/{(base + Interval.parse(bass)).ascii}" if bass else ""
    chord = ChordSymbol.parse(base.ascii + suffix + slash)
    return chord, (f"chord '{root.ascii} {kind}' has no symbol: read by its keys as {chord}",)


def _bass(
    chord: Mapping[str, Element], root: Name, read: ChordSymbol
) -> tuple[Name | None, tuple[str, ...]]:
    """Return the bass that is written, else the one an inversion without a bass asks for."""
    if "bass" in chord:
        bass = _name(chord["bass"], "bass")
        told = () if bass else (f"the bass of {read} can't be read: left out",)
        return bass, told
    inversion = whole(text_of(chord.get("inversion")))
    if not inversion:
        return None, ()
    if not 0 < inversion < len(read.degrees):
        return None, (f"{read} has no inversion {inversion}: left out",)
    return root + read.degrees[inversion].interval, ()
