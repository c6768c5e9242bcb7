"""The lines of a log that is written out: one JSON object each, its fields told by its ``record``.

The file is UTF-8, one object a line, the songs first. ``log`` is the first line; ``layout`` is the
number of this table. All fields are there in every line. Ids, times, days and fingerprints are as
in `chartwalk.log.records`; a beat is text such as ``5/2``.

========= =====================================================================================
record    fields
========= =====================================================================================
log       layout
song      id, also (other ids it was known by), path, title, opened, prints
run       id, song, kind, time, day, seconds
pass      id, song, run, first, last, steps, tempo, goal, depth, shift, hands, kind, clean, whole,
          time, day, seconds, span (first and last bar in today's chart, or null)
mark      id, song, anchor, beat, chord, came_from, pass, kind, words, tempo, goal, time, day, bar
          (in today's chart, or null), amended (when kind or words were changed last)
unmarked  id (of a mark that was taken back)
choice    song, name, value (null: taken back), changed; what was chosen for a song
setting   name, value; what was chosen on this machine
========= =====================================================================================

``first``, ``last`` and ``anchor`` are objects of print, before, after, bar and number.
"""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final

from chartwalk.log.exchange import codecs
from chartwalk.log.exchange.codecs import Codec
from chartwalk.log.records import MarkRecord, PassRecord, RunRecord, SongRecord

LAYOUT: Final = 1


@dataclass(frozen=True, slots=True)
class HeadLine:
    """The first line: the number of the layout."""

    layout: int = LAYOUT


@dataclass(frozen=True, slots=True)
class SongLine:
    """A song and the other ids that it was known by."""

    song: SongRecord
    also: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class MarkLine:
    """A mark, and when its kind or words were changed last."""

    mark: MarkRecord
    amended: datetime


@dataclass(frozen=True, slots=True)
class UnmarkedLine:
    """A mark that was taken back."""

    id: str


@dataclass(frozen=True, slots=True)
class ChoiceLine:
    """What was chosen for a song."""

    song: str
    name: str
    value: str | None
    changed: datetime


@dataclass(frozen=True, slots=True)
class SettingLine:
    """What was chosen on a machine."""

    name: str
    value: str


