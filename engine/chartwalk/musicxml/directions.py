"""Jumps and their goals in one measure: its sounds, its words, and the segno sign.

What sounds goes before what is written, and what is written makes it more exact: ``dacapo`` with
the words D.C. al Fine is one D.C. al Fine. Source: MusicXML 4.0 ``sound``, ``words``, ``segno``.
"""

from collections.abc import Iterator
from fractions import Fraction
from typing import Final
from xml.etree.ElementTree import Element

from chartwalk.chart import JUMPS, Sign
from chartwalk.mending.words import road_sign
from chartwalk.musicxml.elements import direction_texts
from chartwalk.musicxml.measure import Measure, Placed

SOUNDS: Final = {
    "dacapo": Sign.DC, "dalsegno": Sign.DS, "segno": Sign.SEGNO, "tocoda": Sign.TO_CODA,
    "coda": Sign.CODA, "fine": Sign.FINE, "forward-repeat": Sign.REPEAT_START,
}  # fmt: skip
STARTING: Final = frozenset({Sign.SEGNO, Sign.CODA, Sign.REPEAT_START})
"""The signs that act at the start of a bar: of the next one where they stand after all notes."""
_CODAS: Final = frozenset({Sign.CODA, Sign.TO_CODA})


def directed(measure: Measure) -> tuple[tuple[Sign, Fraction], ...]:
    """Return the signs of a measure's directions and sounds, each family of jumps once.

    With each comes its place, in quarter notes after the bar line.
    """
    result: dict[Sign, Fraction] = {}
    for item in (*measure.directions, *measure.sounds):
        for sign in _signs(item):
            result.setdefault(sign, item.at)
    exact = {_family(sign) for sign in result if sign.value not in ("dc", "ds")}
    return tuple(
        (sign, at)
        for sign, at in result.items()
        if sign.value not in ("dc", "ds") or _family(sign) not in exact
    )


def _family(sign: Sign) -> str:
    return sign.value[:2] if sign in JUMPS else sign.value


def _signs(item: Placed) -> Iterator[Sign]:
    element = item.element
    sounded = _sounded(element)
    texts = direction_texts(element)
    written = [sign for text in texts if (sign := road_sign(text))]
    if written and road_sign(texts[0]):
        written = written[:1]  # the phrase as a whole; its pieces say less
    told = set()
    for sign in dict.fromkeys(written):
        if sign in JUMPS and (jumps := sounded & JUMPS):
            yield Sign(next(iter(jumps)).value + sign.value[2:])
            sounded -= JUMPS
        elif not (sign in _CODAS and sounded & _CODAS):
            told.add(sign)
            yield sign
    yield from sorted(sounded - told, key=str)
    drawn = element.find("direction-type/segno") is not None
    if drawn and not any(_family(sign) == "ds" for sign in (*written, *_sounded(element))):
        yield Sign.SEGNO


def _sounded(element: Element) -> frozenset[Sign]:
    """Return what the ``sound`` of a direction, or a sound by itself, says."""
    sound = element if element.tag == "sound" else element.find("sound")
    if sound is None:
        return frozenset()
    said = {name: sound.get(name, "") for name in SOUNDS}
    return frozenset(SOUNDS[name] for name, value in said.items() if value not in ("", "no"))
