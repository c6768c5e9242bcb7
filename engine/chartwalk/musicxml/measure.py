"""One measure laid out in time: every element with its place in quarter notes from the bar line.

Conventions
-----------
- A place is an exact fraction of a quarter note; ``divisions`` says how many units one quarter has
  (MusicXML 4.0 ``divisions``, ``duration``, ``backup``, ``forward``, ``offset``). Units are mostly
  whole numbers, so a measure is added up in units and each sum turned into quarters once.
- A tuplet whose length no whole number of divisions can tell is taken from its written value
  (``type``, ``dot``, ``time-modification``), so that three triplets are exactly one beat.
- Grace notes take no time and are left out.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache
from itertools import zip_longest
from typing import Final
from xml.etree.ElementTree import Element

from chartwalk.mending.texts import one_line
from chartwalk.musicxml.elements import number, text_of

ZERO: Final = Fraction(0)
Units = int | Fraction
"""A place or a length as a file counts it; whole unless the file has a fraction of a unit."""
FINEST: Final = 10**9  # no unit and no part of one is finer: 2^9 * 3^3 * 5 * 7 * 11 * 13 is below
NOTE_TYPES: Final = {
    "maxima": Fraction(32), "long": Fraction(16), "breve": Fraction(8), "whole": Fraction(4),
    "half": Fraction(2), "quarter": Fraction(1), "eighth": Fraction(1, 2),
    "16th": Fraction(1, 4), "32nd": Fraction(1, 8), "64th": Fraction(1, 16),
    "128th": Fraction(1, 32), "256th": Fraction(1, 64), "512th": Fraction(1, 128),
    "1024th": Fraction(1, 256),
}  # fmt: skip
"""The note values of MusicXML 4.0 ``note-type-value``, in quarter notes."""


@dataclass(frozen=True, slots=True)
class Placed:
    """An element, its place in the measure and, for a note, its length and end, in quarters."""

    at: Fraction
    element: Element
    length: Fraction = ZERO
    end: Fraction = ZERO


@dataclass(frozen=True, slots=True)
class Barline:
    """A ``barline`` element, at the left or the right end of its measure."""

    left: bool
    element: Element


@dataclass(frozen=True, slots=True)
class Measure:
    """A measure's elements by kind, in the order of the file.

    ``length`` is where the last note of any voice ends, 0 in a measure without notes. A
    whole-measure rest is as long as its bar, whatever duration it states, and does not count;
    ``implicit`` is the file's own word for a measure that is not counted; ``in_order`` tells that
    the notes of the file follow one another in time, as they do where only one voice is written.
    """

    number: str
    implicit: bool = False
    in_order: bool = True
    length: Fraction = ZERO
    notes: tuple[Placed, ...] = ()
    harmonies: tuple[Placed, ...] = ()
    directions: tuple[Placed, ...] = ()
    sounds: tuple[Placed, ...] = ()
    attributes: tuple[Placed, ...] = ()
    barlines: tuple[Barline, ...] = ()

    def at_end(self, at: Fraction) -> bool:
        """Whether a place lies at the right end, after all notes."""
        return at > 0 and at >= self.length


def measures(elements: Iterable[Element]) -> tuple[Measure, ...]:
    """Lay out the measures of a part, one after the other."""
    measuring = _Measuring()
    return tuple(
        _lay_out(element, str(place), measuring) for place, element in enumerate(elements, 1)
    )


def with_directions(own: tuple[Measure, ...], top: tuple[Measure, ...]) -> tuple[Measure, ...]:
    """Add the directions of a score's top part, where jumps and tempo often stand alone."""
    pairs = zip_longest(own, top[: len(own)])
    return tuple(
        replace(
            measure,
            directions=measure.directions + above.directions,
            sounds=measure.sounds + above.sounds,
        )
        if above
        else measure
        for measure, above in pairs
    )


def with_harmonies(own: tuple[Measure, ...], other: tuple[Measure, ...]) -> tuple[Measure, ...]:
    """Add the chord symbols of another part."""
    pairs = zip_longest(own, other[: len(own)])
    return tuple(
        replace(measure, harmonies=beside.harmonies) if beside else measure
        for measure, beside in pairs
    )


