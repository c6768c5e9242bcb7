"""Notices that an open port is gone where the clock's own process can't see it.

A process that is a client of a sound server which has died goes on seeing its ports and sending to
them, until it hangs; only a fresh process sees that there is nothing left.
"""

import threading
from collections.abc import Callable, Collection
from typing import Final

EVERY: Final = 5.0  # seconds between two looks
MISSES: Final = 2  # a busy server may not answer once


class Guard:
    """Looks for the port in use; calls ``gone`` with its name once it is missed twice in a row.

    >>> guard = Guard(lambda: "piano", lambda: ("organ",), print)
    >>> guard.check()
    >>> guard.check()
    piano
    """

    def __init__(
        self,
        port: Callable[[], str | None],
        look: Callable[[], Collection[str]],
        gone: Callable[[str], None],
    ) -> None:
        self._port = port
        self._look = look
        self._gone = gone
        self._missed = ("", 0)
        self._closed = threading.Event()

    def start(self) -> None:
        """Look every few seconds in a thread, until closed."""
        threading.Thread(target=self._keep_looking, name="clock guard", daemon=True).start()

    def close(self) -> None:
        """Look no more; a look that goes on is left to end by itself."""
        self._closed.set()

    def check(self) -> None:
        """Look once, if a port is in use."""
        port = self._port()
        if port is None or port in self._look():
            self._missed = ("", 0)
            return
        name, times = self._missed
        times = times + 1 if name == port else 1
        self._missed = (port, times % MISSES)
        if times == MISSES and not self._closed.is_set() and self._port() == port:
            self._gone(port)

    def _keep_looking(self) -> None:
        while not self._closed.wait(EVERY):
            self.check()
