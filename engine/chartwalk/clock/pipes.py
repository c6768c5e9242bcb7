"""The clock's ends of the two pipes: reading never lasts past a moment, writing never waits."""

import os
import queue
import select
import sys
import threading
import time
from collections import deque
from typing import Final, Protocol

CHUNK: Final = 1024  # bytes read at once: decoded in some 0.2 ms, so loading holds nothing up
COARSE: Final = 0.02  # seconds by which a wait for a thread may be late on Windows


class Inbox(Protocol):
    """Where commands come in."""

    closed: bool

    def wait(self, seconds: float) -> bytes:
        """Wait at most so long; give bytes as soon as there are some, or none."""


class PollingInbox:
    """Waits for the pipe and for signals at once."""

    def __init__(self, pipe: int, wakeup: int) -> None:
        self.closed = False
        self._pipe = pipe
        self._wakeup = wakeup

    def wait(self, seconds: float) -> bytes:
        """Wait at most so long; a signal counts as the end of the pipe."""
        ready, _, _ = select.select([self._pipe, self._wakeup], [], [], max(seconds, 0.0))
        if self._wakeup in ready:
            self.closed = True
        elif self._pipe in ready:
            data = os.read(self._pipe, CHUNK)
            self.closed = not data
            return data
        return b""


class ThreadedInbox:
    """Reads in a thread, for pipes that can't be waited for (Windows)."""

    def __init__(self, pipe: int) -> None:
        self.closed = False
        self._pipe = pipe
        self._chunks: queue.SimpleQueue[bytes] = queue.SimpleQueue()
        threading.Thread(target=self._read, daemon=True).start()

    def wait(self, seconds: float) -> bytes:
        """Wait at most so long: for the thread while there is time, then by a finer sleep."""
        until = time.perf_counter() + seconds
        try:
            data = self._chunks.get(timeout=max(seconds - COARSE, 0.0))
        except queue.Empty:
            time.sleep(max(until - time.perf_counter(), 0.0))
            return b""
        self.closed = not data
        return data

    def _read(self) -> None:
        data = b"-"
        while data:
            try:
                data = os.read(self._pipe, CHUNK)
            except OSError:
                data = b""
            self._chunks.put(data)


class Outbox:
    """Where reports go out; what does not fit waits, and the oldest goes first if it is too much.

    Frames are smaller than a pipe takes whole, so none is ever cut in two.
    """

    def __init__(self, pipe: int, room: int = 256) -> None:
        self._pipe = pipe
        self._waiting: deque[bytes] = deque(maxlen=room)
        if sys.platform != "win32":
            os.set_blocking(pipe, False)

    def put(self, frame: bytes) -> None:
        """Keep a frame for the next ``flush``."""
        self._waiting.append(frame)

    def flush(self) -> None:
        """Write what the pipe takes now."""
        while self._waiting:
            try:
                os.write(self._pipe, self._waiting[0])
            except OSError:  # full for now, or nobody reads: then the other pipe ends too
                return
            self._waiting.popleft()
