"""A metronome in a time of the test's own: the real client, player and output, and no waiting.

What the client and the clock's process tell each other goes through the real frames and takes
``latency`` seconds each way. The port remembers what was sent when.
"""

import threading
from collections import deque
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import cast

import pytest

from chartwalk.clock import messages as say
from chartwalk.clock.chord import HeldChord
from chartwalk.clock.client import Clock
from chartwalk.clock.output import Output
from chartwalk.clock.player import Player
from chartwalk.clock.spawn import Child
from chartwalk.clock.state import State
from chartwalk.clock.wire import Decoder, encode
from chartwalk.metronome import Metronome
from chartwalk.midi import Ports

PORT = "piano"
START = 100.0
NOTE_OFF, NOTE_ON, CONTROL = 0x80, 0x90, 0xB0
ALL_SOUND_OFF = 120  # MIDI 1.0, controllers


class Port:
    """A port that remembers what was sent, and what a receiver hears of it."""

    def __init__(self, now: Callable[[], float]) -> None:
        self.sent: list[tuple[float, bytes]] = []
        self.sounding: set[tuple[int, int]] = set()  # (channel from 0, key)
        self.cleared: set[int] = set()  # channels with nothing sent since all sound was put off
        self._now = now

    def get_ports(self) -> list[str]:
        return [PORT]

    def send_message(self, message: bytes) -> None:
        self.sent.append((self._now(), message))
        kind, channel = message[0] & 0xF0, message[0] & 0x0F
        if kind == NOTE_ON and message[2]:
            assert (channel, message[1]) not in self.sounding, "a key was struck while it sounds"
            self.sounding.add((channel, message[1]))
        elif kind in {NOTE_OFF, NOTE_ON}:
            self.sounding.discard((channel, message[1]))
        if kind == CONTROL and message[1] == ALL_SOUND_OFF:
            self.cleared.add(channel)
        elif kind < 0xF0:
            self.cleared.discard(channel)

    def close_port(self) -> None:
        pass

    def delete(self) -> None:
        pass


@dataclass(frozen=True)
class Line:
    """A bar line that the clock has passed: when, into which bar of which run."""

    moment: float
    run: int
    bar: int


class Process:
    """The clock's process; it stands where the client's keeper of processes does."""

    alive = True

    def __init__(self, owner: Clock, world: "World") -> None:
        self._owner = owner
        self._world = world
        self.output = Output(lambda _: world.port)
        self.player = Player(self.output, lambda: world.now)
        self.lines: list[Line] = []
        self._chord = HeldChord(self.output, lambda: world.now)
        self._hears, self._reads = Decoder(), Decoder()
        self._up: deque[tuple[float, bytes]] = deque()
        self._down: deque[tuple[float, bytes]] = deque()

    def send(self, messages: Iterable[say.Message]) -> None:
        data = b"".join(map(encode, messages))
        self._up.append((self._world.now + self._world.latency, data))
        self.work()

    def close(self) -> None:
        self._world.pass_time(self._world.latency)
        self.output.close()

    @property
    def due(self) -> float | None:
        """When something is to be done."""
        dues = [self.player.due, *(line[0][0] for line in (self._up, self._down) if line)]
        if self._chord.held < float("inf"):
            dues.append(self._chord.held)
        return min((due for due in dues if due is not None), default=None)

    def work(self) -> None:
        """Do what is due by now."""
        while self._up and self._up[0][0] <= self._world.now:
            for message in self._hears.feed(self._up.popleft()[1]):
                self._handle(message)
        self.player.play()
        self._chord.expire()
        for report in self.player.reports:
            if isinstance(report, say.Anchor) and report.state is State.RUNNING:
                self.lines.append(Line(report.moment, report.run, report.bar))
            self._down.append((self._world.now + self._world.latency, encode(report)))
        self.player.reports.clear()
        while self._down and self._down[0][0] <= self._world.now:
            for message in self._reads.feed(self._down.popleft()[1]):
                self._owner.received(message)

    def _handle(self, message: say.Message) -> None:
        match message:
            case say.Open(name):
                opened = self.output.open(name)
                self._down.append((self._world.now + self._world.latency, encode(opened)))
            case say.Strike(keys, gap):
                self._chord.strike(keys, gap / 1000)
            case _:
                self.player.handle(cast("say.Up", message))
                if isinstance(message, say.Stop):
                    self._chord.let_go()


class World:
    """The time, and a metronome in it that sounds on a port."""

    def __init__(self, latency: float = 0.0) -> None:
        self.now = START
        self.latency = latency
        self.port = Port(lambda: self.now)
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr("chartwalk.clock.client.Keeper", self._keep)
            self.clock = Clock(None, spawn=lambda: cast("Child", None), now=lambda: self.now)
        self.metronome = Metronome(
            PORT,
            look=lambda: Ports((PORT,)),
            start=lambda _: self.clock,
            now=lambda: self.now,
        )
        self.clock.open(PORT)
        self.pass_time(2 * latency)

    def _keep(self, owner: Clock, lock: threading.RLock, spawn: object, now: object) -> Process:
        self.process = Process(owner, self)
        return self.process

    def pass_time(self, seconds: float) -> None:
        """Let time pass; everything that is due happens exactly then."""
        until = self.now + seconds
        while (due := self.process.due) is not None and due <= until:
            self.now = max(self.now, due)
            self.process.work()
        self.now = until

    def bar_at(self, moment: float) -> int:
        """Return the bar of the schedule that sounded at a moment of the newest run."""
        newest = self.process.lines[-1].run
        lines = [line for line in self.process.lines if line.run == newest]
        passed = [line.bar for line in lines if line.moment <= moment]
        return passed[-1] if passed else lines[0].bar

    def notes(self, channel: int) -> list[tuple[float, int]]:
        """Return the notes that were struck on a channel (from 1): seconds from START, key."""
        return [
            (moment - START, message[1])
            for moment, message in self.port.sent
            if message[0] == NOTE_ON | channel - 1 and message[2]
        ]
