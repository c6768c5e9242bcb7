"""A drill as a plan of rounds: what comes if every round is clean, until a mark says otherwise.

The clock is given the rounds ahead of time, so the next one begins at its own tempo whatever the
screen does. When a round has its mark, the rest of that round goes on at its tempo and the next one
is slower. After the last clean round at the goal nothing follows: the drill ends with the music.
"""

from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Self

from chartwalk.depth import Depth
from chartwalk.run import Rounds
from chartwalk.trouble.drill import Drill, Elapsed, Marked, Passed, follow


@dataclass(frozen=True, slots=True)
class Drilled(Rounds):
    """Rounds of a drill: ``drill`` is as it stands in round ``since``, which goes at ``base``."""

    first: int
    last: int
    drill: Drill
    base: Fraction
    since: int = 0
    played: Depth | None = None  # the depth of round ``since``, if not that of the drill

    @classmethod
    def of(cls, drill: Drill) -> Self:
        """Return the rounds of a drill that begins."""
        return cls(drill.first, drill.last, drill, drill.scale)

    def at(self, round_: int) -> Drill:
        """Return the drill in a round, if all rounds until then are clean."""
        drill = self.drill
        for _ in range(self.since, round_):
            drill = follow(drill, Passed(clean=True))
        return drill

    def scale(self, round_: int) -> Fraction:
        """Return how many times the written tempo a round goes."""
        return self.base if round_ <= self.since else self.at(round_).scale

    def comes(self, round_: int) -> bool:
        """Whether a round is played: until the drill has ended."""
        return not self.at(round_).ended

    def depth(self, round_: int) -> Depth:
        """Return the depth at which a round is played."""
        here = self.played if round_ <= self.since else None
        return here or self.at(round_).fullness.depth

    def marked(self, round_: int) -> Self:
        """Return the rounds once trouble was marked in one."""
        return self._with(round_, follow(self.at(round_), Marked()))

    def rebased(self, round_: int, scale: Fraction) -> Self:
        """Return the rounds once the player chose another tempo in one, within the drill's own."""
        drill = self.at(round_)
        tempo = min(max(scale * drill.terms.goal, drill.terms.lowest), drill.terms.goal)
        changed = replace(drill, tempo=tempo, row=0)
        return replace(self._with(round_, changed), base=changed.scale)

    def elapsed(self, round_: int, minutes: Fraction) -> Self:
        """Return the rounds once so many minutes have gone by: after its time it ends."""
        return self._with(round_, follow(self.at(round_), Elapsed(minutes)))

    def _with(self, round_: int, drill: Drill) -> Self:
        """Return the rounds once a round changed the drill; its own tempo and depth stay."""
        base, played = self.scale(round_), self.depth(round_)
        return replace(self, drill=drill, base=base, since=round_, played=played)
