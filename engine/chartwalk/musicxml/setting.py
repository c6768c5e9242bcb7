"""What holds from bar to bar: key, meter, tempo and feel.

Sources: MusicXML 4.0 ``key``, ``time``, ``metronome``, ``sound`` (``tempo`` in quarter notes a
minute), ``swing``.
"""

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final
from xml.etree.ElementTree import Element

from chartwalk.chart import DEFAULT_TEMPO
from chartwalk.key import Key
from chartwalk.meter import UNITS, Meter
from chartwalk.musicxml.elements import number, quoted, text_of, whole
from chartwalk.musicxml.measure import NOTE_TYPES, Measure, Placed
from chartwalk.musicxml.notices import Notice, at
from chartwalk.musicxml.words import direction_texts, feel_word

SLOWEST, FASTEST = Fraction(10), Fraction(600)  # quarter notes a minute that can be meant
TEMPO_GRAIN: Final = 1000  # 133.33333 is 400/3
_FIRST_NUMBER: Final = re.compile(r"\d+(?:\.\d+)?", re.ASCII)


@dataclass(frozen=True, slots=True)
class Setting:
    """What is in force in a bar; ``quarters`` is the tempo in quarter notes a minute.

    ``meter`` and ``quarters`` are None as long as the file has said nothing about them.
    """

    key: Key = Key()
    meter: Meter | None = None
    quarters: Fraction | None = None
    feel: str = "straight"

    def tempo(self, meter: Meter, first: Meter) -> Fraction:
        """Return the beats a minute of a meter; ``first`` gives the beat of the usual tempo.

        >>> Setting(quarters=Fraction(126)).tempo(Meter(6, 8), Meter(6, 8))
        Fraction(84, 1)
        """
        quarters = self.quarters or DEFAULT_TEMPO * first.beat
        return (quarters / meter.beat).limit_denominator(TEMPO_GRAIN)


def follow(measures: Iterable[Measure]) -> tuple[tuple[Setting, ...], tuple[Notice, ...]]:
    """Return what holds in each measure.

    What is written after a measure's first note holds from the next measure on, the feel excepted.
    """
    held = Setting()
    settings: list[Setting] = []
    notices: list[Notice] = []
    for bar, measure in enumerate(measures):
        now, later = _split(measure.attributes)
        here, said = _attributes(held, now)
        tempos, next_tempos = _split(_sounding(measure))
        here = replace(
            here, quarters=_tempo(tempos) or here.quarters, feel=_feel(measure) or here.feel
        )
        settings.append(here)
        held, said_later = _attributes(here, later)
        held = replace(held, quarters=_tempo(next_tempos) or held.quarters)
        notices += at(bar, said + said_later)
    return tuple(settings), tuple(notices)


def _split(placed: Iterable[Placed]) -> tuple[list[Placed], list[Placed]]:
    placed = list(placed)
    return [item for item in placed if not item.at], [item for item in placed if item.at]


def _sounding(measure: Measure) -> Iterator[Placed]:
    """Yield the directions and sounds that may give a tempo."""
    yield from measure.directions
    yield from measure.sounds


def _attributes(held: Setting, placed: Iterable[Placed]) -> tuple[Setting, tuple[str, ...]]:
    messages: tuple[str, ...] = ()
    for item in placed:
        for element in item.element:
            if element.tag == "key":
                held = replace(held, key=_key(element) or held.key)
            elif element.tag == "time" and element.find("senza-misura") is None:
                meter = _meter(element)
                if meter is None:
                    messages += (f"the meter {_quoted_time(element)} can't be read: left out",)
                held = replace(held, meter=meter or held.meter)
    return held, messages


def _key(element: Element) -> Key | None:
    fifths = whole(text_of(element, "fifths"))
    if fifths is None:
        return None
    mode = "minor" if text_of(element, "mode").lower() == "minor" else "major"
    return Key(max(-7, min(7, fifths)), mode)


def _meter(element: Element) -> Meter | None:
    """Add up the signatures of a ``time``: 3+2 over 8, or 3/8 and 2/8 side by side."""
    total, finest = Fraction(0), 0
    for beats, unit in zip(element.findall("beats"), element.findall("beat-type"), strict=False):
        counts = [whole(part) for part in text_of(beats).split("+")]
        size = whole(text_of(unit))
        if size not in UNITS or not all(count and count > 0 for count in counts):
            return None
        total += sum(Fraction(4 * (count or 0), size) for count in counts)
        finest = max(finest, size)
    return meter_of(total, finest) if finest else None


def _quoted_time(element: Element) -> str:
    return quoted(f"{text_of(element, 'beats')}/{text_of(element, 'beat-type')}")


def meter_of(quarters: Fraction, unit: int) -> Meter | None:
    """Return the meter of a bar's length, counted in the given unit or the next finer that fits.

    >>> str(meter_of(Fraction(3), 4)), str(meter_of(Fraction(7, 2), 4)), meter_of(Fraction(1, 3), 4)
    ('3/4', '7/8', None)
    """
    for finer in UNITS:
        count = quarters * finer / 4
        if finer >= unit and count.denominator == 1:
            return Meter(int(count), finer) if 1 <= count <= 99 else None
    return None


def _tempo(placed: Iterable[Placed]) -> Fraction | None:
    """Return the last tempo given, in quarter notes a minute; what sounds goes before the print."""
    found = None
    for item in placed:
        tempo = _stated_tempo(item.element) or _printed_tempo(item.element)
        if tempo is not None and SLOWEST <= tempo <= FASTEST:
            found = tempo
    return found


def _stated_tempo(element: Element) -> Fraction | None:
    sound = element if element.tag == "sound" else element.find("sound")
    return number(sound.get("tempo", "")) if sound is not None else None


def _printed_tempo(element: Element) -> Fraction | None:
    mark = element.find("direction-type/metronome")
    found = _FIRST_NUMBER.search(text_of(mark, "per-minute"))
    if mark is None or not found:
        return None
    unit = NOTE_TYPES.get(text_of(mark, "beat-unit"))
    dots = min(len(mark.findall("beat-unit-dot")), 4)
    rate = number(found[0])
    return rate * unit * (2 - Fraction(1, 2**dots)) if unit and rate else None


def _feel(measure: Measure) -> str | None:
    """Return the feel that a measure's ``swing`` element or words set, if any."""
    swings = [swing for item in _sounding(measure) for swing in item.element.iter("swing")]
    if swings:
        return "straight" if _is_straight(swings[-1]) else "swing"
    texts = (text for item in measure.directions for text in direction_texts(item.element))
    return next((feel for text in texts if (feel := feel_word(text))), None)


def _is_straight(swing: Element) -> bool:
    return swing.find("straight") is not None or text_of(swing, "first") == text_of(swing, "second")
