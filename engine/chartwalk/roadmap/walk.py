"""Walking the road: the written bars in the order they are played."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from chartwalk.chart import JUMPS, Bar, Chart, Sign
from chartwalk.problems import ChartError, Problem
from chartwalk.roadmap.goals import AL_CODA, AL_FINE, TO_SEGNO, Goals, find_goals
from chartwalk.roadmap.repeats import Ending, Repeat, find_repeats

SUFFIXES: Final = {1: "st", 2: "nd", 3: "rd"}
MAX_STEPS: Final = 100_000  # nested repeats multiply; nobody plays this many bars

Next = tuple[int | None, str | None, bool]
"""The next bar (None: the end), why if it is no neighbour, and whether it is no repeat's return."""


@dataclass(frozen=True, slots=True)
class Step:
    """One bar of the play order.

    ``index`` counts the steps from 0 and ``bar`` is the index of the written bar, from 0.
    ``pass_`` says which time through the bar this is, from 1; in an ending it is how often the bars
    before the endings have been played. ``why`` tells the jump that led here, None where the bar
    follows on paper.
    """

    index: int
    bar: int
    pass_: int
    why: str | None = None


def ordinal(number: int) -> str:
    """Write 1st, 2nd, 3rd, 4th.

    >>> [ordinal(n) for n in (1, 2, 3, 11, 22)]
    ['1st', '2nd', '3rd', '11th', '22nd']
    """
    teen = 11 <= number % 100 <= 13
    return f"{number}{'th' if teen else SUFFIXES.get(number % 10, 'th')}"


@dataclass(frozen=True, slots=True)
class Walked:
    """A road from end to end: its repeats, its play order, and the goals the jumps made use of.

    ``used`` holds a goal as the index of its bar and its sign.
    """

    repeats: tuple[Repeat, ...]
    steps: tuple[Step, ...]
    used: frozenset[tuple[int, Sign]]


def unroll(chart: Chart) -> tuple[Step, ...]:
    """Return the play order of a chart; the cost is linear in the bars played.

    Raises ChartError with every problem, each with its bar, where the road can't be walked.
    """
    return walk(chart).steps


def walk(chart: Chart) -> Walked:
    """Walk the road of a chart; raise ChartError with every problem where it can't be walked."""
    bars = chart.bars
    repeats, repeat_problems = find_repeats(bars, [index for index, _ in chart.section_starts()])
    goals, goal_problems = find_goals(bars)
    problems = sorted((*repeat_problems, *goal_problems), key=lambda problem: problem.index)
    if problems:
        raise ChartError(problems)
    way = _Way(bars, repeats, goals)
    way.go()
    return Walked(repeats, tuple(way.steps), frozenset(way.used))


