"""How fast and with which feel: metronome marks, sounds, equations of notes, and words.

Sources: MusicXML 4.0 ``metronome`` (a rate for a note value, or an equation of two), ``sound``
(``tempo`` in quarter notes a minute), ``swing``, ``metronome-note``.
"""

import re
from collections.abc import Iterable
from fractions import Fraction
from typing import Final
from xml.etree.ElementTree import Element

from chartwalk.mending.texts import quoted
from chartwalk.mending.words import feel_word
from chartwalk.musicxml.elements import direction_texts, number, text_of
from chartwalk.musicxml.measure import NOTE_TYPES, ZERO, Placed

SLOWEST, FASTEST = Fraction(10), Fraction(600)  # quarter notes a minute that can be meant
_FIRST_NUMBER: Final = re.compile(r"\d+(?:\.\d+)?", re.ASCII)

Tempo = tuple[Fraction | None, tuple[str, ...]]


def tempo_after(held: Fraction | None, placed: Iterable[Placed]) -> Tempo:
    """Return the tempo in quarter notes a minute after some directions, and what can't be kept.

    ``held`` is the tempo before them; what sounds goes before what is printed.
    """
    messages: tuple[str, ...] = ()
    for item in placed:
        mark = item.element.find("direction-type/metronome")
        stated = _stated(item.element)
        rates = [rate for rate in (stated, _printed(mark)) if rate is not None]
        meant = next((rate for rate in rates if SLOWEST <= rate <= FASTEST), None)
        related = _related(mark, held) if mark is not None and not rates else None
        if meant or related:
            held = meant or related
        elif rates:
            messages += (f"a tempo of {float(rates[0]):g} can't be meant: left out",)
        elif mark is not None and not _swings(mark):
            text = quoted(text_of(mark, "per-minute"))
            said = text if mark.find("per-minute") is not None else "of notes that equal others"
            messages += (f"the metronome mark {said} can't be read: left out",)
    return held, messages


def _stated(element: Element) -> Fraction | None:
    sound = element if element.tag == "sound" else element.find("sound")
    return number(sound.get("tempo", "")) if sound is not None else None


def _printed(mark: Element | None) -> Fraction | None:
    if mark is None:
        return None
    found = _FIRST_NUMBER.search(text_of(mark, "per-minute"))
    rate = number(found[0]) if found else None
    lengths = _lengths(mark)
    return rate * lengths[0] if rate and lengths and lengths[0] else None


def _lengths(mark: Element) -> list[Fraction]:
    """Return the note values of a mark in quarter notes, dots and tied values added."""
    lengths: list[Fraction] = []
    dot = ZERO
    for child in mark:
        if child.tag == "beat-unit":
            dot = NOTE_TYPES.get(text_of(child), ZERO)
            lengths.append(dot)
        elif child.tag == "beat-unit-dot" and lengths:
            dot /= 2
            lengths[-1] += dot
        elif child.tag == "beat-unit-tied" and lengths:
            lengths[-1] += sum(_lengths(child), ZERO)
    return lengths


def _related(mark: Element, held: Fraction | None) -> Fraction | None:
    """Return the tempo at which the second of two note values lasts as long as the first did."""
    lengths = _lengths(mark)
    if held is None or len(lengths) != 2 or not all(lengths):
        return None
    tempo = held * lengths[1] / lengths[0]
    return tempo if SLOWEST <= tempo <= FASTEST else None


def _swings(mark: Element) -> bool:
    """Whether a mark says that two even notes are played as a triplet's long and short."""
    relation = [child.tag for child in mark].count("metronome-relation")
    tuplets = [note.find("metronome-tuplet") is not None for note in mark.iter("metronome-note")]
    return relation == 1 and any(tuplets) and tuplets[:2] == [False, False]


def feel_of(placed: Iterable[Placed]) -> str | None:
    """Return the feel that directions and sounds set, if any; what sounds goes first."""
    placed = tuple(placed)
    swings = [swing for item in placed for swing in item.element.iter("swing")]
    if swings:
        return "straight" if _is_straight(swings[-1]) else "swing"
    if any(_swings(mark) for item in placed for mark in item.element.iter("metronome")):
        return "swing"
    texts = (text for item in placed for text in direction_texts(item.element))
    return next((feel for text in texts if (feel := feel_word(text))), None)


def _is_straight(swing: Element) -> bool:
    return swing.find("straight") is not None or text_of(swing, "first") == text_of(swing, "second")
