"""What the clock plays, and when: bars of short MIDI messages on a grid of ticks.

A tick is 1/960 of a quarter note. Moments are absolute seconds of one monotonic clock. A rate of
1.0 is the written tempo, 2.0 is twice as fast; a new rate holds from the next bar line on. Each bar
starts at the exact end of the one before it, so nothing drifts.

Reference: MIDI 1.0 (status bytes, how many data bytes follow each, data bytes below 128).
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

TICKS_PER_QUARTER: Final = 960
MAX_TICKS: Final = 2**31 - 1
SLOWEST_RATE: Final = 0.1
FASTEST_RATE: Final = 10.0

# The channel's number, 0 to 15, is added to these.
NOTE_OFF: Final = 0x80
NOTE_ON: Final = 0x90
# Data bytes after each status. System exclusive and the undefined statuses are missing: not short.
_CHANNEL: Final = {NOTE_OFF: 2, NOTE_ON: 2, 0xA0: 2, 0xB0: 2, 0xC0: 1, 0xD0: 1, 0xE0: 2}
_SYSTEM: Final = {0xF1: 1, 0xF2: 2, 0xF3: 1, 0xF6: 0, 0xF8: 0, 0xFA: 0, 0xFB: 0, 0xFC: 0}
_REAL_TIME: Final = {0xFE: 0, 0xFF: 0}
DATA_BYTES: Final = (
    {kind | channel: count for kind, count in _CHANNEL.items() for channel in range(16)}
    | _SYSTEM
    | _REAL_TIME
)


@dataclass(frozen=True, slots=True)
class Event:
    r"""One short MIDI message of 1 to 3 bytes, ``tick`` ticks after its bar line.

    Raises ValueError for a negative tick or a message that is not whole.

    >>> Event(480, bytes([0x99, 76, 100]))
    Event(tick=480, message=b'\x99Ld')
    """

    tick: int
    message: bytes

    def __post_init__(self) -> None:
        if not 0 <= self.tick < MAX_TICKS:
            raise ValueError(f"an event lies 0 to {MAX_TICKS - 1} ticks into its bar: {self.tick}")
        message = self.message
        data = DATA_BYTES.get(message[0]) if message else None
        if data != len(message) - 1 or any(byte > 127 for byte in message[1:]):
            raise ValueError(f"{message.hex(' ') or 'nothing'} is no short MIDI message")


@dataclass(frozen=True, slots=True)
class ScheduledBar:
    """A bar to play: its length in ticks, seconds a tick at rate 1.0, its events by tick.

    Raises ValueError for a length or tempo that is not above zero, and for events out of order or
    at or after the end of the bar: what falls on the next bar line belongs to the next bar.

    >>> ScheduledBar(4 * TICKS_PER_QUARTER, 0.5 / TICKS_PER_QUARTER)
    ScheduledBar(ticks=3840, tick_seconds=0.0005208333333333333, events=())
    """

    ticks: int
    tick_seconds: float
    events: tuple[Event, ...] = ()

    def __post_init__(self) -> None:
        if not 0 < self.ticks <= MAX_TICKS:
            raise ValueError(f"a bar is 1 to {MAX_TICKS} ticks long: {self.ticks}")
        if not (math.isfinite(self.tick_seconds) and self.tick_seconds > 0):
            raise ValueError(f"a tick lasts more than no time: {self.tick_seconds} s")
        tick = 0
        for event in self.events:
            if event.tick < tick:
                raise ValueError(f"events go by tick: {event.tick} after {tick}")
            tick = event.tick
        if tick >= self.ticks:
            raise ValueError(f"tick {tick} lies outside a bar of {self.ticks} ticks")


@dataclass(frozen=True, slots=True)
class PlacedBar:
    """A bar set in time: its index, the moment it starts, seconds a tick at the rate that holds.

    >>> bar = PlacedBar(index=0, start=10.0, ticks=1920, tick_seconds=0.5 / 960)
    >>> bar.moment(480), bar.end
    (10.25, 11.0)
    """

    index: int
    start: float
    ticks: int
    tick_seconds: float

    def moment(self, tick: float) -> float:
        """When a tick of the bar is due."""
        return self.start + tick * self.tick_seconds

    @property
    def end(self) -> float:
        """When the bar is over: the moment the next one starts."""
        return self.moment(self.ticks)


def check_rate(rate: float) -> float:
    """Return the rate; raise ValueError outside 0.1 to 10."""
    if not SLOWEST_RATE <= rate <= FASTEST_RATE:
        limits = f"{SLOWEST_RATE:g} to {FASTEST_RATE:g}"
        raise ValueError(f"a rate is {limits} times the written tempo: {rate}")
    return rate


def place_bar(bars: Sequence[ScheduledBar], index: int, start: float, rate: float) -> PlacedBar:
    """Set one bar of the schedule in time."""
    bar = bars[index]
    return PlacedBar(index, start, bar.ticks, bar.tick_seconds / rate)
