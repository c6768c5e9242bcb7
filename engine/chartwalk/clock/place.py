"""Where the clock is: worked out from its last anchor, never counted."""

from collections.abc import Sequence
from dataclasses import dataclass

from chartwalk.clock.messages import Anchor
from chartwalk.clock.schedule import PlacedBar, ScheduledBar, place_bar
from chartwalk.clock.state import State


@dataclass(frozen=True, slots=True)
class Place:
    """A place in the schedule: bar from 0, ticks after its bar line, and whether the clock runs."""

    bar: int
    tick: float
    state: State


def extrapolate(anchor: Anchor, bars: Sequence[ScheduledBar], rate: float, now: float) -> Place:
    """Work out the place at a moment after an anchor.

    Where the bar of the anchor is over, the place goes on into the bars after it at ``rate``, since
    a new rate holds from the next bar line on. Before the anchor the place is the anchor's; past
    the schedule it is the end of the last bar.

    >>> bars = [ScheduledBar(960, 0.5 / 960)] * 3
    >>> anchor = Anchor(1, 10.0, 0, 0.0, 0.5 / 960, State.RUNNING)
    >>> extrapolate(anchor, bars, 2.0, 10.625)
    Place(bar=1, tick=480.0, state=<State.RUNNING: 1>)
    """
    start = anchor.moment - anchor.tick * anchor.tick_seconds
    index = min(anchor.bar, len(bars) - 1)  # shorter by now: the clock will learn of it
    bar = PlacedBar(index, start, bars[index].ticks, anchor.tick_seconds)
    while now >= bar.end and bar.index + 1 < len(bars):
        bar = place_bar(bars, bar.index + 1, bar.end, rate)
    earliest = anchor.tick if bar.index == anchor.bar else 0.0
    tick = min(max((now - bar.start) / bar.tick_seconds, earliest), float(bar.ticks))
    return Place(bar.index, tick, anchor.state)
