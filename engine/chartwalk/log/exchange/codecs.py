"""The values of one field in a JSON line: how each kind is written, and read with care."""

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, date, datetime
from fractions import Fraction
from typing import Any, Final

from chartwalk.log.records import Anchor, Kind

_ID: Final = re.compile(r"[0-9a-f]{32}")
_PRINT: Final = re.compile(r"[0-9a-f]{16}")
_BEAT: Final = re.compile(r"[0-9]{1,80}(/[0-9]{1,80})?")
MOST: Final = 10**9  # more than any count is; SQLite holds it
PASS_KINDS: Final = ("run", "loop", "drill", "step")


@dataclass(frozen=True, slots=True)
class Codec:
    """How a value is written as JSON, and read; ``read`` raises ValueError saying what fits."""

    write: Callable[[Any], object]
    read: Callable[[object], Any]


def _same(value: object) -> object:
    return value


def _text(value: object) -> str:
    if not isinstance(value, str):
        raise ValueError("wants a text")
    value.encode()  # a UnicodeEncodeError is a ValueError: half a character
    return value


def _matching(pattern: re.Pattern[str], wanted: str) -> Codec:
    def read(value: object) -> str:
        if not isinstance(value, str) or not pattern.fullmatch(value):
            raise ValueError(f"wants {wanted}")
        return value

    return Codec(_same, read)


def _count(value: object) -> int:
    if type(value) is not int or not 0 <= value < MOST:
        raise ValueError("wants a whole number from 0")
    return value


def _shift(value: object) -> int:
    if type(value) is not int or abs(value) > 99:
        raise ValueError("wants a number of semitones")
    return value


def _number(value: object) -> float:
    if isinstance(value, int | float) and not isinstance(value, bool) and 0 <= value < MOST:
        return float(value)
    raise ValueError("wants a number from 0")  # NaN is none


def _flag(value: object) -> bool:
    if not isinstance(value, bool):
        raise ValueError("wants true or false")
    return value


def _time(value: object) -> datetime:
    try:
        time = datetime.fromisoformat(_text(value))
        if time.tzinfo is None:
            raise ValueError
        return time.astimezone(UTC)
    except (ValueError, OverflowError):
        raise ValueError("wants a time such as 2024-05-06T07:08:09+00:00") from None


def _day(value: object) -> date:
    try:
        return date.fromisoformat(_text(value))
    except ValueError:
        raise ValueError("wants a day such as 2024-05-06") from None


def _beat(value: object) -> Fraction | None:
    if value is None:
        return None
    if not isinstance(value, str) or not _BEAT.fullmatch(value):
        raise ValueError("wants a beat such as 1 or 5/2")
    try:
        return Fraction(value)
    except ZeroDivisionError:
        raise ValueError("wants a beat such as 1 or 5/2") from None


def _kind(value: object) -> Kind:
    try:
        return Kind(_text(value))
    except ValueError:
        words = ", ".join(kind.value for kind in Kind if kind.value)
        raise ValueError(f"wants nothing or one of {words}") from None


def _pass_kind(value: object) -> str:
    if value not in PASS_KINDS:
        raise ValueError(f"wants one of {', '.join(PASS_KINDS)}")
    return _text(value)


def _prints(value: object) -> tuple[str, ...]:
    if not isinstance(value, list):
        raise ValueError("wants a list of fingerprints")
    return tuple(_FINGERPRINT.read(each) for each in value)


def _ids(value: object) -> tuple[str, ...]:
    if not isinstance(value, list):
        raise ValueError("wants a list of ids")
    return tuple(ID.read(each) for each in value)


def _anchor(value: object) -> Anchor:
    parts = [*_ANCHOR]
    if not isinstance(value, dict) or sorted(value) != sorted(parts):
        raise ValueError(f"wants {', '.join(parts)}")
    return Anchor(*(_ANCHOR[part].read(value[part]) for part in parts))


def _parts(anchor: Anchor) -> object:
    return {part: getattr(anchor, field) for part, field in zip(_ANCHOR, _FIELDS, strict=True)}


def _span(value: object) -> tuple[int, int] | None:
    if value is None:
        return None
    if not isinstance(value, list) or len(value) != 2:
        raise ValueError("wants two bars, or null")
    return _count(value[0]), _count(value[1])


def optional(codec: Codec) -> Codec:
    """Return the same kind of value, or null."""

    def write(value: object) -> object:
        return None if value is None else codec.write(value)

    def read(value: object) -> object:
        return None if value is None else codec.read(value)

    return Codec(write, read)


def _isoformat(value: datetime | date) -> str:
    return value.isoformat()


def _value(kind: Kind) -> str:
    return kind.value


def _written_beat(beat: Fraction | None) -> str | None:
    return None if beat is None else str(beat)


ID: Final = _matching(_ID, "32 hex digits")
_FINGERPRINT: Final = _matching(_PRINT, "16 hex digits")
_NEIGHBOUR: Final = _matching(re.compile(rf"({_PRINT.pattern})?"), "16 hex digits, or nothing")
TEXT: Final = Codec(_same, _text)
COUNT: Final = Codec(_same, _count)
SHIFT: Final = Codec(_same, _shift)
NUMBER: Final = Codec(_same, _number)
FLAG: Final = Codec(_same, _flag)
TIME: Final = Codec(_isoformat, _time)
DAY: Final = Codec(_isoformat, _day)
BEAT: Final = Codec(_written_beat, _beat)
KIND: Final = Codec(_value, _kind)
PASS_KIND: Final = Codec(_same, _pass_kind)
PRINTS: Final = Codec(list, _prints)
IDS: Final = Codec(list, _ids)
_ANCHOR: Final = {
    "print": _NEIGHBOUR, "before": _NEIGHBOUR, "after": _NEIGHBOUR, "bar": COUNT, "number": TEXT,
}  # fmt: skip
_FIELDS: Final = ("print_", "before", "after", "bar", "number")
ANCHOR: Final = Codec(_parts, _anchor)
SPAN: Final = Codec(optional(Codec(list, _same)).write, _span)
