"""Reading chartwalk's own files: what stands there is taken as it stands, nothing is mended.

The signs are those that `out` writes. A file that holds anything else, since someone worked on it
by hand, is no file of our own any more and is read like any other.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Final
from xml.etree.ElementTree import Element

from chartwalk.chart import (
    FASTEST,
    FINEST,
    JUMPS,
    SLOWEST,
    Bar,
    Change,
    Chart,
    RoadMark,
    Section,
    Sign,
)
from chartwalk.chord import ChordSymbol
from chartwalk.key import Key
from chartwalk.meter import Meter
from chartwalk.musicxml.fermatas import is_drawn
from chartwalk.musicxml.ours import (
    NOTE_FIELD,
    TEMPO_DIGITS,
    VOICE_FIELD,
    beats_a_minute,
    is_ours,
    parse_voice,
)
from chartwalk.musicxml.ours import field as own_field
from chartwalk.musicxml.own_notes import OwnNotes, count, spelled
from chartwalk.pitch import Name

_WORDS: Final = {sign.words: sign for sign in JUMPS}
_GOALS: Final = (
    ("segno", Sign.SEGNO), ("coda", Sign.CODA), ("tocoda", Sign.TO_CODA), ("fine", Sign.FINE),
)  # fmt: skip
_OTHERS: Final = frozenset({"attributes", "direction", "barline"})
_PASSES: Final = re.compile(r"\d{1,2}(?:,\d{1,2})*", re.ASCII)
_TEMPO: Final = re.compile(rf"\d{{1,6}}(?:\.\d{{1,{TEMPO_DIGITS}}})?", re.ASCII)


def own_chart(root: Element) -> Chart | None:
    """Return the chart of a file of our own; None where it is not, or not any more."""
    parts, listed = root.findall("part"), root.findall("part-list/score-part")
    if root.tag != "score-partwise" or max(len(parts), len(listed)) != 1 or not is_ours(root):
        return None
    try:
        return Chart(
            title=root.findtext("work/work-title", ""),
            sections=tuple(_sections(parts[0])),
            credit=root.findtext("identification/creator", ""),
            note=own_field(root, NOTE_FIELD),
            voice=parse_voice(own_field(root, VOICE_FIELD)),
        )
    except ValueError:
        return None


@dataclass(slots=True)
class _Held:
    """What is in force from bar to bar."""

    units: int = 1
    key: Key = field(default_factory=Key)
    meter: Meter = field(default_factory=Meter)
    tempo: str = ""
    feel: str = "straight"


def _sections(part: Element) -> Iterator[Section]:
    held = _Held()
    name, bars = "", []  # type: str, list[Bar]
    for measure in part.findall("measure"):
        mark = measure.find("direction/direction-type/rehearsal")
        if mark is not None:
            if bars:
                yield Section(name, tuple(bars))
            name, bars = mark.text or "", []
        bars.append(_bar(measure, held))
    yield Section(name, tuple(bars))


def _bar(measure: Element, held: _Held) -> Bar:
    for attributes in measure.findall("attributes"):
        _attributes(attributes, held)
    sounds = measure.findall("direction/sound")
    for sound in sounds:
        held.tempo = sound.get("tempo", held.tempo)
        swing = sound.find("swing")
        if swing is not None:
            held.feel = "straight" if swing.find("straight") is not None else "swing"
    notes = OwnNotes(held.units)
    changes = []
    for child in measure:
        if child.tag == "harmony":
            changes.append(Change(_place(child, notes), _symbol(child)))
        elif child.tag == "direction" and is_drawn(child):
            notes.fermatas.append(_place(child, notes))
        elif child.tag == "note":
            notes.note(child)
        elif child.tag == "backup":
            notes.backup(child)
        elif child.tag not in _OTHERS:
            raise ValueError(f"no {child.tag} in a file of our own")
    pickup = measure.get("implicit") == "yes"
    tune = tuple(notes.tune)
    return Bar(
        number=measure.get("number", ""),
        meter=held.meter,
        key=held.key,
        tempo=_tempo(held),
        feel=held.feel,
        length=sum((note.length for note in tune), Fraction(0)) if pickup else held.meter.quarters,
        pickup=pickup,
        changes=tuple(changes),
        tune=tune,
        words=notes.words(),
        marks=tuple(_marks(measure)),
        fermatas=tuple(sorted(notes.fermatas)),
        double="light-light" in {style.text for style in measure.iterfind("barline/bar-style")},
    )


def _place(child: Element, notes: OwnNotes) -> Fraction:
    """Return the place of what stands above the notes."""
    return notes.at + Fraction(count(child.findtext("offset", "0")), notes.units)


def _attributes(attributes: Element, held: _Held) -> None:
    for child in attributes:
        if child.tag == "divisions":
            held.units = count(child.text)
            if not 0 < held.units < FINEST:
                raise ValueError("no number of units")
        elif child.tag == "key":
            held.key = Key(count(child.findtext("fifths")), child.findtext("mode", ""))
        elif child.tag == "time":
            beats, unit = child.findtext("beats", ""), child.findtext("beat-type", "")
            held.meter = Meter.parse(f"{beats}/{unit}")
        elif child.tag != "clef":
            raise ValueError(f"no {child.tag} in a file of our own")


def _tempo(held: _Held) -> Fraction:
    if not _TEMPO.fullmatch(held.tempo):
        raise ValueError("no tempo of our own")
    tempo = beats_a_minute(held.tempo, held.meter.beat)
    return max(Fraction(SLOWEST), min(Fraction(FASTEST), tempo))


def _symbol(harmony: Element) -> ChordSymbol:
    """Put the letters together again; raise ValueError where root or bass say otherwise."""
    kind = harmony.find("kind")
    letters = "" if kind is None else kind.get("text", "")
    if kind is not None and kind.text == "none":
        return ChordSymbol.parse(letters)
    names = {role: _name(harmony, role) for role in ("root", "bass")}
    slash = f"/{names['bass'][1]}" if names["bass"][1] else ""
    symbol = ChordSymbol.parse(f"{names['root'][1]}{letters}{slash}")
    if (symbol.root, symbol.bass) != (names["root"][0], names["bass"][0]):
        raise ValueError("another chord than its root and bass say")
    return symbol


def _name(harmony: Element, role: str) -> tuple[Name | None, str]:
    """Return the root or the bass and its letters as typed; none where there is none."""
    element = harmony.find(role)
    if element is None:
        return None, ""
    name, step = spelled(element, role), element.find(f"{role}-step")
    return name, name.ascii if step is None else step.get("text", name.ascii)


def _marks(measure: Element) -> Iterator[RoadMark]:
    for line in measure.findall("barline"):
        ending, repeat = line.find("ending"), line.find("repeat")
        if ending is not None and ending.get("type") == "start":
            yield RoadMark(Sign.ENDING, _passes(ending.get("number", "")))
        if repeat is not None and repeat.get("direction") == "forward":
            yield RoadMark(Sign.REPEAT_START)
        elif repeat is not None:
            times = count(repeat.get("times", "2"))
            again = repeat.get("after-jump") == "yes"
            yield RoadMark(Sign.REPEAT_END, (), times, again)
    for direction in measure.findall("direction"):
        sound = direction.find("sound")
        if sound is None:
            continue
        yield from (RoadMark(sign) for name, sign in _GOALS if sound.get(name))
        if sound.get("dacapo") or sound.get("dalsegno"):
            yield RoadMark(_jump(direction.findtext("direction-type/words", ""), sound))


def _jump(words: str, sound: Element) -> Sign:
    sign = _WORDS.get(words)
    if sign is None or sign.value.startswith("dc") != bool(sound.get("dacapo")):
        raise ValueError(f"{words!r} is no jump of our own")
    return sign


def _passes(text: str) -> tuple[int, ...]:
    if not _PASSES.fullmatch(text):
        raise ValueError(f"{text!r} is no list of passes")
    return tuple(map(int, text.split(",")))
