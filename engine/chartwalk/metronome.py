"""The metronome as a screen uses it: the port that was chosen, the run under way, where it is.

It also sounds a chord when the player wants to hear one.
"""

import threading
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from chartwalk.click import Run
from chartwalk.clock.client import Clock
from chartwalk.clock.schedule import TICKS_PER_QUARTER
from chartwalk.clock.state import State
from chartwalk.midi import Ports, choose, output_ports

OPENING: Final = 1.0  # seconds; a port opens in some hundredths
LOOK: Final = 0.01  # seconds between two looks whether it has


def _start_clock(port: str | None) -> Clock:
    """Start a clock that notices when the port it plays on is gone."""
    return Clock.start(port, look=lambda: output_ports().outputs)


@dataclass(frozen=True, slots=True)
class Where:
    """Where the click is: ``place`` quarter notes into a bar ``length`` quarters long.

    ``step`` is the index of the step that is played, None while counting in.
    """

    step: int | None
    place: Fraction
    length: Fraction


class Metronome:
    """A clock and its port. Every method returns at once but `connect`, which may take seconds."""

    def __init__(
        self,
        wanted: str | None = None,
        *,
        look: Callable[[], Ports] = output_ports,
        start: Callable[[str | None], Clock] = _start_clock,
    ) -> None:
        self.wanted = wanted
        self._look = look
        self._clock = start(None)
        self._run: Run | None = None
        self._missing = "looking for a MIDI output"
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

    @property
    def silence(self) -> str:
        """One line that says why nothing sounds and what to do; empty while the click sounds."""
        if self._missing:
            return self._missing
        sound = self._clock.sound
        return "" if sound.port else sound.note

    @property
    def port(self) -> str | None:
        """The name of the port that sounds."""
        return self._clock.sound.port

    def run(self, run: Run, rate: float) -> None:
        """Count in and play a run, ``rate`` times as fast as written."""
        self._run = run
        self._clock.load(run.schedule)
        self._clock.rate(rate)
        self._clock.run()

    def rate(self, rate: float) -> None:
        """Play faster or slower from the next bar line on."""
        self._clock.rate(rate)

    def sound(self, keys: Sequence[int]) -> None:
        """Sound keys (MIDI numbers, 0 to 127) together for about 1.5 s; a run goes on meanwhile.

        They cut the chord before them; no keys just end it. Without a port nothing is heard.
        Raises ValueError for other numbers.
        """
        self._clock.strike(keys)

    def stop(self) -> None:
        """Stop at once; what sounds is released, a chord too."""
        self._clock.stop()

    def where(self) -> Where | None:
        """Return where the run is; None when nothing runs."""
        place = self._clock.place()
        if place is None or self._run is None or place.state is not State.RUNNING:
            return None
        return Where(
            self._run.step_of(place.bar),
            Fraction(int(place.tick), TICKS_PER_QUARTER),
            Fraction(self._run.schedule[place.bar].ticks, TICKS_PER_QUARTER),
        )

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
