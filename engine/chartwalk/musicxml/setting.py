"""What holds from bar to bar: key, meter, tempo and feel.

Sources: MusicXML 4.0 ``key``, ``time``; a signature for one staff of several bears its number.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final
from xml.etree.ElementTree import Element

from chartwalk.key import Key
from chartwalk.mending.lengths import meter_of
from chartwalk.mending.notices import Notice, at
from chartwalk.mending.texts import quoted
from chartwalk.meter import UNITS, Meter
from chartwalk.musicxml.elements import text_of, whole
from chartwalk.musicxml.measure import ZERO, Measure, Placed
from chartwalk.musicxml.tempo import feel_of, tempo_after

_MODES: Final = frozenset({"", "none", "major", "minor"})

Said = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Setting:
    """What is in force in a bar; ``quarters`` is the tempo in quarter notes a minute.

    ``meter`` and ``quarters`` are None as long as the file has said nothing about them.
    """

    key: Key = Key()
    meter: Meter | None = None
    quarters: Fraction | None = None
    feel: str = "straight"


def follow(
    measures: Iterable[Measure], staff: int = 1
) -> tuple[tuple[Setting, ...], tuple[Notice, ...]]:
    """Return what holds in each measure of a staff.

    What is written after a measure's first note holds from the next measure on, the feel excepted.
    """
    held = Setting()
    settings: list[Setting] = []
    notices: list[Notice] = []
    for bar, measure in enumerate(measures):
        here = held
        if measure.attributes or measure.directions or measure.sounds:
            here, held, said = _measured(held, measure, staff)
            notices += at(bar, said)
        settings.append(here)
    return tuple(settings), tuple(notices)


def _measured(held: Setting, measure: Measure, staff: int) -> tuple[Setting, Setting, Said]:
    """Return what holds in a measure, what holds after it, and what can't be kept."""
    now, next_ = _split(measure.attributes)
    here, said = _attributes(held, now, staff)
    sounding = measure.directions + measure.sounds
    tempos, next_tempos = _split(sounding)
    quarters, told = tempo_after(here.quarters, tempos)
    here = replace(here, quarters=quarters, feel=feel_of(sounding) or here.feel)
    later, said_later = _attributes(here, next_, staff)
    quarters, told_later = tempo_after(later.quarters, next_tempos)
    return here, replace(later, quarters=quarters), (*said, *said_later, *told, *told_later)


def _split(placed: Iterable[Placed]) -> tuple[list[Placed], list[Placed]]:
    placed = list(placed)
    return [item for item in placed if not item.at], [item for item in placed if item.at]


def _attributes(held: Setting, placed: Iterable[Placed], staff: int) -> tuple[Setting, Said]:
    messages: Said = ()
    for item in placed:
        for element in item.element:
            if whole(element.get("number", "1")) != staff and element.get("number"):
                continue
            if element.tag == "key":
                key, said = _key(element)
                held = replace(held, key=key or held.key)
                messages += said
            elif element.tag == "time":
                meter = _meter(element)
                if element.find("senza-misura") is not None:
                    messages += ("a passage without a meter is read in the meter before it",)
                elif meter is None:
                    messages += (f"the meter {_quoted_time(element)} can't be read: left out",)
                held = replace(held, meter=meter or held.meter)
    return held, messages


def _key(element: Element) -> tuple[Key | None, Said]:
    fifths = whole(text_of(element, "fifths"))
    if fifths is None:
        return None, ("a key without a count of sharps or flats can't be read: left out",)
    mode = text_of(element, "mode").lower()
    key = Key(max(-7, min(7, fifths)), "minor" if mode == "minor" else "major")
    messages: Said = ()
    if abs(fifths) > 7:
        messages += (f"a key of {abs(fifths)} sharps or flats is read as {key}",)
    if mode not in _MODES:
        messages += (f"the mode {quoted(mode)} is not kept: its signature is read as {key}",)
    return key, messages


def _meter(element: Element) -> Meter | None:
    """Add up the signatures of a ``time``: 3+2 over 8, or 3/8 and 2/8 side by side.

    What is counted in one kind of note keeps its groups.
    """
    groups: list[tuple[int, int]] = []
    for beats, unit in zip(element.findall("beats"), element.findall("beat-type"), strict=False):
        counts = [whole(part) or 0 for part in text_of(beats).split("+")]
        size = whole(text_of(unit)) or 0
        if size not in UNITS or min(counts) < 1:
            return None
        groups += [(count, size) for count in counts]
    sizes = {size for _, size in groups}
    total = sum((Fraction(4 * count, size) for count, size in groups), ZERO)
    meter = meter_of(total, max(sizes)) if sizes else None
    return Meter.grouped([n for n, _ in groups], meter.unit) if meter and len(sizes) == 1 else meter


def _quoted_time(element: Element) -> str:
    return quoted(f"{text_of(element, 'beats')}/{text_of(element, 'beat-type')}")
