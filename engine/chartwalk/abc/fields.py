"""Meter, unit note length and tempo as their fields write them.

Source: ABC 2.1 sections 3.1.6 (``M:``), 3.1.7 (``L:``), 3.1.8 (``Q:``) and 10.1 (older forms).
"""

import re
from fractions import Fraction
from typing import Final

from chartwalk.abc.lexer import read_length
from chartwalk.meter import Meter

_METERS: Final = {"C": Meter(4, 4), "C|": Meter(2, 2)}
_FREE: Final = frozenset({"none", "free", ""})
_METER: Final = re.compile(r"\(?\s*(\d{1,2}(?:\s*\+\s*\d{1,2})*)\s*\)?\s*/\s*(\d{1,2})")
_UNIT: Final = re.compile(r"(\d{1,2})(?:\s*/\s*(\d{1,3}))?")
_STRING: Final = re.compile(r'"([^"]*)"?')
_BEATS: Final = re.compile(r"((?:\d{1,3}/\d{1,3}\s*)+)=\s*(\d{1,4}(?:\.\d{1,6})?)")
_OLD: Final = re.compile(r"(?:[A-Ga-g](\d{0,2}(?:/\d{1,2})?)\s*=\s*)?(\d{1,4}(?:\.\d{1,6})?)")
WHOLE: Final = Fraction(4)  # quarter notes


def read_meter(text: str) -> Meter | None:
    """Read a meter; None is free meter. Raise ValueError on what is none.

    >>> str(read_meter("C|")), str(read_meter("(2+3+2)/8")), read_meter("none")
    ('2/2', '2+3+2/8', None)
    """
    text = text.strip()
    if text.lower() in _FREE:
        return None
    if text in _METERS:
        return _METERS[text]
    match = _METER.fullmatch(text)
    if not match:
        raise ValueError(f"{text!r} is no meter: write 4/4, 6/8, C, C| or none")
    return Meter.grouped([int(count) for count in match[1].split("+")], int(match[2]))


def near_meter(text: str) -> Meter | None:
    """Return the meter that stands somewhere in a text, if one does.

    >>> str(near_meter("FREI4/4")), near_meter("quick")
    ('4/4', None)
    """
    match = _METER.search(text)
    try:
        return read_meter(match[0]) if match else None
    except ValueError:
        return None


def default_unit(meter: Meter | None) -> Fraction:
    """Return the unit note length, in quarter notes, where no ``L:`` gives one.

    >>> default_unit(Meter(2, 4)), default_unit(Meter(6, 8)), default_unit(None)
    (Fraction(1, 4), Fraction(1, 2), Fraction(1, 2))
    """
    short = meter is not None and meter.quarters < WHOLE * 3 / 4
    return WHOLE / 16 if short else WHOLE / 8


def read_unit(text: str) -> Fraction:
    """Read a unit note length, in quarter notes; raise ValueError on what is none.

    >>> read_unit("1/8"), read_unit("1")
    (Fraction(1, 2), Fraction(4, 1))
    """
    match = _UNIT.fullmatch(text.strip())
    top, bottom = (int(match[1]), int(match[2] or 1)) if match else (0, 0)
    if not top or not bottom:
        raise ValueError(f"{text.strip()!r} is no note length: write 1/4, 1/8 or 1/16")
    return WHOLE * top / bottom


def read_tempo(text: str, unit: Fraction) -> tuple[Fraction | None, str]:
    """Read a tempo: quarter notes a minute, None where only words stand, and the words.

    ``unit`` is the unit note length; the older forms ``120`` and ``C3=40`` count in it. Raise
    ValueError on what is no tempo.

    >>> read_tempo('"Slowly" 3/8=50', Fraction(1, 2)), read_tempo("1/4 3/8=60", Fraction(1))
    ((Fraction(75, 1), 'Slowly'), (Fraction(150, 1), ''))
    >>> read_tempo("120", Fraction(1, 2)), read_tempo("C3=40", Fraction(1, 2))
    ((Fraction(60, 1), ''), (Fraction(60, 1), ''))
    """
    words = " ".join(match[1].strip() for match in _STRING.finditer(text))
    figures = _STRING.sub(" ", text).strip()
    if not figures:
        return None, words
    try:
        tempo = _figures(figures, unit)
    except (ValueError, ZeroDivisionError):
        tempo = Fraction(0)
    if not tempo:
        raise ValueError(f"{figures!r} is no tempo: write 1/4=120")
    return tempo, words


def _figures(text: str, unit: Fraction) -> Fraction:
    match = _BEATS.fullmatch(text)
    if match:
        beat = sum((Fraction(beat) for beat in match[1].split()), Fraction(0))
        return WHOLE * beat * Fraction(match[2])
    match = _OLD.fullmatch(text)
    if not match:
        return Fraction(0)
    return unit * read_length(match[1] or "") * Fraction(match[2])
