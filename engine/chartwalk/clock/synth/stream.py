"""The stream of samples a device takes, with each message at the sample where it is due.

One thread sends, another fills: what is sent waits in a queue until the next samples are asked for.
"""

from bisect import insort
from collections import deque
from typing import Final

import numpy as np

from chartwalk.clock.output import CONTROL, note_on
from chartwalk.clock.schedule import NOTE_OFF, NOTE_ON
from chartwalk.clock.synth import LAG, PERIOD, PERIODS, RATE
from chartwalk.clock.synth.mixer import NOTES_OFF, SOUND_OFF, Mixer
from chartwalk.clock.synth.timeline import JUMP, Timeline
from chartwalk.clock.synth.tone import Samples

SYSTEM: Final = 0xF0  # messages from here on have no channel
ROOM: Final = 4096  # messages on their way to a device that takes no samples
FILLED: Final = round(2 * PERIODS * PERIOD * RATE)  # samples after which its buffer is full
SPARE: Final = 0.005  # seconds that a message may come late and still be placed
STEP: Final = 0.001  # seconds by which the lag grows at once
LONGEST_LAG: Final = 0.25
TOO_LATE: Final = 0.1  # seconds after which a note is better not played


class Stream:
    """Samples with the messages in them. Moments are seconds of one monotonic clock.

    A message is placed ``lag`` seconds after it is due. That is ``LAG``, and more for a device that
    asks for more samples at once than that leaves time for.
    """

    def __init__(self) -> None:
        self.lag = LAG
        self._mixer = Mixer()
        self._timeline = Timeline(RATE)
        self._sent: deque[tuple[bytes, float | None]] = deque(maxlen=ROOM)
        self._placed: list[tuple[int, bytes]] = []  # by position
        self._head = 0  # the next sample to be given
        self._hushed = False

    @property
    def silent(self) -> bool:
        """Whether nothing sounds and nothing waits."""
        return not (self._sent or self._placed) and self._mixer.silent

    def send(self, message: bytes, due: float | None = None) -> None:
        """Have a message take effect where it is due; without a moment, as soon as can be."""
        self._sent.append((message, due))

    def hush(self) -> None:
        """Forget all that waits, and end at once what sounds; nothing sounds any more."""
        self._hushed = True

    def fill(self, count: int, now: float) -> Samples:
        """Give the next samples to a device that asks for them at a moment."""
        self._timeline.asked(now, self._head)
        while self._sent:
            self._place(*self._sent.popleft(), now)
        if self._hushed:
            self._placed.clear()
            self._mixer.cut()
        parts = []
        end = self._head + count
        while self._placed and self._placed[0][0] < end:
            position, message = self._placed.pop(0)
            parts.append(self._mixer.samples(position - self._head))
            self._head = position
            self._mixer.take(message)
        parts.append(self._mixer.samples(end - self._head))
        self._head = end
        self._leave_time(now)
        return np.concatenate(parts)

    def _place(self, message: bytes, due: float | None, now: float) -> None:
        position = self._head
        if due is None:
            self._placed = [it for it in self._placed if not _undoes(message, it[1])]
        elif note_on(message) and now - due > TOO_LATE:
            return
        else:
            last = self._head + round((self.lag + JUMP) * RATE)  # a device that stood still
            place = round(self._timeline.position(due + self.lag))
            position = min(max(place, self._head), last)
        insort(self._placed, (position, message), key=_position)

    def _leave_time(self, now: float) -> None:
        """Place messages later if one that is due right now would come too late for its place."""
        needed = self._head / RATE - self._timeline.position(now) / RATE + SPARE
        if needed > self.lag and self._head > FILLED:
            self.lag = min(needed, self.lag + STEP, LONGEST_LAG)


def _position(placed: tuple[int, bytes]) -> int:
    return placed[0]


def _undoes(message: bytes, waiting: bytes) -> bool:
    """Whether a message that takes effect at once ends what a waiting one has yet to start.

    >>> off, on = bytes([0x80, 60, 0]), bytes([0x90, 60, 64])
    >>> _undoes(off, on), _undoes(on, on), _undoes(bytes([0xB0, 120, 0]), on)
    (True, False, True)
    """
    kind = message[0] & 0xF0
    if waiting[0] & 0x0F != message[0] & 0x0F or waiting[0] >= SYSTEM or kind >= SYSTEM:
        return False
    if kind == CONTROL:
        return message[1] in {SOUND_OFF, NOTES_OFF}
    ends = kind in {NOTE_ON, NOTE_OFF} and not note_on(message)
    return ends and waiting[0] & 0xF0 in {NOTE_ON, NOTE_OFF} and waiting[1] == message[1]
