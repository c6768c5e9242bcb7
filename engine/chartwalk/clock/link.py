"""A line to a clock process: a thread that writes, a thread that reads, and nobody waits."""

import contextlib
import queue
import threading
from collections.abc import Callable, Iterable
from typing import Final

from chartwalk.clock.messages import Message, Quit
from chartwalk.clock.spawn import Child
from chartwalk.clock.wire import Decoder, encode

ROOM: Final = 256  # commands on their way to a process that does not read them
JOIN: Final = 1.0  # seconds for the threads to end once the process has


class Link:
    """A running child. ``receive`` is called in the reading thread, ``ended`` once after the last.

    Both are given the link, so that what an old child said last is not taken for the new one's.
    """

    def __init__(
        self,
        child: Child,
        receive: Callable[["Link", Message], None],
        ended: Callable[["Link"], None],
    ) -> None:
        self._child = child
        self._receive = receive
        self._ended = ended
        self._waiting: queue.Queue[Iterable[Message] | None] = queue.Queue(ROOM)
        self._threads = [
            threading.Thread(target=target, name="chartwalk clock", daemon=True)
            for target in (self._write, self._read)
        ]
        for thread in self._threads:
            thread.start()

    def send(self, messages: Iterable[Message]) -> bool:
        """Have the messages written soon, in order; return False where too many wait already."""
        try:
            self._waiting.put_nowait(messages)
        except queue.Full:
            return False
        return True

    def kill(self) -> None:
        """End the process at once."""
        self._child.kill()

    def close(self, patience: float) -> None:
        """Ask the process to quit, kill it after so many seconds, and clear up."""
        if not (patience and self.send([Quit()]) and self._child.wait(patience)):
            self._child.kill()
            self._child.wait(JOIN)
        with contextlib.suppress(queue.Full):
            self._waiting.put_nowait(None)
        for thread in self._threads:
            thread.join(JOIN)
        if not any(thread.is_alive() for thread in self._threads):
            self._child.close()

    def _write(self) -> None:
        with contextlib.suppress(OSError):  # the reading thread notices the end of the process
            while (messages := self._waiting.get()) is not None:
                self._child.write(b"".join(encode(message) for message in messages))

    def _read(self) -> None:
        decoder = Decoder()
        while data := self._child.read():
            for message in decoder.feed(data):
                self._receive(self, message)
        self._ended(self)
