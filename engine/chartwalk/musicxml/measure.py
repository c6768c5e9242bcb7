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

from chartwalk.musicxml.elements import number, one_line, text_of

ZERO: Final = Fraction(0)
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
    ``implicit`` is the file's own word for a measure that is not counted.
    """

    number: str
    implicit: bool = False
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
    laid, divisions = [], Fraction(1)
    for place, element in enumerate(elements, 1):
        measure, divisions = _lay_out(element, str(place), divisions)
        laid.append(measure)
    return tuple(laid)


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


def _lay_out(element: Element, counted: str, divisions: Fraction) -> tuple[Measure, Fraction]:
    """Walk through one measure; return it and the divisions in force at its end."""
    placed: dict[str, list[Placed]] = {}
    barlines = []
    cursor = onset = end = ZERO
    for child in element:
        tag = child.tag
        if tag == "note":
            if child.find("grace") is not None:
                continue
            length = note_length(child, divisions)
            if child.find("chord") is None:
                onset, cursor = cursor, cursor + length
            placed.setdefault(tag, []).append(Placed(onset, child, length))
            rest = child.find("rest")
            if rest is None or rest.get("measure") != "yes":
                end = max(end, cursor)
        elif tag in ("backup", "forward"):
            length = (number(text_of(child, "duration")) or ZERO) / divisions
            cursor = cursor + abs(length) if tag == "forward" else max(ZERO, cursor - abs(length))
            end = max(end, cursor)
        elif tag == "barline":
            barlines.append(Barline(_is_left(child, cursor), child))
        elif tag in ("harmony", "direction", "sound", "attributes"):
            shift = (number(text_of(child, "offset")) or ZERO) / divisions
            placed.setdefault(tag, []).append(Placed(max(ZERO, cursor + shift), child))
            stated = number(text_of(child, "divisions"))
            divisions = stated if stated and stated > 0 else divisions
    measure = Measure(
        number=one_line(element.get("number", "")) or counted,
        implicit=element.get("implicit") == "yes",
        length=end,
        notes=tuple(placed.get("note", ())),
        harmonies=tuple(placed.get("harmony", ())),
        directions=tuple(placed.get("direction", ())),
        sounds=tuple(placed.get("sound", ())),
        attributes=tuple(placed.get("attributes", ())),
        barlines=tuple(barlines),
    )
    return measure, divisions


def _is_left(barline: Element, cursor: Fraction) -> bool:
    """Tell a left barline; one in the middle or unmarked goes by what stands before it."""
    location = barline.get("location", "")
    if location in ("left", "right"):
        return location == "left"
    repeat = barline.find("repeat")
    forward = repeat is not None and repeat.get("direction") == "forward"
    return cursor == 0 and (location == "middle" or forward)


def note_length(note: Element, divisions: Fraction) -> Fraction:
    """Return a note's length in quarter notes, never negative.

    The stated duration counts; the written value steps in where the duration is missing, or where
    a tuplet's was rounded by less than one division.
    """
    stated = number(text_of(note, "duration"))
    if stated is None or stated < 0:
        return _written_length(note) or ZERO
    length = stated / divisions
    if note.find("time-modification") is None:
        return length
    written = _written_length(note)
    rounded = written is not None and abs(length - written) * divisions < 1
    return written if written is not None and rounded else length


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
