"""When the places of one bar come, in ticks after its bar line; a fermata makes it longer."""

from dataclasses import dataclass, field
from fractions import Fraction
from math import ceil

from chartwalk.clock.schedule import TICKS_PER_QUARTER
from chartwalk.run.turn import Turn


@dataclass(frozen=True, slots=True)
class Timing:
    """The ticks of one turn. A fermata holds for ``hold`` beats: what ends there sounds on.

    ``ticks`` is how long the bar lasts: two at least, so that a note can begin and end in it.
    """

    turn: Turn
    hold: int
    ticks: int = field(init=False)
    _ends: tuple[Fraction, ...] = field(init=False)
    _held: Fraction = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "_ends", self.turn.held)
        object.__setattr__(self, "_held", self.hold * self.turn.bar.meter.beat)
        object.__setattr__(self, "ticks", max(2, self._tick(self.turn.length)))

    @property
    def tick_seconds(self) -> float:
        """How many seconds a tick lasts at the run's own tempo."""
        bar = self.turn.bar
        return float(60 / (bar.tempo * self.turn.pace * bar.meter.beat * TICKS_PER_QUARTER))

    def start(self, at: Fraction) -> int:
        """Return the tick at which something begins."""
        return min(self._tick(at), self.ticks - 2)

    def end(self, at: Fraction, start: int) -> int:
        """Return the tick at which something ends that began at a tick."""
        return max(start + 1, min(self._tick(at), self.ticks - 1))

    def place(self, tick: float) -> Fraction:
        """Return the place in the bar, in quarter notes, at a tick; a fermata's hold is no place.

        While it holds, the place stays on the last tick before the end of what is held.
        """
        quarters = Fraction(int(tick), TICKS_PER_QUARTER)
        for end in self._ends:
            if quarters < end:
                break
            just_before = Fraction(ceil(end * TICKS_PER_QUARTER) - 1, TICKS_PER_QUARTER)
            later = quarters - self._held
            quarters = later if later >= end else just_before
        return min(quarters, self.turn.length)

    def _tick(self, at: Fraction) -> int:
        held = sum(at >= end for end in self._ends) * self._held if self._ends else 0
        return round((at + held) * TICKS_PER_QUARTER)
