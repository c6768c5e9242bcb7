"""Keeps a clock process running: notices when it is lost and puts another in its place."""

import threading
from collections.abc import Callable, Iterable
from typing import Final, Protocol

from chartwalk.clock.link import Link
from chartwalk.clock.messages import Message
from chartwalk.clock.spawn import Child
from chartwalk.clock.watch import Losses, Remedy, Watch

LOOK: Final = 0.25  # seconds between two looks at the process
PATIENCE_TO_QUIT: Final = 1.0  # seconds the process has to release what sounds


class Owner(Protocol):
    """Whom the keeper tells, always with the lock held."""

    def received(self, message: Message) -> None:
        """Take what the process said."""

    def lost(self, remedy: Remedy) -> None:
        """Learn that the process was lost, and what will be done."""

    def unstartable(self, reason: str) -> None:
        """Learn that no process could be started."""

    def greeting(self) -> Iterable[Message]:
        """Give what a new process has to be told first."""


class Keeper:
    """Holds the link to a process. ``lock`` guards whatever the owner changes in its calls."""

    def __init__(
        self,
        owner: Owner,
        lock: threading.RLock,
        spawn: Callable[[], Child],
        now: Callable[[], float],
    ) -> None:
        self._owner = owner
        self._lock = lock
        self._spawn = spawn
        self._now = now
        self._closed = False
        self._alarm = threading.Event()  # wakes the watching thread before its next look
        self._ended: Link | None = None
        self._losses = Losses()
        self._watch = Watch(now())
        self._link: Link | None = None
        self._connect()
        self._thread = threading.Thread(target=self._look_after, name="clock watch", daemon=True)
        self._thread.start()

    @property
    def alive(self) -> bool:
        """Whether there is a process."""
        return self._link is not None

    def send(self, messages: Iterable[Message]) -> None:
        """Have the messages written soon; without a process nothing happens."""
        link = self._link
        if link is not None and not link.send(messages):
            link.kill()  # it has stopped reading: the watching thread starts another

    def close(self) -> None:
        """Have the process quit, or kill it."""
        self._closed = True
        self._alarm.set()
        self._thread.join()
        link, self._link = self._link, None
        if link is not None:
            link.close(PATIENCE_TO_QUIT)

    def _connect(self) -> None:
        try:
            child = self._spawn()
        except OSError as error:
            with self._lock:
                self._link = None
                self._owner.unstartable(str(error))
            return
        link = Link(child, self._receive, self._notice)
        self._watch = Watch(self._now())
        with self._lock:  # nothing may be said to the new process before the greeting
            link.send(self._owner.greeting())
            self._link = link

    def _receive(self, _: Link, message: Message) -> None:
        self._watch.heard(self._now())
        with self._lock:
            self._owner.received(message)

    def _notice(self, link: Link) -> None:
        self._ended = link
        self._alarm.set()

    def _look_after(self) -> None:
        while not self._closed and (link := self._link) is not None:
            if self._ended is link or self._watch.overdue(self._now()):
                self._replace(link)
            self._alarm.wait(LOOK)
            self._alarm.clear()

    def _replace(self, link: Link) -> None:
        remedy = self._losses.remedy(self._now())
        with self._lock:
            self._owner.lost(remedy)
            if remedy is Remedy.GIVE_UP:
                self._link = None
        link.close(0)  # joins its threads: nothing of the old process is heard after this
        if remedy is not Remedy.GIVE_UP and not self._closed:
            self._connect()
