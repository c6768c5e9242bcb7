"""The metronome as the conductor uses it: the port that was chosen, the score, where it is.

It also sounds a chord when the player wants to hear one.
"""

import threading
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from chartwalk.clock.client import Clock
from chartwalk.clock.moment import moment
from chartwalk.clock.place import Place
from chartwalk.clock.ports import BUILT_IN
from chartwalk.clock.state import State
from chartwalk.clock.synth import LATENCY
from chartwalk.midi import Ports, choose, output_ports
from chartwalk.run import Score, Turn

OPENING: Final = 1.0  # seconds; a port opens in some hundredths
SOON: Final = 0.05  # seconds that a change may need to reach the clock
LOOK: Final = 0.01  # seconds between two looks whether it has


def _start_clock(port: str | None) -> Clock:
    """Start a clock that notices when the port it plays on is gone."""
    return Clock.start(port, look=lambda: output_ports().outputs)


@dataclass(frozen=True, slots=True)
class Where:
    """Where the click is: ``place`` quarter notes into the turn with this index."""

    index: int
    turn: Turn
    place: Fraction


class Metronome:
    """A clock and its port. Every method returns at once but `connect`, which may take seconds.

    ``offset`` is how many seconds the sound comes after the output has it; the place that is shown
    lags as much, and by what the loudspeaker of this computer is known to take.
    """

    def __init__(
        self,
        wanted: str | None = None,
        *,
        look: Callable[[], Ports] = output_ports,
        start: Callable[[str | None], Clock] = _start_clock,
        now: Callable[[], float] = moment,
    ) -> None:
        self.wanted = wanted
        self._look = look
        self._now = now
        self._clock = start(None)
        self.offset = 0.0
        self._score = Score()
        self._shown = 0  # the last turn of the score that was shown
        self._missing = "Looking for a MIDI output; one moment."
        self._connecting = threading.Lock()

    def connect(self) -> Ports:
        """Look for the ports and open the wanted one, or the first real one.

        Afterwards it is known whether that port sounds. The newest call has the last word.
        """
        with self._connecting:
            ports = self._look()
            choice = choose(ports, self.wanted)
            self._missing = "" if choice.port else choice.note
            self._clock.open(choice.port)
            self._wait_for_the_port()
        return ports

    def look(self) -> Ports:
        """Look for the ports there are; open the wanted one if nothing sounds and it is there."""
        ports = self._look()
        if self.port is None and choose(ports, self.wanted).port:
            self.connect()
        return ports

    @property
    def silence(self) -> str:
        """One line that says why nothing sounds and what to do; empty while the click sounds."""
        if self._missing:
            return self._missing
        return self._clock.sound.complaint

    @property
    def port(self) -> str | None:
        """The name of the port that sounds."""
        return self._clock.sound.port

    @property
    def score(self) -> Score:
        """What is played, or was last."""
        return self._score

    def play(self, score: Score, rate: float) -> None:
        """Play a score from its start, ``rate`` times as fast as written."""
        self._score = score
        self._shown = 0
        self._clock.load(score.bars)
        self._clock.rate(rate)
        self._clock.run()

    def go_on(self, first: int, score: Score) -> None:
        """Put other turns in place of those from ``first`` on, or add them; what plays goes on.

        They hold from the next bar line on.
        """
        self._score = self._score.spliced(first, score)
        self._clock.replace(first, score.bars)

    def rate(self, rate: float) -> None:
        """Play faster or slower from the next bar line on."""
        self._clock.rate(rate)

    def sound(self, keys: Sequence[int], gap: float = 0.0) -> None:
        """Sound keys (MIDI numbers, 0 to 127) for about 1.5 s, one every ``gap`` seconds.

        A run goes on meanwhile. They cut the chord before them; no keys just end it. Without a port
        nothing is heard. Raises ValueError for other numbers.
        """
        self._clock.strike(keys, gap)

    def stop(self) -> None:
        """Stop at once; what sounds is released, a chord too."""
        self._clock.stop()

    def where(self) -> Where | None:
        """Return where the score is; None when nothing is played."""
        device = LATENCY if self.port == BUILT_IN else 0.0
        place = self._running(-self.offset - device)
        if place is None:
            return None
        index = max(self._shown, min(place.bar, len(self._score.turns) - 1))
        # Where a longer offset leads back over a bar line, it is waited for.
        tick = place.tick if index == place.bar else 0.0
        self._shown = index
        return Where(index, self._score.turns[index], self._score.place(index, tick))

    @property
    def changeable(self) -> int:
        """The index of the first turn that can be changed: none that begins any moment now."""
        place = self._running(SOON)
        return place.bar + 1 if place else 0

    def _running(self, later: float) -> Place | None:
        """Return where the clock is some seconds from now; None when nothing is played."""
        place = self._clock.place(self._now() + later)
        running = place is not None and place.state is State.RUNNING and bool(self._score.turns)
        return place if running else None

    @property
    def finished(self) -> bool:
        """Whether the score was played to its end."""
        place, bars = self._clock.place(), self._score.bars
        if place is None or not bars or place.state is State.RUNNING:
            return False
        return place.bar == len(bars) - 1 and place.tick >= bars[-1].ticks

    def take_message(self) -> str | None:
        """Give, once, the oldest thing the player should be told."""
        return self._clock.take_message()

    def close(self) -> None:
        """Release what sounds and end the clock."""
        self._clock.close()

    def _wait_for_the_port(self) -> None:
        end = time.monotonic() + OPENING
        while not self._clock.sound.settled and time.monotonic() < end:
            time.sleep(LOOK)