class _Measuring:
    """The unit in which a part counts its lengths, as it stands while the part is read."""

    def __init__(self) -> None:
        self._unit = Fraction(1)  # in quarter notes
        self._known: dict[Units, Fraction] = {}

    def state(self, divisions: Fraction | None) -> Fraction:
        """Have so many units make a quarter note from here on; what can't be is passed over.

        Returns how many of the units from here on make one of those before.
        """
        if not divisions or divisions < 0:
            return Fraction(1)
        before, self._unit = self._unit, (1 / divisions).limit_denominator(FINEST)
        self._known.clear()
        return before / self._unit

    def quarters(self, units: Units) -> Fraction:
        """Return a number of units in quarter notes."""
        if units not in self._known:
            self._known[units] = units * self._unit
        return self._known[units]

    def length_of(self, note: Element) -> Units:
        """Return a note's length in units, never negative.

        The stated duration counts; the written value steps in where the duration is missing, or
        where a tuplet's was rounded by less than one division.
        """
        length = _units(note.findtext("duration", ""))
        if length is not None and length >= 0 and note.find("time-modification") is None:
            return length
        quarters = _written_length(note)
        written = None if quarters is None else _bounded(quarters / self._unit)
        if length is None or length < 0:
            return written or 0
        return written if written is not None and -1 < length - written < 1 else length


@lru_cache(maxsize=4096)
def _units(text: str) -> Units | None:
    """Read a number of units; None where the text is no number."""
    stated = number(text)
    if stated is None:
        return None
    return int(stated) if stated.denominator == 1 else _bounded(stated)


def later(place: Units, other: Units) -> bool:
    """Whether one place comes after another; each note asks, and whole numbers answer fast."""
    return place.numerator * other.denominator > other.numerator * place.denominator


def _bounded(place: Units) -> Units:
    """Return a place or a length no finer than any music: sums stay short whatever a file says.

    It is bounded in units, so that a note's place and length make its end exactly.
    """
    return place if place.denominator <= FINEST else Fraction(place).limit_denominator(FINEST)


def _lay_out(element: Element, counted: str, measuring: _Measuring) -> Measure:
    """Walk through one measure; ``counted`` is its number where it has none."""
    quarters = measuring.quarters
    placed: dict[str, list[Placed]] = {}
    barlines = []
    cursor: Units = 0
    onset: Units = 0
    end: Units = 0
    in_order = True
    for child in element:
        tag = child.tag
        if tag == "note":
            if child.find("grace") is not None:
                continue
            length = measuring.length_of(child)
            if child.find("chord") is None:
                onset, cursor = cursor, _bounded(cursor + length)
            note = Placed(quarters(onset), child, quarters(length), quarters(onset + length))
            placed.setdefault(tag, []).append(note)
            rest = child.find("rest")
            if cursor > end and (rest is None or rest.get("measure") != "yes"):
                end = cursor
        elif tag in ("backup", "forward"):
            in_order = in_order and tag == "forward"
            stated = _units(text_of(child, "duration")) or 0
            length = -stated if stated < 0 else stated
            ahead = cursor + length if tag == "forward" else cursor - length
            cursor = _bounded(ahead) if ahead > 0 else 0
            if later(cursor, end):
                end = cursor
        elif tag == "barline":
            barlines.append(Barline(_is_left(child, not cursor), child))
        elif tag in ("harmony", "direction", "sound", "attributes"):
            at = cursor + (_units(child.findtext("offset", "")) or 0)
            placed.setdefault(tag, []).append(Placed(quarters(at if at > 0 else 0), child))
            factor = measuring.state(number(child.findtext("divisions", "")))
            if factor != 1:
                cursor, onset = _bounded(cursor * factor), _bounded(onset * factor)
                end = _bounded(end * factor)
    return Measure(
        number=one_line(element.get("number", "")) or counted,
        implicit=element.get("implicit") == "yes",
        in_order=in_order,
        length=quarters(end),
        notes=tuple(placed.get("note", ())),
        harmonies=tuple(placed.get("harmony", ())),
        directions=tuple(placed.get("direction", ())),
        sounds=tuple(placed.get("sound", ())),
        attributes=tuple(placed.get("attributes", ())),
        barlines=tuple(barlines),
    )


def _is_left(barline: Element, at_start: bool) -> bool:
    """Tell a left barline; one in the middle or unmarked goes by what stands before it."""
    location = barline.get("location", "")
    if location in ("left", "right"):
        return location == "left"
    repeat = barline.find("repeat")
    forward = repeat is not None and repeat.get("direction") == "forward"
    return at_start and (location == "middle" or forward)


def _written_length(note: Element) -> Fraction | None:
    value = NOTE_TYPES.get(text_of(note, "type"))
    if value is None:
        return None
    dots = min(len(note.findall("dot")), 4)
    value *= 2 - Fraction(1, 2**dots)
    actual = number(text_of(note, "time-modification/actual-notes"))
    normal = number(text_of(note, "time-modification/normal-notes"))
    if actual and normal and actual > 0 and normal > 0:
        value *= normal / actual
    return value
