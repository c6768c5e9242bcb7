"""Bars to click, and how a run of them is written out."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction

import pytest

from chartwalk.chart import Bar, Note
from chartwalk.click import ClickStyle
from chartwalk.clock.schedule import ScheduledBar
from chartwalk.meter import Meter
from chartwalk.run import Manner, Turn, count_in, make_score, played


def _bar(meter: str, tempo: str = "60", pickup: str | None = None, feel: str = "straight") -> Bar:
    signature = Meter.parse(meter)
    if pickup is None:
        return Bar("1", signature, tempo=Fraction(tempo), feel=feel, length=signature.quarters)
    length = Fraction(pickup)
    rest = Note(None, length)
    return Bar(
        "0", signature, tempo=Fraction(tempo), feel=feel, length=length, pickup=True, tune=(rest,)
    )


@pytest.fixture(scope="session")
def bar() -> Callable[..., Bar]:
    """Make a bar from its meter, tempo, feel and, in a pickup, its length in quarters."""
    return _bar


@dataclass(frozen=True)
class Written:
    """A run as the clock gets it: the bars that are counted in, and those of the song."""

    count_in: tuple[ScheduledBar, ...]
    bars: tuple[ScheduledBar, ...]
    turns: tuple[Turn, ...]

    @property
    def schedule(self) -> tuple[ScheduledBar, ...]:
        """All of it."""
        return self.count_in + self.bars

    def step_of(self, index: int) -> int | None:
        """The step that a bar of it plays; None where it is counted in."""
        turn = self.turns[index]
        return turn.step if turn.counted is None else None


@pytest.fixture(scope="session")
def write() -> Callable[..., Written]:
    """Write out a run of bars in play order from a step on."""

    def make(bars: Sequence[Bar], first: int, style: ClickStyle | None = None) -> Written:
        style = style or ClickStyle()
        lead = count_in(bars, first, style)
        turns = (*lead, *played(bars, first, len(bars) - 1))
        schedule = make_score(turns, Manner(style)).bars
        return Written(schedule[: len(lead)], schedule[len(lead) :], turns)

    return make
