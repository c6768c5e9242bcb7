"""The metronome: from bars of the play order to the schedule that the clock plays.

The click is General MIDI percussion on channel 10: the high wood block (76) on the first beat of a
bar, the low one (77) on the others (General MIDI level 1 percussion map). One bar is counted in,
two where a bar has a single beat: from one click nobody knows the tempo. Before a pickup the beats
that lead to it are counted as well (common practice, no source).
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import Final

from chartwalk.chart import Bar
from chartwalk.clock.schedule import NOTE_OFF, NOTE_ON, TICKS_PER_QUARTER, Event, ScheduledBar
from chartwalk.meter import Meter

PERCUSSION: Final = 9  # channel 10, counted from 0 as in the messages
HIGH_WOOD_BLOCK: Final = 76
LOW_WOOD_BLOCK: Final = 77
ACCENT_VELOCITY: Final = 112
BEAT_VELOCITY: Final = 84
LEAST_COUNT: Final = 2  # beats to count in; a pickup has one that leads to it at the least


@dataclass(frozen=True, slots=True)
class Run:
    """A run as the clock plays it: the bars of the count-in, then one bar for each step.

    ``first`` is the index of the step that follows the count-in.
    """

    first: int
    count_in: tuple[ScheduledBar, ...]
    bars: tuple[ScheduledBar, ...]

    @property
    def schedule(self) -> tuple[ScheduledBar, ...]:
        """Everything the clock is to play, in order."""
        return self.count_in + self.bars

    def step_of(self, index: int) -> int | None:
        """Return the step that a bar of the schedule plays; None while counting in."""
        step = index - len(self.count_in)
        return None if step < 0 else self.first + step


def make_run(bars: Sequence[Bar], first: int) -> Run:
    """Schedule the bars of the play order from step ``first`` to the end, at the written tempo."""
    start = bars[first]
    full = start.meter.quarters
    whole_bars = math.ceil(LEAST_COUNT / start.meter.beats)
    lengths = [full, start.lead_in] if start.pickup else [full] * whole_bars
    count_in = tuple(_bar(length, Fraction(0), start.meter, start.tempo) for length in lengths)
    played = tuple(_bar(bar.length, bar.lead_in, bar.meter, bar.tempo) for bar in bars[first:])
    return Run(first, count_in, played)


@lru_cache(maxsize=256)  # the bars of a song are nearly all alike
def _bar(length: Fraction, lead_in: Fraction, meter: Meter, tempo: Fraction) -> ScheduledBar:
    ticks = max(1, round(length * TICKS_PER_QUARTER))
    seconds = 60 / (tempo * meter.beat * TICKS_PER_QUARTER)
    events: list[Event] = []
    for place in meter.beat_places(length, lead_in):
        accent = place + lead_in == 0
        key = HIGH_WOOD_BLOCK if accent else LOW_WOOD_BLOCK
        velocity = ACCENT_VELOCITY if accent else BEAT_VELOCITY
        tick = min(round(place * TICKS_PER_QUARTER), ticks - 1)
        off = min(tick + round(meter.beat * TICKS_PER_QUARTER / 4), ticks - 1)
        events.append(Event(tick, bytes([NOTE_ON | PERCUSSION, key, velocity])))
        events.append(Event(off, bytes([NOTE_OFF | PERCUSSION, key, 0])))
    return ScheduledBar(ticks, float(seconds), tuple(events))