Line = (
    HeadLine | SongLine | RunRecord | PassRecord | MarkLine | UnmarkedLine | ChoiceLine
    | SettingLine
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Shape:
    """A kind of line: what it makes and the fields of that; ``inner`` is a record within."""

    make: type[Any]
    fields: Mapping[str, Codec]
    inner: "tuple[str, Shape] | None" = None

    @property
    def all_fields(self) -> dict[str, Codec]:
        """The fields of the line, those of the record within first."""
        return {**(self.inner[1].all_fields if self.inner else {}), **self.fields}

    def write(self, value: Any) -> dict[str, object]:  # noqa: ANN401 - an instance of `make`
        """Return the fields of a value."""
        inner = self.inner[1].write(getattr(value, self.inner[0])) if self.inner else {}
        fields = self.fields.items()
        return inner | {name: codec.write(_get(value, name)) for name, codec in fields}

    def build(self, values: Mapping[str, object]) -> Any:  # noqa: ANN401 - see `write`
        """Return the value with these fields, already read."""
        own = {_attribute(self.make, name): values[name] for name in self.fields}
        inner = {self.inner[0]: self.inner[1].build(values)} if self.inner else {}
        return self.make(**inner, **own)


def _attribute(make: type[Any], name: str) -> str:
    return f"{name}_" if f"{name}_" in make.__dataclass_fields__ else name


def _get(value: Any, name: str) -> Any:  # noqa: ANN401 - any field
    return getattr(value, _attribute(type(value), name))


_WHEN: Final = {"time": codecs.TIME, "day": codecs.DAY}
_SONG: Final = Shape(
    SongRecord,
    {
        "id": codecs.ID, "path": codecs.TEXT, "title": codecs.TEXT, "opened": codecs.TIME,
        "prints": codecs.PRINTS,
    },
)  # fmt: skip
_MARK: Final = Shape(
    MarkRecord,
    {
        "id": codecs.ID, "song": codecs.ID, "anchor": codecs.ANCHOR, "beat": codecs.BEAT,
        "chord": codecs.TEXT, "came_from": codecs.TEXT, "pass": codecs.COUNT, "kind": codecs.KIND,
        "words": codecs.TEXT, "tempo": codecs.NUMBER, "goal": codecs.NUMBER, **_WHEN,
        "bar": codecs.optional(codecs.COUNT),
    },
)  # fmt: skip
SHAPES: Final = {
    "log": Shape(HeadLine, {"layout": codecs.COUNT}),
    "song": Shape(SongLine, {"also": codecs.IDS}, ("song", _SONG)),
    "run": Shape(
        RunRecord,
        {
            "id": codecs.ID, "song": codecs.ID, "kind": codecs.PASS_KIND, **_WHEN,
            "seconds": codecs.NUMBER,
        },
    ),
    "pass": Shape(
        PassRecord,
        {
            "id": codecs.ID, "song": codecs.ID, "run": codecs.ID, "first": codecs.ANCHOR,
            "last": codecs.ANCHOR, "steps": codecs.COUNT, "tempo": codecs.NUMBER,
            "goal": codecs.NUMBER, "depth": codecs.TEXT, "shift": codecs.SHIFT,
            "hands": codecs.TEXT, "kind": codecs.PASS_KIND, "clean": codecs.FLAG,
            "whole": codecs.FLAG, **_WHEN, "seconds": codecs.NUMBER, "span": codecs.SPAN,
        },
    ),
    "mark": Shape(MarkLine, {"amended": codecs.TIME}, ("mark", _MARK)),
    "unmarked": Shape(UnmarkedLine, {"id": codecs.ID}),
    "choice": Shape(
        ChoiceLine,
        {
            "song": codecs.ID, "name": codecs.TEXT, "value": codecs.optional(codecs.TEXT),
            "changed": codecs.TIME,
        },
    ),
    "setting": Shape(SettingLine, {"name": codecs.TEXT, "value": codecs.TEXT}),
}  # fmt: skip
_NAMES: Final = {shape.make: name for name, shape in SHAPES.items()}


class LineError(ValueError):
    """A line that can't be read, with all that is wrong with it."""

    def __init__(self, *messages: str) -> None:
        self.messages = messages
        super().__init__("; ".join(messages))


def to_text(line: Line) -> str:
    """Return a line without its ending.

    >>> to_text(UnmarkedLine("0" * 32))
    '{"record": "unmarked", "id": "00000000000000000000000000000000"}'
    """
    name = _NAMES[type(line)]
    return json.dumps({"record": name, **SHAPES[name].write(line)}, ensure_ascii=False)


def from_text(text: str) -> Line:
    """Read a line; raise LineError."""
    try:
        fields = json.loads(text)
    except (ValueError, RecursionError) as error:
        raise LineError(f"no JSON: {error}") from None
    if not isinstance(fields, dict):
        raise LineError("a line is one JSON object")
    name = fields.pop("record", None)
    shape = SHAPES.get(name) if isinstance(name, str) else None
    if shape is None:
        raise LineError(f"record is one of {', '.join(SHAPES)}, not {name!r:.40}")
    wanted = shape.all_fields
    wrong = [f"{name} has no field {extra!r:.40}" for extra in fields if extra not in wanted]
    values: dict[str, object] = {}
    for field, codec in wanted.items():
        if field not in fields:
            wrong.append(f"{field} is missing")
            continue
        try:
            values[field] = codec.read(fields[field])
        except ValueError as error:
            wrong.append(f"{field} {error}, not {fields[field]!r:.40}")
    if wrong:
        raise LineError(*wrong)
    line: Line = shape.build(values)
    return line
