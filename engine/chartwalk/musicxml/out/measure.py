"""One bar as a ``measure``: what begins, what sounds, what ends, in the order of the paper."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import partial
from operator import itemgetter
from xml.etree.ElementTree import Element

from chartwalk.chart import Bar, RoadMark
from chartwalk.musicxml.ours import beats_a_minute, decimal_tempo
from chartwalk.musicxml.out.chords import harmony
from chartwalk.musicxml.out.notes import Voice, note_elements
from chartwalk.musicxml.out.road import (
    directions_after,
    directions_before,
    feel_direction,
    fermata_direction,
    left_barline,
    right_barline,
    section_direction,
    tempo_direction,
)
from chartwalk.musicxml.out.xml import node


@dataclass(frozen=True, slots=True)
class Laid:
    """A bar laid out: ``units`` is how many units of a quarter its lengths need.

    ``section`` is the name of the section that is announced here, None where none is; ``stop`` the
    ending that stops here, and how; ``last`` marks the last bar.
    """

    bar: Bar
    voices: tuple[Voice, ...]
    units: int
    section: str | None = None
    stop: tuple[RoadMark, str] | None = None
    last: bool = False


@dataclass(slots=True)
class Held:
    """What a reader holds to be in force, while the bars are written one after another."""

    before: Bar | None = None
    units: int = 0
    tempo: str = ""


def measure(laid: Laid, units: int, held: Held) -> Element:
    """Return a bar in ``units`` to the quarter, and bring what is held up to date."""
    bar = laid.bar
    content = [
        *left_barline(bar),
        *_attributes(bar, units, held),
        *([] if laid.section is None else [section_direction(laid.section)]),
        *_tempo_and_feel(bar, held),
        *directions_before(bar),
        *_music(laid, units),
        *directions_after(bar),
        *right_barline(bar, laid.stop, laid.last),
    ]
    held.before, held.units = bar, units
    implicit = {"implicit": "yes"} if bar.pickup else {}
    return node("measure", content, number=bar.number, **implicit)


def _attributes(bar: Bar, units: int, held: Held) -> Iterator[Element]:
    before = held.before
    content = []
    if units != held.units:
        content.append(node("divisions", units))
    if before is None or bar.key != before.key:
        content.append(node("key", [node("fifths", bar.key.fifths), node("mode", bar.key.mode)]))
    if before is None or bar.meter != before.meter:
        beats, unit = str(bar.meter).split("/")
        content.append(node("time", [node("beats", beats), node("beat-type", unit)]))
    if before is None:
        content.append(node("clef", [node("sign", "G"), node("line", 2)]))
    if content:
        yield node("attributes", content)


def _tempo_and_feel(bar: Bar, held: Held) -> Iterator[Element]:
    """Yield a tempo and a feel where the bar before does not carry them on."""
    beat = bar.meter.beat
    if not held.tempo or beats_a_minute(held.tempo, beat) != bar.tempo:
        held.tempo = decimal_tempo(bar.tempo * beat)
        yield tempo_direction(bar)
    if bar.feel != (held.before.feel if held.before else "straight"):
        yield feel_direction(bar.feel)


def _music(laid: Laid, units: int) -> Iterator[Element]:
    """Yield the chords and the notes of a bar, every chord before the note it falls on."""
    bar = laid.bar
    waiting = sorted(_placed(laid), key=itemgetter(0), reverse=True)
    for number, voice in enumerate(laid.voices or ((),), 1):
        if number > 1:
            yield node("backup", [node("duration", int(bar.length * units))])
        notes = note_elements(voice, number, units, bar.key.altered) if voice else _rest(bar, units)
        for start, end, note in notes:
            while waiting and waiting[-1][0] < end:
                at, written = waiting.pop()
                yield written(int((at - start) * units))
            yield note


def _placed(laid: Laid) -> Iterator[tuple[Fraction, Callable[[int], Element]]]:
    """Yield what stands above the notes, each with its place and how it is written from there."""
    bar = laid.bar
    for change in bar.changes:
        yield change.at, partial(harmony, change.symbol)
    first = laid.voices[0] if laid.voices else ()
    on_notes = {each.at for each in first if each.fermata} if first else {Fraction(0)}
    for at in bar.fermatas:
        if at not in on_notes:
            yield at, fermata_direction


def _rest(bar: Bar, units: int) -> Iterator[tuple[Fraction, Fraction, Element]]:
    duration = node("duration", int(bar.length * units))
    held = [node("notations", [node("fermata")])] if Fraction(0) in bar.fermatas else []
    note = node("note", [node("rest", measure="yes"), duration, node("voice", 1), *held])
    yield Fraction(0), bar.length, note
