"""The clock's process: waits for the next moment, plays, and tells the screen afterwards.

Beside the schedule it holds the chord the player asked to hear; the schedule goes first.

Commands come on standard input, reports go to standard output, both as frames of ``wire``. The
process ends when it is told to, when its input ends (the screen is gone) and at SIGTERM, SIGINT and
SIGHUP; however it ends, it first releases what sounds.

Nothing is written to a pipe between waking and sending, and the garbage collector is off: a
collection or a write before a message is heard as a late one.
"""

import gc
import os
import signal
import sys
from collections.abc import Callable
from typing import Final

from chartwalk.clock.chord import HeldChord
from chartwalk.clock.lateness import Lateness
from chartwalk.clock.messages import Failed, Gone, Heartbeat, Open, Quit, Ready, Stop, Strike, Up
from chartwalk.clock.moment import moment
from chartwalk.clock.output import Output
from chartwalk.clock.pipes import Inbox, Outbox, PollingInbox, ThreadedInbox
from chartwalk.clock.player import Player
from chartwalk.clock.ports import own_pipe
from chartwalk.clock.priority import REAL_TIME, raise_priority
from chartwalk.clock.wire import Decoder, encode

SPIN: Final = 0.000_1  # seconds of busy waiting; more costs a normal process its turn
REAL_TIME_SPIN: Final = 0.000_15
BEAT: Final = 1.0  # seconds between heartbeats
SPARE: Final = 0.003  # seconds a heartbeat needs before the next message
SPARE_TO_LOOK: Final = 0.03  # seconds that looking for the port may take
LAST_WORDS: Final = 2  # seconds after which a close that hangs is cut off


class Service:
    """The loop around a player."""

    def __init__(
        self,
        inbox: Inbox,
        outbox: Outbox,
        output: Output,
        *,
        priority: str = "normal",
        now: Callable[[], float] = moment,
    ) -> None:
        self._inbox = inbox
        self._outbox = outbox
        self._output = output
        self._now = now
        self._spin = REAL_TIME_SPIN if priority == REAL_TIME else SPIN
        self._player = Player(output, now)
        self._chord = HeldChord(output, now)
        self._decoder = Decoder()
        self._beat = now()
        self._outbox.put(encode(Ready(priority)))

    def serve(self) -> None:
        """Keep time until told to quit or the input ends."""
        open_for_more = True
        while open_for_more and not self._inbox.closed:
            self._outbox.flush()
            open_for_more = self._listen()
            self._play()
            if self._now() >= self._beat:
                self._heartbeat()

    def _listen(self) -> bool:
        """Wait for the next moment or command; return False once told to quit."""
        due = self._player.due
        wake = self._beat if due is None else min(self._beat, due)
        wake = min(wake - self._spin, self._chord.held)  # a chord may end a little late
        for command in self._decoder.feed(self._inbox.wait(wake - self._now())):
            if isinstance(command, Quit):
                return False
            try:
                self._handle(command)
            except ValueError as error:
                self._outbox.put(encode(Failed(str(error))))
        return True

    def _handle(self, command: object) -> None:
        if isinstance(command, Open):
            self._outbox.put(encode(self._output.open(command.name)))
        elif isinstance(command, Gone):
            self._output.gone(command.name)
        elif isinstance(command, Strike):
            self._chord.strike(command.keys, command.gap / 1000)
        elif isinstance(command, Up):
            self._player.handle(command)
            if isinstance(command, Stop):
                self._chord.let_go()
        else:
            raise ValueError(f"not a command: {command}")

    def _play(self) -> None:
        due = self._player.due
        if due is not None and due - self._spin <= self._now():
            while self._now() < due:
                pass
            self._player.play()
        self._chord.expire()
        for report in self._player.reports:
            self._outbox.put(encode(report))
        self._player.reports.clear()
        if (fault := self._output.take_fault()) is not None:
            self._outbox.put(encode(fault))

    def _heartbeat(self) -> None:
        due, now = self._player.due, self._now()
        spare = BEAT if due is None else due - now
        if spare < SPARE and now < self._beat + BEAT / 2:
            return
        self._beat = max(self._beat + BEAT, now)
        self._outbox.put(encode(summary(self._player.late)))
        if spare > SPARE_TO_LOOK:
            self._output.check()


def summary(late: Lateness) -> Heartbeat:
    """Say how late the messages of a run were."""
    return Heartbeat(late.count, late.percentile(50), late.percentile(99), late.worst)


def _watch_signals() -> int:
    """Make the ending signals write to a pipe that can be waited for; return its end to read."""
    reading, writing = os.pipe()
    os.set_blocking(writing, False)
    signal.set_wakeup_fd(writing)
    for name in ("SIGTERM", "SIGINT", "SIGHUP"):
        signal.signal(getattr(signal, name), lambda *_: None)
    return reading


def main() -> None:
    """Serve the pipes on standard input and output."""
    pipe_in, pipe_out = own_pipe(0), own_pipe(1)
    own_pipe(2)
    windows = sys.platform == "win32"
    inbox: Inbox = ThreadedInbox(pipe_in) if windows else PollingInbox(pipe_in, _watch_signals())
    outbox, output = Outbox(pipe_out), Output()
    service = Service(inbox, outbox, output, priority=raise_priority())
    gc.collect()
    gc.freeze()
    gc.disable()
    try:
        service.serve()
    except Exception as error:  # whatever it is, the screen is told and the notes end
        outbox.put(encode(Failed(f"The clock failed: {error!r}")))
    finally:
        if not windows:
            signal.alarm(LAST_WORDS)  # kills: closing can hang when a sound server has died
        output.close()
        outbox.flush()


if __name__ == "__main__":
    main()
