"""Road marks, section names, tempo, feel and fermatas: bar lines and directions.

What is printed and what sounds stand side by side, as the standard has them. Sources: MusicXML 4.0
``barline``, ``ending``, ``repeat`` (``times``, ``after-jump``), ``sound``, ``rehearsal``,
``metronome``, ``swing``, ``symbol``.
"""

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from typing import Final
from xml.etree.ElementTree import Element

from chartwalk.chart import JUMPS, Bar, RoadMark, Sign
from chartwalk.musicxml.measure import NOTE_TYPES
from chartwalk.musicxml.ours import FERMATA, decimal_tempo
from chartwalk.musicxml.out.xml import node

_SOUNDS: Final = {
    Sign.SEGNO: ("segno", "segno"), Sign.CODA: ("coda", "coda"), Sign.TO_CODA: ("tocoda", "coda"),
    Sign.FINE: ("fine", "yes"),
}  # fmt: skip
_AT_END: Final = (Sign.TO_CODA, Sign.FINE, *(sign for sign in Sign if sign in JUMPS))
_UNITS: Final = {length: name for name, length in NOTE_TYPES.items()}

Stops = Mapping[int, tuple[RoadMark, str]]
"""The bars in which endings stop: which ending, and whether with a jog (stop) or open."""


def stops(bars: Sequence[Bar], starts: Sequence[int]) -> Stops:
    """Return where each ending stops; ``starts`` are the first bars of the sections.

    It stops with its closing sign or before the next ending. A last one without a sign stops before
    the next double bar line or section, or is as long as the one before it (common practice, no
    source).
    """
    found: dict[int, tuple[RoadMark, str]] = {}
    heads = [(index, mark) for index, bar in enumerate(bars) if (mark := bar.mark(Sign.ENDING))]
    borders = {*starts, *(index + 1 for index, bar in enumerate(bars) if bar.double)}
    length = 1
    for (first, mark), following in zip(heads, [*heads[1:], (len(bars), None)], strict=False):
        limit, next_ending = following
        last, how = _stop(bars, range(first, limit))
        if not how:
            inside = (index for index in range(first + 1, last + 2) if index in borders)
            as_long = min(first + length, last + 1)
            border = last + 1 if next_ending and last + 1 == limit else next(inside, as_long)
            last, how = border - 1, "discontinue"
        found[last] = mark, how
        length = last - first + 1
    return found


def _stop(bars: Sequence[Bar], places: range) -> tuple[int, str]:
    """Return the bar of the closing sign, or else the last bar that can belong to an ending."""
    for index in places:
        if index > places.start and bars[index].mark(Sign.REPEAT_START):
            return index - 1, ""
        if bars[index].mark(Sign.REPEAT_END):
            return index, "stop"
    return places.stop - 1, ""


def left_barline(bar: Bar) -> Iterator[Element]:
    """Yield the bar line at the left, where an ending or a repeat starts."""
    ending, opening = bar.mark(Sign.ENDING), bar.mark(Sign.REPEAT_START)
    content = []
    if opening:
        content.append(node("bar-style", "heavy-light"))
    if ending:
        content.append(_ending(ending, "start"))
    if opening:
        content.append(node("repeat", direction="forward"))
    if content:
        yield node("barline", content, location="left")


def right_barline(bar: Bar, stop: tuple[RoadMark, str] | None, last: bool) -> Iterator[Element]:
    """Yield the bar line at the right, where it is more than a plain one."""
    closing = bar.mark(Sign.REPEAT_END)
    style = "light-light" if bar.double else "light-heavy" if closing or last else ""
    content = [node("bar-style", style)] if style else []
    if stop:
        content.append(_ending(*stop))
    if closing:
        more = {"times": str(closing.times)} if closing.times != 2 else {}
        more |= {"after_jump": "yes"} if closing.after_jump else {}
        content.append(node("repeat", direction="backward", **more))
    if content:
        yield node("barline", content, location="right")


def _ending(mark: RoadMark, kind: str) -> Element:
    numbers = ",".join(map(str, mark.passes))
    printed = ", ".join(f"{number}." for number in mark.passes) if kind == "start" else ""
    return node("ending", printed, number=numbers, type=kind)


def directions_before(bar: Bar) -> Iterator[Element]:
    """Yield the signs at the start of a bar: segno and coda."""
    for sign in (Sign.SEGNO, Sign.CODA):
        if bar.mark(sign):
            yield _direction(node(sign.value), **dict([_SOUNDS[sign]]))


def directions_after(bar: Bar) -> Iterator[Element]:
    """Yield the words at the end of a bar: 3x, To Coda, Fine and the jumps."""
    closing = bar.mark(Sign.REPEAT_END)
    if closing and closing.times != 2:
        yield _direction(node("words", f"{closing.times}x"))
    for sign in _AT_END:
        if bar.mark(sign):
            jump = ("dacapo", "yes") if sign.value.startswith("dc") else ("dalsegno", "segno")
            yield _direction(node("words", sign.words), **dict([_SOUNDS.get(sign, jump)]))


def section_direction(name: str) -> Element:
    """Return the rehearsal mark that begins a section; one without a name is not seen."""
    frame = {} if name else {"enclosure": "none"}
    return _direction(node("rehearsal", name, **frame))


def tempo_direction(bar: Bar) -> Element:
    """Return the metronome mark of a bar, in its own beats."""
    beat = bar.meter.beat
    plain = beat if beat in _UNITS else beat * Fraction(2, 3)
    dots = [node("beat-unit-dot")] if plain != beat else []
    printed = f"{float(bar.tempo):.2f}".rstrip("0").rstrip(".")
    mark = [node("beat-unit", _UNITS[plain]), *dots, node("per-minute", printed)]
    return _direction(node("metronome", mark), tempo=decimal_tempo(bar.tempo * beat))


def feel_direction(feel: str) -> Element:
    """Return the words and the sound that make eighths swing, or even again."""
    counts = [node("first", 2), node("second", 1), node("swing-type", "eighth")]
    swing = node("swing", counts if feel == "swing" else [node("straight")])
    words = node("direction-type", [node("words", feel.capitalize())])
    return node("direction", [words, node("sound", [swing])], placement="above")


def fermata_direction(offset: int) -> Element:
    """Return a fermata above the staff, ``offset`` divisions after the note it stands at."""
    printed = node("direction-type", [node("symbol", FERMATA)])
    moved = [node("offset", offset)] if offset else []
    return node("direction", [printed, *moved], placement="above")


def _direction(printed: Element, **sound: str) -> Element:
    content = [node("direction-type", [printed])]
    if sound:
        content.append(node("sound", **sound))
    return node("direction", content, placement="above")
