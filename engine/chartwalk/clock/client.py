"""The clock as a screen uses it: every call returns at once, whatever the clock's process does."""

import atexit
import itertools
import math
import threading
from collections import deque
from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import replace
from types import TracebackType
from typing import Final, Self

from chartwalk.clock.guard import Guard
from chartwalk.clock.keeper import Keeper
from chartwalk.clock.messages import (
    Anchor,
    Clear,
    Ended,
    Failed,
    Gone,
    Heartbeat,
    Message,
    Open,
    Opened,
    Rate,
    Replace,
    Silence,
    Start,
    Stop,
    Strike,
)
from chartwalk.clock.moment import moment
from chartwalk.clock.place import Place, extrapolate
from chartwalk.clock.schedule import ScheduledBar, check_rate
from chartwalk.clock.sound import NO_CLOCK, NO_PORT, NOTES, Sound
from chartwalk.clock.spawn import Child, Subprocess, module_command
from chartwalk.clock.state import Change, State, after
from chartwalk.clock.watch import Remedy
from chartwalk.clock.wire import bar_messages

MESSAGES: Final = 8  # kept until the screen takes them
PASSED: Final = 16  # bar lines that are remembered: what is heard may lag behind by several
Look = Callable[[], Collection[str]]


class Clock:
    """A clock in a process of its own; started again where it is lost.

    Moments are those of ``chartwalk.clock.moment``, the same in every process. ``look`` lists the
    ports that a fresh process sees: so a loss is found that the clock's own process can't notice.
    """

    def __init__(
        self,
        port: str | None,
        *,
        spawn: Callable[[], Child],
        now: Callable[[], float] = moment,
        look: Look | None = None,
    ) -> None:
        self._now = now
        self._lock = threading.RLock()
        self._closed = False
        self._again = False  # whether a process was lost
        self._sounded = False  # whether the port wanted now was open before
        self._awaited = False  # whether it is opened because it was found again
        self._port = port or ""
        self._bars: tuple[ScheduledBar, ...] = ()
        self._rate = 1.0
        self._state = State.STOPPED
        self._runs = itertools.count(1)
        self._anchor = Anchor(0, math.inf, 0, 0.0, 1.0, State.STOPPED)
        self._passed: deque[Anchor] = deque(maxlen=PASSED)  # those of this run before it
        self._resting: Place | None = None  # where the clock stands while it is stopped
        self._sound = Sound.silent(NO_PORT)
        self._statistics = Heartbeat(0, 0.0, 0.0, 0.0)
        self._messages: deque[str] = deque(maxlen=MESSAGES)
        self._keeper = Keeper(self, self._lock, spawn, now)
        self._guard = (
            Guard(lambda: self._port, lambda: self._sound, look, self._gone, self._back)
            if look
            else None
        )
        if self._guard:
            self._guard.start()
        atexit.register(self.close)

    @classmethod
    def start(cls, port: str | None, *, look: Look | None = None) -> "Clock":
        """Start a clock on a port, or a silent one; what goes wrong is said by ``take_message``."""
        command = module_command("chartwalk.clock.process")
        return cls(port, spawn=lambda: Subprocess(command), look=look)

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    # What the clock is told.

    def load(self, bars: Iterable[ScheduledBar]) -> None:
        """Stop, and replace the schedule."""
        with self._lock:
            self._bars = tuple(bars)
            self._state = after(self._state, Change.CLEAR)
            self._resting = None
            self._keeper.send(_schedule(self._bars))

    def replace(self, first: int, bars: Iterable[ScheduledBar]) -> None:
        """Put other bars in place of those from ``first`` on; what runs goes on.

        They hold from the next bar line on: a bar that has begun is played as it was. Raises
        ValueError where no bar would be left for a run to go on with.
        """
        with self._lock:
            more = tuple(bars)
            if not (first or more) and self._state is State.RUNNING:
                raise ValueError("a run goes on with one bar at least")
            self._bars = self._bars[:first] + more
            news = itertools.chain.from_iterable(map(bar_messages, more))
            self._keeper.send(itertools.chain([Replace(first, len(more))], news))

    def run(self, first: int = 0) -> None:
        """Run from a bar of the schedule; raise ValueError where there is none."""
        with self._lock:
            if not 0 <= first < len(self._bars):
                raise ValueError(f"no bar {first} in a schedule of {len(self._bars)}")
            if not self._keeper.alive:
                self._messages.append(NOTES[Remedy.GIVE_UP])
                return
            self._state = after(self._state, Change.RUN)
            number = next(self._runs)
            seconds = self._bars[first].tick_seconds / self._rate
            # Until the clock says when it starts, it stands at the bar line.
            self._anchor = Anchor(number, math.inf, first, 0.0, seconds, State.RUNNING)
            self._passed.clear()
            self._keeper.send([Start(number, first)])

    def rate(self, value: float) -> None:
        """Play at 0.1 to 10 times the written tempo from the next bar line on, or raise ValueError.

        Before the first bar of a run has started it holds for that bar too.
        """
        with self._lock:
            self._rate = check_rate(value)
            self._keeper.send([Rate(value)])

    def stop(self) -> None:
        """Stop at once; what sounds is released, a chord too."""
        with self._lock:
            self._rest(Change.STOP, self._now())
            self._keeper.send([Stop()])

    def strike(self, keys: Iterable[int], gap: float = 0.0) -> None:
        """Sound MIDI keys as one chord for a moment, whatever runs; no keys end the last one now.

        Each key follows ``gap`` seconds (up to 1) after the one below it. A new chord cuts the one
        before. Raises ValueError for a key outside 0 to 127.
        """
        with self._lock:
            self._keeper.send([Strike(tuple(sorted(set(keys))), round(gap * 1000))])

    def open(self, port: str | None) -> None:
        """Go on with another port, or with none. Best while stopped: it takes some 30 ms."""
        with self._lock:
            self._port = port or ""
            self._sounded = False
            self._reopen(self._port)

    def close(self) -> None:
        """Stop and end the process; takes some 10 ms, at most about a second. Safe to repeat."""
        with self._lock:
            if self._closed:
                return
            self._closed = True
            self._rest(Change.STOP, self._now())
            self._sound = Sound.silent(NO_CLOCK)
        atexit.unregister(self.close)
        if self._guard:
            self._guard.close()
        self._keeper.close()

    # What the clock says.

    def place(self, now: float | None = None) -> Place | None:
        """Say where the clock is, or was when it stopped; None before the first run.

        ``now`` is another moment that is asked for: while the clock runs, a few bars back at most.
        """
        with self._lock:
            if self._state is State.STOPPED:
                return self._resting
            then = self._now() if now is None else now
            anchors = (*self._passed, self._anchor)
            passed = (anchor for anchor in reversed(anchors) if anchor.moment <= then)
            return extrapolate(next(passed, anchors[0]), self._bars, self._rate, then)

    @property
    def sound(self) -> Sound:
        """What sounds, or why nothing does."""
        return self._sound

    @property
    def alive(self) -> bool:
        """Whether there is a process that keeps time."""
        return self._keeper.alive

    @property
    def statistics(self) -> Heartbeat:
        """How late the messages of this run were sent, as of a second ago."""
        return self._statistics

    def take_message(self) -> str | None:
        """Give, once, the oldest thing the player should be told."""
        with self._lock:
            return self._messages.popleft() if self._messages else None

    # What the keeper of the process calls.

    def received(self, message: Message) -> None:
        """Take what the process said; of runs that were stopped nothing is taken any more."""
        match message:
            case Heartbeat():
                self._statistics = message
            case Opened(name, reason):
                if self._sounded and not name:
                    self._messages.append(f"No sound: {reason}.")
                elif self._awaited and name:
                    self._messages.append(f"Sound goes to {name} now.")
                self._sounded, self._awaited = bool(name), False
                self._sound = Sound.heard(name) if name else Sound.silent(reason)
            case Anchor(run=run) if self._follows(run):
                if math.isfinite(self._anchor.moment):
                    self._passed.append(self._anchor)
                self._anchor = message
                if message.state is State.STOPPED:
                    self._rest(Change.STALL, message.moment)
            case Ended(run) if self._follows(run):
                self._rest(Change.END, math.inf)
            case Failed(text):
                self._messages.append(text)
            case _:
                pass

    def lost(self, remedy: Remedy) -> None:
        """Stop where the clock was last and say what is done about it."""
        self._rest(Change.LOST, self._now())
        self._sound = Sound.silent(NO_CLOCK)
        self._messages.append(NOTES[remedy])
        self._again = True
        if remedy is Remedy.SILENT:
            self._port = ""

    def unstartable(self, reason: str) -> None:
        """Say that there is no clock."""
        self._rest(Change.LOST, self._now())
        self._sound = Sound.silent(NO_CLOCK)
        self._messages.append(f"The clock could not be started: {reason}.")

    def greeting(self) -> Iterable[Message]:
        """Tell a new process all that matters; after a loss, first silence what may hang.

        A clock that runs by now was told to while there was no process to take it.
        """
        self._sound = _before_opening(self._port)
        silence = [Silence()] if self._again else []
        run = [Start(self._anchor.run, self._anchor.bar)] if self._state is State.RUNNING else []
        return [Open(self._port), Rate(self._rate), *silence, *_schedule(self._bars), *run]

    def _gone(self, port: str) -> None:
        with self._lock:
            self._keeper.send([Gone(port)])

    def _back(self, port: str) -> None:
        with self._lock:
            self._port = port
            self._awaited = True
            self._reopen(port)
            self._keeper.send([Silence()])  # what sounded when the cable came out may hang

    def _reopen(self, port: str) -> None:
        with self._lock:
            if self._keeper.alive:
                self._sound = _before_opening(port)
            self._keeper.send([Open(port)])

    def _follows(self, run: int) -> bool:
        return self._state is State.RUNNING and run == self._anchor.run

    def _rest(self, change: Change, then: float) -> None:
        """Leave the running state, at the place of that moment."""
        place = self.place(then)
        self._state = after(self._state, change)
        self._resting = place and replace(place, state=State.STOPPED)


def _before_opening(port: str) -> Sound:
    return Sound.opening(port) if port else Sound.silent(NO_PORT)


def _schedule(bars: Sequence[ScheduledBar]) -> Iterable[Message]:
    return itertools.chain([Clear()], itertools.chain.from_iterable(map(bar_messages, bars)))
