"""The messages between the screen and the clock, as values; ``wire`` turns them into bytes."""

from dataclasses import dataclass
from typing import Final

from chartwalk.clock.schedule import Event
from chartwalk.clock.state import State

KEYS: Final = frozenset(range(128))  # MIDI 1.0, note numbers
LONGEST_GAP: Final = 1000  # milliseconds

# Up: from the screen to the clock.


@dataclass(frozen=True, slots=True)
class Clear:
    """Stop at once and forget the schedule."""


@dataclass(frozen=True, slots=True)
class AddBar:
    """Add a bar at the end of the schedule; ``count`` events follow before it can be played."""

    ticks: int
    tick_seconds: float
    count: int


@dataclass(frozen=True, slots=True)
class AddEvents:
    """The next events of the bar being added, by tick."""

    events: tuple[Event, ...]


@dataclass(frozen=True, slots=True)
class Replace:
    """Put the next ``count`` bars that come in place of all bars from ``first`` on.

    Until the last of them has come all is as before; a bar that has begun by then is played to its
    end, and the new bars before and in its place are left out.
    """

    first: int
    count: int


@dataclass(frozen=True, slots=True)
class Start:
    """Start at a bar. ``run`` is a number of the screen's own that comes back with what follows."""

    run: int
    first: int


@dataclass(frozen=True, slots=True)
class Rate:
    """Play at this many times the written tempo from the next bar line on."""

    rate: float


@dataclass(frozen=True, slots=True)
class Stop:
    """Stop at once and release what sounds, a chord that was struck as well."""


@dataclass(frozen=True, slots=True)
class Silence:
    """Silence all sixteen channels; what runs goes on."""


@dataclass(frozen=True, slots=True)
class Strike:
    """Sound these keys as one chord now, in place of the one before; no keys just end that one.

    Keys are MIDI numbers; each is struck ``gap`` thousandths of a second after the one below it.
    Raises ValueError unless they lie within 0 to 127 and go upwards.
    """

    keys: tuple[int, ...]
    gap: int = 0

    def __post_init__(self) -> None:
        if not 0 <= self.gap <= LONGEST_GAP:
            raise ValueError(f"a gap is 0 to {LONGEST_GAP} ms: {self.gap}")
        if self.keys != tuple(sorted(KEYS.intersection(self.keys))):
            raise ValueError(f"keys go upwards from 0 to 127, each once: {self.keys}")


@dataclass(frozen=True, slots=True)
class Open:
    """Open a port by its name; an empty name closes the port and goes on in silence."""

    name: str


@dataclass(frozen=True, slots=True)
class Gone:
    """The port of that name is gone, though the clock may not see it: let go of it unheard."""

    name: str


@dataclass(frozen=True, slots=True)
class Quit:
    """Release what sounds, close the port and end."""


# Down: from the clock to the screen.


@dataclass(frozen=True, slots=True)
class Ready:
    """The clock listens; ``priority`` names what the system granted it."""

    priority: str


@dataclass(frozen=True, slots=True)
class Opened:
    """The port that sounds; an empty name means none, and ``reason`` says why."""

    name: str
    reason: str


@dataclass(frozen=True, slots=True)
class Anchor:
    """At ``moment`` (seconds, monotonic) the clock is ``tick`` ticks into a bar."""

    run: int
    moment: float
    bar: int
    tick: float
    tick_seconds: float
    state: State


@dataclass(frozen=True, slots=True)
class Ended:
    """The schedule is over."""

    run: int


@dataclass(frozen=True, slots=True)
class Failed:
    """Something went wrong; one plain sentence."""

    text: str


@dataclass(frozen=True, slots=True)
class Heartbeat:
    """The clock is alive. How late the messages of this run were sent, in milliseconds."""

    count: int
    p50: float
    p99: float
    worst: float


Up = (
    Clear
    | AddBar
    | AddEvents
    | Replace
    | Start
    | Rate
    | Stop
    | Silence
    | Strike
    | Open
    | Gone
    | Quit
)
Down = Ready | Opened | Anchor | Ended | Failed | Heartbeat
Message = Up | Down
