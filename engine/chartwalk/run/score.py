"""From turns to the schedule that the clock plays: click and guide in exact time."""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import zip_longest
from typing import Final

from chartwalk.click import ClickStyle, Stress, counted, strokes
from chartwalk.clock.schedule import NOTE_OFF, NOTE_ON, Event, ScheduledBar
from chartwalk.guide import Guide, Heard, Part, Voice, heard
from chartwalk.run import transport
from chartwalk.run.keys import Key, key_of, note_off, untangled
from chartwalk.run.timing import Timing
from chartwalk.run.turn import Turn
from chartwalk.song import Song

PERCUSSION: Final = 9  # channel 10, counted from 0 as in the messages
CONTROL: Final = 0xB0
PROGRAM: Final = 0xC0
VOLUME: Final = 7
SOFTER: Final = {
    Stress.FIRST: Fraction(1), Stress.GROUP: Fraction(7, 8), Stress.BEAT: Fraction(3, 4),
    Stress.BETWEEN: Fraction(1, 2),
}  # fmt: skip
"""How loud a stroke is beside the first of the bar (common practice, no source)."""
VELOCITIES: Final = {Part.CHORDS: 60, Part.BASS: 72, Part.TUNE: 84}


@dataclass(frozen=True, slots=True)
class Manner:
    """How a run is played: the click, the guide, and whether MIDI clock goes out."""

    click: ClickStyle = field(default_factory=ClickStyle)
    guide: Guide = field(default_factory=Guide)
    midi_clock: bool = False


@dataclass(frozen=True, slots=True)
class Score:
    """Turns, the bar of the schedule that plays each of them, and how long fermatas hold in it."""

    turns: tuple[Turn, ...] = ()
    bars: tuple[ScheduledBar, ...] = ()
    holds: tuple[int, ...] = ()

    def place(self, index: int, tick: float) -> Fraction:
        """Return the place in a turn's own bar, in quarter notes."""
        return Timing(self.turns[index], self.holds[index]).place(tick)

    def spliced(self, first: int, more: "Score") -> "Score":
        """Return the score with other turns from ``first`` on."""
        return Score(
            self.turns[:first] + more.turns,
            self.bars[:first] + more.bars,
            self.holds[:first] + more.holds,
        )


def make_score(
    turns: Sequence[Turn],
    manner: Manner,
    song: Song | None = None,
    around: tuple[Turn | None, Turn | None] = (None, None),
    *,
    anew: bool = False,
) -> Score:
    """Write turns out as a schedule; a guide and MIDI clock need the ``song`` they are steps of.

    ``around`` are the turn that the first one goes on from and the one that the last one leads to.
    Without a turn before them, or ``anew`` in place of others that may have led up to something
    else, the parts are set up, and nothing is taken to sound already.
    """
    before, after = around
    row = (before, *turns, after)
    fresh = anew or before is None
    bars = tuple(
        _bar(_Placed(turn, row[place], row[place + 2], fresh and not place), manner, song)
        for place, turn in enumerate(turns)
    )
    return Score(tuple(turns), bars, (manner.click.hold,) * len(bars))


@dataclass(frozen=True, slots=True)
class _Placed:
    """A turn between its neighbours; ``fresh`` where nothing sounds already."""

    turn: Turn
    before: Turn | None
    after: Turn | None
    fresh: bool

    @property
    def led(self) -> bool:
        """Whether a note can sound on from the turn before."""
        return self.before is not None and not self.fresh and _leads(self.before, self.turn)

    @property
    def leads(self) -> bool:
        """Whether a note can sound on into the turn after."""
        return self.after is not None and _leads(self.turn, self.after)


def _bar(placed: _Placed, manner: Manner, song: Song | None) -> ScheduledBar:
    turn = placed.turn
    timing = Timing(turn, manner.click.hold)
    events = list(_click(turn, manner.click))
    sounding: Counter[Key] = Counter()
    if placed.fresh:
        events += _set_up(manner.guide)
    if song:
        for note, on, off in _played(turn, manner, song):
            if note.held and placed.led:
                sounding[key_of(on.message)] += 1
            else:
                events.append(on)
            if not (note.on and placed.leads):
                events.append(off)
        if manner.midi_clock:
            events += transport.messages(turn, song, timing.ticks, placed.before)
    events.sort(key=_order)
    return ScheduledBar(timing.ticks, timing.tick_seconds, tuple(untangled(events, sounding)))


def _order(event: Event) -> tuple[int, bool, bool]:
    """Put what ends before what begins at the same tick, and settings before both."""
    kind = event.message[0] & 0xF0
    return (event.tick, kind in {NOTE_OFF, NOTE_ON}, kind == NOTE_ON)


def _click(turn: Turn, style: ClickStyle) -> tuple[Event, ...]:
    if turn.silent or not style.audible:
        return ()
    bar, timing = turn.bar, Timing(turn, style.hold)
    places = (
        strokes(bar, style) if turn.counted is None else counted(turn.counted, bar.meter, style)
    )
    keys = {
        Stress.FIRST: style.first, Stress.GROUP: style.first,
        Stress.BEAT: style.beat, Stress.BETWEEN: style.off,
    }  # fmt: skip
    events: list[Event] = []
    for place, after in zip_longest(places, places[1:]):
        until = place.at + bar.meter.beat / 4
        if after:
            until = min(until, after.at)
        velocity = max(1, round(style.volume * SOFTER[place.stress]))
        note = bytes([NOTE_ON | PERCUSSION, keys[place.stress], velocity])
        events += _note(timing, note, place.at, until)
    return tuple(events)


def _played(turn: Turn, manner: Manner, song: Song) -> Iterator[tuple[Heard, Event, Event]]:
    """Yield each note of the guide with the events that begin and end it."""
    if turn.silent or turn.counted is not None:
        return
    timing = Timing(turn, manner.click.hold)
    for part in sorted(manner.guide.parts, key=list(Part).index):
        channel = manner.guide.voices[part].channel - 1
        for note in heard(song, turn.step, part, manner.click.swing):
            begin = bytes([NOTE_ON | channel, note.key, VELOCITIES[part]])
            yield (note, *_note(timing, begin, note.at, note.at + note.length))


def _leads(turn: Turn, after: Turn) -> bool:
    """Whether a note can sound from one turn on into the other."""
    song = turn.counted is None and after.counted is None
    return song and after.step == turn.step + 1 and not (turn.silent or after.silent)


def _note(timing: Timing, note: bytes, at: Fraction, until: Fraction) -> tuple[Event, Event]:
    """Return the events that begin and end a note, given the message that begins it."""
    start = timing.start(at)
    return Event(start, note), Event(timing.end(until, start), note_off(key_of(note)))


def _set_up(guide: Guide) -> Iterator[Event]:
    """Choose the program and the volume of the parts that play."""
    for part in sorted(guide.parts, key=list(Part).index):
        voice: Voice = guide.voices[part]
        if voice.program is not None:
            yield Event(0, bytes([PROGRAM | voice.channel - 1, voice.program - 1]))
        yield Event(0, bytes([CONTROL | voice.channel - 1, VOLUME, voice.volume]))
