"""Whether the clock runs, and what may change that: one table for the child and the screen."""

from collections.abc import Mapping
from enum import Enum, unique
from typing import Final


@unique
class State(Enum):
    """What the clock is doing. A count-in is a bar like any other, so it is running too."""

    STOPPED = 0
    RUNNING = 1


@unique
class Change(Enum):
    """What can happen to a clock."""

    RUN = "told to run"
    STOP = "told to stop"
    CLEAR = "given a new schedule"
    END = "came to the end of the schedule"
    STALL = "was held up for too long"
    LOST = "the process was lost"


TRANSITIONS: Final[Mapping[tuple[State, Change], State]] = {
    (State.STOPPED, Change.RUN): State.RUNNING,
    (State.STOPPED, Change.STOP): State.STOPPED,
    (State.STOPPED, Change.CLEAR): State.STOPPED,
    (State.STOPPED, Change.LOST): State.STOPPED,
    (State.RUNNING, Change.RUN): State.RUNNING,
    (State.RUNNING, Change.STOP): State.STOPPED,
    (State.RUNNING, Change.CLEAR): State.STOPPED,
    (State.RUNNING, Change.END): State.STOPPED,
    (State.RUNNING, Change.STALL): State.STOPPED,
    (State.RUNNING, Change.LOST): State.STOPPED,
}


def after(state: State, change: Change) -> State:
    """Return the state after a change; raise ValueError where the change can't happen.

    >>> after(State.STOPPED, Change.RUN)
    <State.RUNNING: 1>
    """
    try:
        return TRANSITIONS[state, change]
    except KeyError:
        raise ValueError(f"a clock that is {state.name.lower()} never {change.value}") from None