class _Way:
    """The state of one walk: where it is, the pass of each repeat, the jump taken."""

    def __init__(self, bars: Sequence[Bar], repeats: Sequence[Repeat], goals: Goals) -> None:
        self.bars, self.goals = bars, goals
        self.steps: list[Step] = []
        self.signs = [frozenset(mark.sign for mark in bar.marks) for bar in bars]
        self.starting = {repeat.start: repeat for repeat in repeats}
        self.closing: dict[int, Repeat] = {}
        self.ending: dict[int, tuple[Repeat, Ending]] = {}  # by the first bar of the ending
        self.ending_repeat: dict[int, Repeat] = {}  # by every bar of an ending
        for repeat in repeats:
            for ending in repeat.endings:
                self.ending[ending.first] = repeat, ending
                for index in range(ending.first, ending.last + 1):
                    self.ending_repeat.setdefault(index, repeat)
            self.closing.update(dict.fromkeys(repeat.closings, repeat))
        self.passes = dict.fromkeys((repeat.start for repeat in repeats), 1)
        self.rounds = dict.fromkeys(self.passes, 0)  # passes over the whole road
        self.done: set[int] = set()  # starts of the repeats that were taken in full
        self.played = [0] * len(bars)
        self.jumped = False
        self.in_coda = False
        self.used: set[tuple[int, Sign]] = set()

    def go(self) -> None:
        place: int | None = 0
        why: str | None = None
        forward = True
        while place is not None and place < len(self.bars):
            if forward and (repeat := self.starting.get(place)):
                self.passes[place] = 1
                self.rounds[place] += 1
                if repeat.times == 0:
                    place, why = repeat.last + 1, "left out: played 0 times"
                    continue
            if place in self.ending:
                repeat, here = self.ending[place]
                number = repeat.times if self._over(repeat) else self.passes[repeat.start]
                wanted = repeat.ending_for(number)
                if wanted != here:
                    ending = f"{ordinal(number)} ending"
                    place, why = wanted.first, f"{why}, {ending}" if why else ending
                    continue
                if repeat.times in here.passes:
                    self.done.add(repeat.start)
            self._play(place, why)
            place, why, forward = self._after(place)
        self._check_goals()

    def _play(self, place: int, why: str | None) -> None:
        if len(self.steps) == MAX_STEPS:
            raise self._error(place, f"the road is longer than {MAX_STEPS} bars")
        self.played[place] += 1
        number = self._pass_of(place)
        neighbour = self.steps and self.steps[-1].bar + 1 == place
        self.steps.append(Step(len(self.steps), place, number, None if neighbour else why))

    def _after(self, place: int) -> Next:
        repeat = self.closing.get(place)
        again = repeat if repeat and self._left(repeat) else None
        # A repeat sign is obeyed before a goal on its own bar line, unless this is an ending.
        if not (again and not again.endings) and (left := self._leave(place)):
            return left
        if again:
            number = self.passes[again.start] + 1
            self.passes[again.start] = number
            self.rounds[again.start] += 1
            return again.start, f"repeat, {ordinal(number)} time", False
        if repeat:
            self.done.add(repeat.start)
        if self.signs[place] & JUMPS and not self.jumped:
            return self._jump()
        if repeat and repeat.endings and place < repeat.endings[-1].first:
            return repeat.last + 1, "past the other endings", True
        return place + 1, None, True

    def _leave(self, place: int) -> Next | None:
        """Leave the road at Fine, or at To Coda for the coda, once the jump was taken."""
        al_coda = self.goals.jump in AL_CODA
        signs = self.signs[place] if self.jumped else frozenset()
        if Sign.FINE in signs and (self.in_coda or not al_coda):
            self.used.add((place, Sign.FINE))
            return None, None, True
        if Sign.TO_CODA in signs and al_coda and not self.in_coda:
            self.in_coda = True
            self.used |= {(place, Sign.TO_CODA), (self.goals.coda, Sign.CODA)}
            return self.goals.coda, "to coda", True
        return None

    def _jump(self) -> Next:
        self.jumped = True
        if self.goals.jump in TO_SEGNO:
            self.used.add((self.goals.target, Sign.SEGNO))
            return self.goals.target, "back to segno", True
        return self.goals.target, "back to the beginning", True

    def _left(self, repeat: Repeat) -> bool:
        """Whether a repeat is to be taken again from its closing sign."""
        return self.passes[repeat.start] < repeat.times and not self._over(repeat)

    def _over(self, repeat: Repeat) -> bool:
        """Whether a repeat is past: taken in full before the jump, and not to be taken again."""
        return self.jumped and repeat.start in self.done and not repeat.after_jump

    def _pass_of(self, place: int) -> int:
        """How often the bar has been played; in an ending, how often the bar before the endings."""
        repeat = self.ending_repeat.get(place)
        if repeat is None:
            return self.played[place]
        before = repeat.endings[0].first - 1
        return self.played[before] if before >= repeat.start else self.rounds[repeat.start]

    def _check_goals(self) -> None:
        jump = self.goals.jump
        if jump is None:
            return
        index = next(i for i, signs in enumerate(self.signs) if signs & JUMPS)
        if not self.jumped:
            raise self._error(index, f"{jump.words} is never reached")
        if jump in AL_CODA and not self.in_coda:
            raise self._error(index, f"To Coda is never reached after {jump.words}")
        if jump in AL_FINE and Sign.FINE not in self.signs[self.steps[-1].bar]:
            raise self._error(index, f"Fine is never reached after {jump.words}")

    def _error(self, index: int, message: str) -> ChartError:
        return ChartError([Problem(message, bar=self.bars[index].number, index=index)])
