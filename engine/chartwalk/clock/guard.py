"""Notices that the port in use is gone where the clock can't see it, and that it is back.

A process that is a client of a sound server which has died goes on seeing its ports and sending to
them, until it hangs; only a fresh process sees that there is nothing left. And a port that was
unplugged is looked for until it is plugged in again.
"""

import re
import threading
from collections.abc import Callable, Collection
from typing import Final

from chartwalk.clock.sound import Sound

EVERY: Final = 5.0  # seconds between two looks while the port sounds
DOUBT: Final = 1.0  # seconds to the second look at a port that was missed
MISSING: Final = 3.0  # seconds between two looks for a port that is not there
MISSES: Final = 2  # a busy server may not answer once
DOUBLINGS: Final = 4  # of the pause, while a port that is there can't be opened

# RtMidi ends the names of ALSA's ports with the client's number and the port's; they may be others
# once the cable is in again.
_NUMBERS: Final = re.compile(r" \d+:\d+$")


def found_again(port: str, names: Collection[str]) -> str | None:
    """Return the name a port has now: its own, or the only one that differs by ALSA's numbers.

    >>> found_again("Piano:Piano MIDI 1 20:0", ("Through 14:0", "Piano:Piano MIDI 1 24:0"))
    'Piano:Piano MIDI 1 24:0'
    """
    if port in names:
        return port
    bare = _NUMBERS.sub("", port)
    alike = [name for name in names if _NUMBERS.sub("", name) == bare]
    return alike[0] if len(alike) == 1 else None


class Guard:
    """Looks for the port that is ``wanted``, an empty name being none.

    Calls ``gone`` with its name once it sounds and is missed twice in a row, and ``back`` with the
    name it has now once it does not sound and is there.

    >>> guard = Guard(lambda: "piano", lambda: Sound.heard("piano"), tuple, print, print)
    >>> guard.check(), guard.check()
    piano
    (1.0, 5.0)
    """

    def __init__(
        self,
        wanted: Callable[[], str],
        sound: Callable[[], Sound],
        look: Callable[[], Collection[str]],
        gone: Callable[[str], None],
        back: Callable[[str], None],
    ) -> None:
        self._wanted = wanted
        self._sound = sound
        self._look = look
        self._gone = gone
        self._back = back
        self._missed = ("", 0)
        self._tries = 0  # at a port that was there and stayed silent
        self._closed = threading.Event()

    def start(self) -> None:
        """Look every few seconds in a thread, until closed."""
        threading.Thread(target=self._keep_looking, name="clock guard", daemon=True).start()

    def close(self) -> None:
        """Look no more; a look that goes on is left to end by itself."""
        self._closed.set()

    def check(self) -> float:
        """Look once, if a port is wanted; return the seconds until the next look makes sense."""
        wanted, sound = self._wanted(), self._sound()
        if not wanted:
            return EVERY
        if not sound.settled:
            return DOUBT
        names = self._look()
        if self._closed.is_set() or (self._wanted(), self._sound()) != (wanted, sound):
            return DOUBT  # what was looked for is another by now
        if sound.port is None:
            return self._await(found_again(wanted, names))
        self._tries = 0
        return self._doubt(sound.port, sound.port in names)

    def _await(self, name: str | None) -> float:
        if name is None:
            self._tries = 0
            return MISSING
        self._back(name)
        pause = MISSING * (1 << self._tries)
        self._tries = min(self._tries + 1, DOUBLINGS)
        return pause

    def _doubt(self, port: str, there: bool) -> float:
        name, times = self._missed
        times = 0 if there else 1 + times * (name == port)
        self._missed = (port, times % MISSES)
        if times == MISSES:
            self._gone(port)
        return DOUBT if times % MISSES else EVERY

    def _keep_looking(self) -> None:
        pause = EVERY
        while not self._closed.wait(pause):
            pause = self.check()
