"""One measure laid out in time: every element with its place in quarter notes from the bar line.

Conventions
-----------
- A place is an exact fraction of a quarter note; ``divisions`` says how many units one quarter has
  (MusicXML 4.0 ``divisions``, ``duration``, ``backup``, ``forward``, ``offset``).
- A tuplet whose length no whole number of divisions can tell is taken from its written value
  (``type``, ``dot``, ``time-modification``), so that three triplets are exactly one beat.
- Grace notes take no time and are left out.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import zip_longest
from typing import Final
from xml.etree.ElementTree import Element

from chartwalk.mending.texts import one_line
from chartwalk.musicxml.elements import number, text_of

ZERO: Final = Fraction(0)
FINEST: Final = 10**9  # no place has a larger denominator: 2^9 * 3^3 * 5 * 7 * 11 * 13 is below
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
    """An element, its place in the measure and, for a note, its length, in quarter notes."""

    at: Fraction
    element: Element
    length: Fraction = ZERO


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
    units = _Units()
    return tuple(_lay_out(element, str(place), units) for place, element in enumerate(elements, 1))


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


class _Units:
    """The unit in which a part counts its lengths, as it stands while the part is read."""

    def __init__(self) -> None:
        self._divisions = Fraction(1)
        self._known: dict[str, Fraction | None] = {}

    def state(self, divisions: Fraction | None) -> None:
        """Have so many units make a quarter note from here on; what can't be is passed over."""
        if divisions and divisions > 0:
            self._divisions = divisions
            self._known.clear()

    def quarters(self, text: str) -> Fraction | None:
        """Return a number of units in quarter notes; None where the text is no number."""
        if text not in self._known:
            stated = number(text)
            self._known[text] = None if stated is None else _bounded(stated / self._divisions)
        return self._known[text]

    def length_of(self, note: Element) -> Fraction:
        """Return a note's length in quarter notes, never negative.

        The stated duration counts; the written value steps in where the duration is missing, or
        where a tuplet's was rounded by less than one division.
        """
        length = self.quarters(note.findtext("duration", ""))
        if length is None or length.numerator < 0:
            return _written_length(note) or ZERO
        if note.find("time-modification") is None:
            return length
        written = _written_length(note)
        rounded = written is not None and abs(length - written) * self._divisions < 1
        return written if written is not None and rounded else length


def later(place: Fraction, other: Fraction) -> bool:
    """Whether one place comes after another; each note asks, and whole numbers answer fast."""
    return place.numerator * other.denominator > other.numerator * place.denominator


def _bounded(place: Fraction) -> Fraction:
    """Return a place or a length no finer than any music: sums stay short whatever a file says."""
    return place if place.denominator <= FINEST else place.limit_denominator(FINEST)


def _lay_out(element: Element, counted: str, units: _Units) -> Measure:
    """Walk through one measure; ``counted`` is its number where it has none."""
    placed: dict[str, list[Placed]] = {}
    barlines = []
    cursor = onset = end = ZERO
    in_order = True
    for child in element:
        tag = child.tag
        if tag == "note":
            if child.find("grace") is not None:
                continue
            length = units.length_of(child)
            if child.find("chord") is None:
                onset, cursor = cursor, _bounded(cursor + length)
            placed.setdefault(tag, []).append(Placed(onset, child, length))
            rest = child.find("rest")
            if later(cursor, end) and (rest is None or rest.get("measure") != "yes"):
                end = cursor
        elif tag in ("backup", "forward"):
            in_order = in_order and tag == "forward"
            length = abs(units.quarters(text_of(child, "duration")) or ZERO)
            ahead = cursor + length if tag == "forward" else cursor - length
            cursor = _bounded(max(ZERO, ahead))
            end = max(end, cursor)
        elif tag == "barline":
            barlines.append(Barline(_is_left(child, cursor), child))
        elif tag in ("harmony", "direction", "sound", "attributes"):
            shift = units.quarters(child.findtext("offset", ""))
            at = _bounded(max(ZERO, cursor + shift)) if shift else cursor
            placed.setdefault(tag, []).append(Placed(at, child))
            units.state(number(child.findtext("divisions", "")))
    return Measure(
        number=one_line(element.get("number", "")) or counted,
        implicit=element.get("implicit") == "yes",
        in_order=in_order,
        length=end,
        notes=tuple(placed.get("note", ())),
        harmonies=tuple(placed.get("harmony", ())),
        directions=tuple(placed.get("direction", ())),
        sounds=tuple(placed.get("sound", ())),
        attributes=tuple(placed.get("attributes", ())),
        barlines=tuple(barlines),
    )


def _is_left(barline: Element, cursor: Fraction) -> bool:
    """Tell a left barline; one in the middle or unmarked goes by what stands before it."""
    location = barline.get("location", "")
    if location in ("left", "right"):
        return location == "left"
    repeat = barline.find("repeat")
    forward = repeat is not None and repeat.get("direction") == "forward"
    return cursor == 0 and (location == "middle" or forward)


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
