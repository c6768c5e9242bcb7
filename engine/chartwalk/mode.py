"""What a session does, and what may change that: one table.

It stands still, counts in, runs through, goes round in a loop, plays a passage for the player to
hear, or waits for the player who has heard it.
"""

from collections.abc import Mapping
from enum import Enum, unique
from typing import Final


@unique
class Mode(Enum):
    """What the session does."""

    STOPPED = "stopped"
    COUNT_IN = "count-in"
    RUNNING = "running"
    LOOPING = "looping"
    LISTENING = "listening"
    WAITING = "your turn"

    @property
    def moving(self) -> bool:
        """Whether the clock plays."""
        return self not in {Mode.STOPPED, Mode.WAITING}


@unique
class Signal(Enum):
    """What can happen to it."""

    COUNT = "begins to count in"
    RUN = "begins to run"
    LOOP = "begins a round"
    LISTEN = "begins to be heard"
    END = "comes to the end"
    STOP = "is stopped"


TRANSITIONS: Final[Mapping[tuple[Mode, Signal], Mode]] = {
    (Mode.STOPPED, Signal.COUNT): Mode.COUNT_IN,
    (Mode.WAITING, Signal.COUNT): Mode.COUNT_IN,
    (Mode.LOOPING, Signal.COUNT): Mode.COUNT_IN,
    (Mode.COUNT_IN, Signal.RUN): Mode.RUNNING,
    (Mode.COUNT_IN, Signal.LOOP): Mode.LOOPING,
    (Mode.COUNT_IN, Signal.LISTEN): Mode.LISTENING,
    (Mode.RUNNING, Signal.END): Mode.STOPPED,
    (Mode.LOOPING, Signal.END): Mode.STOPPED,
    (Mode.LISTENING, Signal.END): Mode.WAITING,
    (Mode.COUNT_IN, Signal.STOP): Mode.STOPPED,
    (Mode.RUNNING, Signal.STOP): Mode.STOPPED,
    (Mode.LOOPING, Signal.STOP): Mode.STOPPED,
    (Mode.LISTENING, Signal.STOP): Mode.STOPPED,
    (Mode.WAITING, Signal.STOP): Mode.STOPPED,
}
"""Where each signal leads; one that is not here can't happen."""


def after(mode: Mode, signal: Signal) -> Mode:
    """Return the mode after a signal; raise ValueError where it can't happen.

    >>> after(Mode.COUNT_IN, Signal.LOOP)
    <Mode.LOOPING: 'looping'>
    """
    try:
        return TRANSITIONS[mode, signal]
    except KeyError:
        raise ValueError(f"a session that is {mode.value} never {signal.value}") from None
