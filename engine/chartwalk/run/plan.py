"""Which turns come, as far as they are known: through to the end, or round and round.

A plan gives its turns in portions, so that a long song starts as fast as a short one.
"""

from abc import ABC, abstractmethod
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import takewhile
from typing import Final, Protocol, Self

from chartwalk.chart import Bar
from chartwalk.click import ClickStyle
from chartwalk.depth import Depth
from chartwalk.run.ladder import Ladder
from chartwalk.run.turn import Turn, count_in, played

PORTION: Final = 48  # bars


class Plan(Protocol):
    """What is to be played: steps from the first to the last; ``bars`` go in play order."""

    @property
    def first(self) -> int:
        """The first step."""

    @property
    def last(self) -> int:
        """The last step."""

    def turns(
        self, bars: Sequence[Bar], style: ClickStyle, after: Turn | None = None
    ) -> tuple[Turn, ...]:
        """Return the turns that follow one, or the first ones; none where it is over."""

    def pace(self, round_: int) -> Fraction:
        """Return how many times as fast as the clock's rate a round goes."""


@dataclass(frozen=True, slots=True)
class Through:
    """Steps ``first`` to ``last`` of the play order, once, counted in."""

    first: int
    last: int

    def turns(
        self, bars: Sequence[Bar], style: ClickStyle, after: Turn | None = None
    ) -> tuple[Turn, ...]:
        """Return the next portion."""
        lead = count_in(bars, self.first, style) if after is None else ()
        begin = self.first if after is None else after.step + 1
        return lead + played(bars, begin, min(self.last, begin + PORTION - 1))

    def pace(self, _: int) -> Fraction:
        """Return 1: it goes at the clock's rate."""
        return Fraction(1)


class Rounds(ABC):
    """A passage round and round, every round led in by a counted bar.

    ``first`` and ``last`` are its steps. The tempo of a round is part of its turns, so that it
    changes together with the bars, and never one without the other: the clock's own rate is 1.
    """

    __slots__ = ()
    first: int
    last: int

    @abstractmethod
    def scale(self, round_: int) -> Fraction:
        """Return how many times the written tempo a round goes; rounds to come count as clean."""

    @abstractmethod
    def marked(self, round_: int) -> Self:
        """Return the rounds once trouble was marked in one."""

    @abstractmethod
    def rebased(self, round_: int, scale: Fraction) -> Self:
        """Return the rounds once the player chose another tempo in one."""

    def comes(self, _: int) -> bool:
        """Whether a round is played, if all before it are clean."""
        return True

    def depth(self, _: int) -> Depth | None:
        """Return the depth at which a round is played; None leaves it to the player."""
        return None

    def pace(self, round_: int) -> Fraction:
        """Return how many times as fast as the clock's rate a round goes."""
        return self.scale(round_)

    def turns(
        self, bars: Sequence[Bar], style: ClickStyle, after: Turn | None = None
    ) -> tuple[Turn, ...]:
        """Return the next rounds, two at least as long as more come."""
        number = 0 if after is None else after.round + 1
        passage = (*count_in(bars, self.first, style), *played(bars, self.first, self.last))
        rounds = range(number, number + max(2, PORTION // len(passage)))
        return tuple(
            replace(turn, round=each, pace=self.pace(each))
            for each in takewhile(self.comes, rounds)
            for turn in passage
        )


@dataclass(frozen=True, slots=True)
class Loop(Rounds):
    """Steps ``first`` to ``last`` of the play order, round and round, as fast as a ladder says.

    From round ``since`` on the ladder climbs from the scale ``base`` (1: the written tempos).
    ``troubled`` are the rounds in which trouble was marked. ``goal`` is the written tempo of the
    first bar, in beats a minute.
    """

    first: int
    last: int
    ladder: Ladder
    goal: Fraction
    base: Fraction
    since: int = 0
    troubled: frozenset[int] = frozenset()

    def scale(self, round_: int) -> Fraction:
        """Return how many times the written tempo a round goes; rounds to come count as clean."""
        rounds = (number not in self.troubled for number in range(self.since, round_))
        return self.ladder.climbed(self.goal * self.base, self.goal, rounds) / self.goal

    def marked(self, round_: int) -> Self:
        """Return the loop once trouble was marked in a round."""
        return replace(self, troubled=self.troubled | {round_})

    def rebased(self, round_: int, scale: Fraction) -> Self:
        """Return the loop once the player chose another tempo in a round."""
        return replace(self, base=scale, since=round_)

    def climbing(self, round_: int, ladder: Ladder) -> Self:
        """Return the loop once the player chose another ladder in a round."""
        return replace(self.rebased(round_, self.scale(round_)), ladder=ladder)
