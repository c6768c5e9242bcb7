"""When to return to a trouble spot: spaced by FSRS, replayed from the log.

FSRS (the PyPI library ``fsrs``, with its own parameters and the aim to recall nine of ten) tells
how many days something learned will last. It asks for one answer each time. The player is asked
nothing; the day's passes answer:

- again: the last trial of the day failed: a mark, or a pass that was not clean;
- hard: clean in the end, but it failed before that day, or was clean only at less than nine tenths
  of the goal;
- good: clean from the first to the last, at nine tenths of the goal or faster.

*Easy* is how a thing felt, which nobody asked, and is never given. The first day is that of the
first mark; every day on which the passage was played or marked is one answer. Steps of minutes are
left out: within a day the drill decides, so the spaces are whole days, one at least. Nothing
is left to chance (no fuzzing): the same log gives the same day.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from enum import Enum
from typing import Final

from chartwalk.trouble.formula import NEAR_THE_GOAL, Outcome, State, Trial
from chartwalk.trouble.spots import DRILLED, Spot, worst_first

NOON: Final = time(12, tzinfo=UTC)  # days are what counts; any hour would do


class Answer(Enum):
    """How a day went, by the number FSRS gives it."""

    AGAIN = 1
    HARD = 2
    GOOD = 3


@dataclass(frozen=True, slots=True)
class DayPractised:
    """One day on which a passage was played or marked, and how it went."""

    day: date
    answer: Answer


@dataclass(frozen=True, slots=True)
class Return:
    """The day to return to a passage, ``days`` after it was last played.

    ``stability`` is for how many days it will last, ``difficulty`` goes from 1 to 10.
    """

    day: date
    days: int
    stability: float
    difficulty: float


def days_practised(trials: Iterable[Trial]) -> tuple[DayPractised, ...]:
    """Return the days of a passage from its first mark on, the earliest first."""
    by_day: defaultdict[date, list[Trial]] = defaultdict(list)
    for trial in sorted(trials, key=lambda trial: trial.time):
        by_day[trial.day].append(trial)
    marked = [
        day
        for day, trials in by_day.items()
        if any(trial.outcome is Outcome.MARK for trial in trials)
    ]
    if not marked:
        return ()
    days = (day for day in sorted(by_day) if day >= min(marked))
    return tuple(DayPractised(day, _answer(by_day[day])) for day in days)


def _answer(trials: Sequence[Trial]) -> Answer:
    """Judge the trials of one day, the earliest first."""
    if trials[-1].outcome is not Outcome.CLEAN:
        return Answer.AGAIN
    failed = any(trial.outcome is not Outcome.CLEAN for trial in trials)
    near = max(trial.near for trial in trials if trial.outcome is Outcome.CLEAN)
    return Answer.HARD if failed or near < NEAR_THE_GOAL else Answer.GOOD


def next_return(history: Sequence[DayPractised]) -> Return:
    """Return when to come back to a passage after some different days, the earliest first.

    Raises ValueError without a day.

    >>> first, second = date(2031, 5, 5), date(2031, 5, 6)
    >>> next_return([DayPractised(first, Answer.AGAIN), DayPractised(second, Answer.GOOD)]).days
    2
    """
    from fsrs import Card, Rating, Scheduler  # noqa: PLC0415 - only where days are asked for

    if not history:
        raise ValueError("a passage that was never played has no day to return")
    scheduler = Scheduler(learning_steps=(), relearning_steps=(), enable_fuzzing=False)
    card = Card(card_id=0, due=datetime.combine(history[0].day, NOON))
    for each in history:
        rating = Rating(each.answer.value)
        card, _ = scheduler.review_card(card, rating, datetime.combine(each.day, NOON))
    last = history[-1].day
    days = (card.due.date() - last) // timedelta(days=1)
    return Return(card.due.date(), days, card.stability or 0.0, card.difficulty or 0.0)


def spot_return(spot: Spot) -> Return:
    """Return when to come back to a trouble spot."""
    return next_return(days_practised(spot.trials))


def due_spots(returns: Mapping[Spot, Return], today: date) -> tuple[Spot, ...]:
    """Return the spots that are due today or were before, the worst first.

    Healed ones come last: they are due to be tried once more.
    """
    due = (spot for spot, back in returns.items() if back.day <= today)
    return tuple(sorted(due, key=lambda spot: (spot.state is State.HEALED, worst_first(spot))))


def fresh_spots(returns: Mapping[Spot, Return], today: date) -> tuple[Spot, ...]:
    """Return the spots marked today and neither drilled nor clean since, the worst first.

    Nothing was learned there yet that could be spaced, so they are due on another day.
    """
    fresh = (
        spot
        for spot, back in returns.items()
        if back.day > today
        and spot.state is State.OPEN
        and spot.marks[-1].day == today
        and not any(each.kind == DRILLED and each.day == today for each in spot.passes)
    )
    return tuple(sorted(fresh, key=worst_first))
