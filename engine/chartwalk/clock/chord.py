"""The chord that sounds because the player asked for it: which keys, and until when.

It knows nothing of the schedule and does no waiting: the process asks until when it is ``held``
and calls ``expire``. Whatever else ends its notes (a stop, another port), it ends none twice.

The keys sound on channel 1, 0 in the messages, with the sound that the instrument has chosen there:
a piano unless somebody changed it (General MIDI level 1, program 1). Velocity 64 is that of a
keyboard which has no other (MIDI 1.0).
"""

import math
from collections.abc import Callable, Iterable
from typing import Final, Protocol

from chartwalk.clock.schedule import NOTE_ON

CHANNEL: Final = 0
VELOCITY: Final = 64
HOLD: Final = 1.5  # seconds


class Notes(Protocol):
    """Where the notes go."""

    def send(self, message: bytes) -> None:
        """Send one message."""

    def end(self, channel: int, note: int) -> None:
        """End one note if it sounds."""


class HeldChord:
    """Some keys held down; ``held`` is when the next is struck or all are let go, else infinite.

    Moments are seconds of the clock that ``now`` reads.
    """

    def __init__(self, output: Notes, now: Callable[[], float]) -> None:
        self.held = math.inf
        self._output = output
        self._now = now
        self._down: list[int] = []
        self._coming: list[int] = []
        self._gap = 0.0

    def strike(self, keys: Iterable[int], gap: float = 0.0) -> None:
        """Let go of what is held and hold these keys (MIDI numbers), one every ``gap`` seconds."""
        self.let_go()
        self._coming = list(keys)
        self._gap = gap
        if self._coming:
            self.held = self._now()
            self.expire()

    def let_go(self) -> None:
        """End at once what sounds, and strike no more of it."""
        for key in self._down:
            self._output.end(CHANNEL, key)
        self._down, self._coming = [], []
        self.held = math.inf

    def expire(self) -> None:
        """Strike the next keys, or let go, if it is time."""
        while self._coming and self._now() >= self.held:
            key = self._coming.pop(0)
            self._output.send(bytes([NOTE_ON | CHANNEL, key, VELOCITY]))
            self._down.append(key)
            self.held += self._gap if self._coming else HOLD
        if not self._coming and self._now() >= self.held:
            self.let_go()
