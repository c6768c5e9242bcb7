"""What was played: round by round, clean or not, until somebody writes it down.

A round that is over stays open until the next one has begun: a mark made while that is counted in
is about the round before.
"""

from dataclasses import dataclass, field, replace
from fractions import Fraction

from chartwalk.arrange import Arrangement
from chartwalk.mode import Mode
from chartwalk.practice import Session


@dataclass(frozen=True, slots=True)
class Done:
    """A stretch that was played: its first and last step, at which scale, without a mark or not.

    ``arrangement`` is how the song was played in it, ``kind`` the mode it was played in; ``whole``
    says that it came to its end. The bar in which it was broken off is no part of it. ``began`` and
    ``ended`` are moments of the clock that the conductor reads, in seconds.
    """

    first: int
    last: int
    scale: Fraction
    clean: bool
    whole: bool
    kind: Mode
    arrangement: Arrangement = Arrangement()
    began: float = field(default=0.0, compare=False)
    ended: float = field(default=0.0, compare=False)


class Ledger:
    """Keeps the round under way, the one just over, and those before it."""

    def __init__(self) -> None:
        self._done: list[Done] = []
        self._over: Done | None = None  # the round just over
        self.start()

    def start(self) -> None:
        """Begin a first round."""
        self._reached: int | None = None  # the last step played in this round
        self._began = 0.0  # when its first bar did
        self._clean = True

    def reach(self, step: int, now: float) -> None:
        """Take in that a step is played."""
        if self._reached is None:
            self._began = now
        self._reached = step

    @property
    def between(self) -> bool:
        """Whether a round is over and the next one has not begun: it is counted in."""
        return self._over is not None

    def judge(self, *, clean: bool) -> None:
        """Take in whether a round is clean: the one under way, or the one just over."""
        if self._over:
            self._over = replace(self._over, clean=clean)
        else:
            self._clean = clean

    def end(self, first: int, last: int | None, session: Session, kind: Mode, now: float) -> None:
        """End the round, which went from a step to the ``last`` one, None where it broke off.

        The bar in which it broke off tells nothing, and what nobody has begun was not played.
        """
        self.settle()
        reached, began, clean = self._reached, self._began, self._clean
        self.start()
        if reached is None:
            return
        whole, until = last is not None, reached - 1 if last is None else last
        if until >= first:
            how = session.arrangement
            self._over = Done(first, until, session.scale, clean, whole, kind, how, began, now)

    def settle(self) -> None:
        """Keep the round that is over as it is: a mark made from now on is about the next."""
        if self._over:
            self._done.append(self._over)
        self._over = None

    def take(self) -> list[Done]:
        """Give, once, what was played and is settled."""
        done, self._done = self._done, []
        return done
