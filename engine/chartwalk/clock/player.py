"""Plays a schedule: what is due when, what is sent, and what the screen is told.

Does no waiting and no reading of its own: the process asks when something is ``due``, waits, and
calls ``play``. The time and the output are passed in, so that tests play a song in no time at all.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Final, Protocol

from chartwalk.clock.lateness import Lateness
from chartwalk.clock.messages import (
    AddBar,
    AddEvents,
    Anchor,
    Clear,
    Down,
    Ended,
    Failed,
    Rate,
    Replace,
    Silence,
    Start,
    Stop,
    Up,
)
from chartwalk.clock.output import CHANNELS, note_on
from chartwalk.clock.schedule import PlacedBar, ScheduledBar, check_rate, place_bar
from chartwalk.clock.state import Change, State, after
from chartwalk.clock.wire import BarBuilder

LEAD: Final = 0.03  # seconds from the command to the first bar, so that it starts on time
TOO_LATE: Final = 0.1  # seconds after which a note is better not played
STALLED: Final = 1.5  # seconds after which playing on makes no sense; losing a port takes one


class Sink(Protocol):
    """Where messages go."""

    def send(self, message: bytes, due: float | None = None) -> None:
        """Send one message that was due at a moment."""

    def end_notes(self) -> None:
        """End the notes that sound."""

    def release(self, channels: range | None = None) -> None:
        """End what sounds."""


@dataclass(slots=True)
class Coming:
    """Bars on their way to take the place of others, from the bar ``first`` on."""

    first: int
    count: int
    bars: list[ScheduledBar] = field(default_factory=list)


class Player:
    """A schedule being played; ``reports`` gathers what the screen is to be told."""

    def __init__(self, output: Sink, now: Callable[[], float]) -> None:
        self.state = State.STOPPED
        self.due: float | None = None  # moment of the next event or bar line; None when stopped
        self.late = Lateness()
        self.reports: list[Down] = []
        self._output = output
        self._now = now
        self._bars: list[ScheduledBar] = []
        self._builder = BarBuilder()
        self._coming: Coming | None = None
        self._cuts: set[int] = set()  # bars that are others than those that were led up to
        self._rate = 1.0
        self._run = 0
        self._placed = PlacedBar(0, 0.0, 1, 1.0)
        self._next = 0  # the next event of the bar

    def handle(self, command: Up) -> None:
        """Do what the screen asks; raise ValueError where that can't be done."""
        match command:
            case AddBar() | AddEvents():
                bar = self._builder.add(command)
                if bar is not None:
                    self._take(bar)
            case Replace(first, count):
                self._coming = Coming(first, count)
                self._splice()
            case Clear():
                self._halt(Change.CLEAR)
                self._bars.clear()
                self._builder, self._coming = BarBuilder(), None
            case Start(run, first):
                self._start(run, first)
            case Rate(rate):
                self._rate = check_rate(rate)
                if self.due is not None and self._now() < self._placed.start:
                    self._enter(self._placed.index, self._placed.start)
            case Stop():
                self._halt(Change.STOP)
            case Silence():
                self._output.release(CHANNELS)
            case _:
                raise ValueError(f"not for the player: {command}")

    def play(self) -> None:
        """Send everything that is due by now."""
        while (due := self.due) is not None and (late := self._now() - due) >= 0:
            if late > STALLED:
                self._stall(late)
            elif self._next < len(self._bars[self._placed.index].events):
                self._send(late)
            else:
                self._cross()

    def _take(self, bar: ScheduledBar) -> None:
        """Add a bar, or keep it until all that are to come with it are there."""
        if self._coming is None:
            self._bars.append(bar)
        else:
            self._coming.bars.append(bar)
            self._splice()

    def _splice(self) -> None:
        """Put the new bars in place, if they are all there; a bar that has begun stays."""
        coming = self._coming
        if coming is None or len(coming.bars) < coming.count:
            return
        self._coming = None
        begun = self._placed.index + 1 if self.state is State.RUNNING else 0
        keep = min(max(coming.first, begun), len(self._bars))
        self._cuts = {cut for cut in self._cuts if cut < keep}
        if keep < len(self._bars):
            self._cuts.add(keep)
        self._bars[keep:] = coming.bars[max(0, keep - coming.first) :]
        if self.state is State.RUNNING:
            self._aim()

    def _send(self, late: float) -> None:
        event = self._bars[self._placed.index].events[self._next]
        if late <= TOO_LATE or not note_on(event.message):
            self._output.send(event.message, self.due)
        self.late.add(late)
        self._next += 1
        self._aim()

    def _cross(self) -> None:
        """Pass the bar line into the next bar, or the end."""
        index, end = self._placed.index + 1, self._placed.end
        if index < len(self._bars):
            if index in self._cuts:
                self._output.end_notes()  # what leads into a bar that is no more
                self._cuts.remove(index)
            self._enter(index, end)
        else:
            self._halt(Change.END)
            self.reports.append(Ended(self._run))

    def _start(self, run: int, first: int) -> None:
        if first >= len(self._bars):
            raise ValueError(f"the schedule has {len(self._bars)} bars: none to run from {first}")
        if self.state is State.RUNNING:
            self._output.release()
        self.state = after(self.state, Change.RUN)
        self._run = run
        self._cuts.clear()
        self.late = Lateness()
        self._enter(first, self._now() + LEAD)

    def _enter(self, index: int, start: float) -> None:
        placed = place_bar(self._bars, index, start, self._rate)
        self._placed = placed
        self._next = 0
        self._aim()
        self._report(placed.start, 0.0)

    def _aim(self) -> None:
        events = self._bars[self._placed.index].events
        tick = events[self._next].tick if self._next < len(events) else self._placed.ticks
        self.due = self._placed.moment(tick)

    def _stall(self, late: float) -> None:
        self._halt(Change.STALL)
        placed, now = self._placed, self._now()
        tick = min(max((now - late - placed.start) / placed.tick_seconds, 0.0), placed.ticks)
        self._report(now, tick)
        self.reports.append(
            Failed(f"The computer was held up for {late:.1f} s, so the click was stopped.")
        )

    def _halt(self, change: Change) -> None:
        was = self.state
        self.state = after(was, change)
        self.due = None
        if was is State.RUNNING:
            self._output.release()

    def _report(self, moment: float, tick: float) -> None:
        placed = self._placed
        self.reports.append(
            Anchor(self._run, moment, placed.index, tick, placed.tick_seconds, self.state)
        )
