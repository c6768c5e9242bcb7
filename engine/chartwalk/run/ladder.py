"""The tempo ladder of a loop: how fast the next round goes."""

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from chartwalk.tempo import next_tempo


@lru_cache(maxsize=512)  # every look at the clock climbs the ladder anew
def _faster(tempo: Fraction, goal: Fraction) -> Fraction:
    return next_tempo(tempo, True, goal)


@dataclass(frozen=True, slots=True)
class Ladder:
    """How a loop gains tempo: ``marks`` metronome marks after every ``rounds`` rounds.

    With 0 marks it stays as it is. If only ``clean`` rounds count, one with a trouble mark begins
    the count anew. No study of the best step was found; metronome marks are common practice (no
    source). Raises ValueError for fewer than 0 marks or 1 round.
    """

    marks: int = 0
    rounds: int = 1
    clean: bool = True

    def __post_init__(self) -> None:
        if self.marks < 0 or self.rounds < 1:
            raise ValueError(f"a ladder climbs 0 marks or more, every round or fewer: {self}")

    def climbed(self, tempo: Fraction, goal: Fraction, rounds: Iterable[bool]) -> Fraction:
        """Return the tempo after some rounds (were they clean?), at most the goal.

        A tempo above the goal stays.

        >>> Ladder(1, 2).climbed(Fraction(60), Fraction(96), [True, True, False, True, True])
        Fraction(66, 1)
        """
        made = 0
        for clean in rounds:
            made = made + 1 if clean or not self.clean else 0
            if made == self.rounds:
                made = 0
                for _ in range(self.marks):
                    tempo = _faster(tempo, goal) if tempo < goal else tempo
        return tempo
