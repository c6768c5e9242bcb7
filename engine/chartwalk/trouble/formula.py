"""How much trouble a passage still gives: one number from its marks and its passes.

The formula
-----------
    trouble = the sum over the marks of  weight · 2^-(age / 14) · 2^-healing

- weight = 2 - near, where near is the mark's tempo against the goal, 1 at most. What breaks at
  half the tempo (1.5) is worse than what breaks at the goal (1).
- age is in days: what was marked a fortnight ago counts half.
- healing is the sum, over the days on which the passage was played clean after the mark, of
  share · (near₁ + near₂/4 + near₃/16 + ...), the clean passes of the day sorted by their near, the
  best first. So a day of clean passes at the goal halves the mark; at three quarters of the goal it
  heals three quarters as far; and however many passes a day has, they count at most 4/3 of one.
- share is the part of that day's trials that were right: the clean passes against the clean ones
  and the failures. A mark is a failure and so is a pass that was not clean; as one mostly comes
  with the other, the more numerous of the two is counted.

A passage is healed when its trouble is below 1/4 and it was played clean at nine tenths of the goal
or faster on two different days since its last mark. A new mark begins those days anew.

Reasons
-------
- Days, not repetitions: 29 musicians learned a nine-note figure with 5 minutes, 6 hours or 24 hours
  between the sessions, and only 24 hours made them more accurate (Simmons 2012, Journal of Research
  in Music Education 59(4), 357-368). Gaps of 15 minutes or less gained nothing (Wiseheart, D'Souza
  & Chae 2017, PLOS ONE 0182986).
- The share that is right: of 17 pianists those were best on the next day whose trials had been
  correct, not those who had played longer or more often (Duke, Simmons & Cash 2009, the same
  journal 56(4), 310-321: r about -.51 for the share of correct trials, -.71 for complete ones,
  rank 1 the best).
- The figures themselves (a fortnight, 4/3, 1/4, nine tenths, two days) are common practice, no
  source. Nine tenths of the goal is about two marks of a metronome below it.

Whatever else was logged, one mark more never lowers the trouble, one clean pass more never raises
it, and time alone never raises it.

Examples
--------
A mark at the goal counts 1 at once, and half as much after a fortnight without practice:

>>> from datetime import UTC, datetime, timedelta
>>> from chartwalk.trouble.formula import Outcome, Trial, clean_days, state, trouble
>>> start = datetime(2031, 5, 5, 18, tzinfo=UTC)
>>> def on(day, near, outcome=Outcome.CLEAN):
...     time = start + timedelta(days=day)
...     return Trial(time, time.date(), near, outcome)
>>> mark = on(0, 1, Outcome.MARK)
>>> [round(trouble([mark], start + timedelta(days=days)), 3) for days in (0, 14, 28)]
[1.0, 0.5, 0.25]

At half the tempo it counts 1.5. Clean at the goal on the next two days heals it; on the first
alone, three times in a row, does not, and at two thirds of the goal it takes longer:

>>> second = start + timedelta(days=2)
>>> round(trouble([on(0, 0.5, Outcome.MARK)], start), 3)
1.5
>>> twice = [mark, on(1, 1), on(2, 1)]
>>> round(trouble(twice, second), 3), clean_days(twice), state(twice, second).value
(0.226, 2, 'healed')
>>> once = [mark, on(1, 1), on(1.01, 1), on(1.02, 1)]
>>> round(trouble(once, second), 3), clean_days(once), state(once, second).value
(0.365, 1, 'easing')
>>> slow = [mark, on(1, 2 / 3), on(2, 2 / 3)]
>>> round(trouble(slow, second), 3), clean_days(slow), state(slow, second).value
(0.359, 0, 'easing')

One clean pass after three that were not heals a quarter as far as one that came at once:

>>> tries = [on(1 + part / 100, 1, Outcome.SPOILT) for part in range(3)]
>>> late, soon = [mark, *tries, on(1.05, 1)], [mark, on(1, 1)]
>>> round(trouble(late, second), 3), round(trouble(soon, second), 3)
(0.762, 0.453)
"""

from bisect import insort
from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from enum import Enum
from math import fsum
from typing import Final

HALF_LIFE: Final = timedelta(days=14)
FADING: Final = 1 / 4  # what each further clean pass of a day counts against the one before
HEALED_BELOW: Final = 1 / 4
NEAR_THE_GOAL: Final = 9 / 10
DAYS_TO_HEAL: Final = 2
COUNTED: Final = 26  # clean passes of a day; a further one is less than a float's last digit


class Outcome(Enum):
    """What came of a trial."""

    MARK = "mark"
    CLEAN = "clean"
    SPOILT = "spoilt"


class State(Enum):
    """How far a passage has healed."""

    OPEN = "open"
    """Not played clean since its last mark."""
    EASING = "easing"
    """Played clean since, but not often or not fast enough."""
    HEALED = "healed"


@dataclass(frozen=True, slots=True)
class Trial:
    """One mark, or one pass over a passage.

    ``day`` is the player's own; ``near`` is the tempo against the goal, 1 at the goal.
    """

    time: datetime
    day: date
    near: float
    outcome: Outcome


def trouble(trials: Iterable[Trial], now: datetime) -> float:
    """Return how much trouble a passage gives, 0 or more; the formula stands above."""
    trials = sorted(trials, key=_in_order, reverse=True)
    shares = _shares(trials)
    later: defaultdict[date, list[float]] = defaultdict(list)
    healing: dict[date, float] = {}
    weights = []
    for trial in trials:
        if trial.outcome is Outcome.CLEAN:
            insort(later[trial.day], -min(1.0, trial.near))
            healing[trial.day] = shares[trial.day] * _healed_by(later[trial.day])
        elif trial.outcome is Outcome.MARK:
            age = max(timedelta(), now - trial.time) / HALF_LIFE
            weight = 2 - min(1.0, trial.near)
            weights.append(weight * 2.0 ** -(age + fsum(healing.values())))
    return fsum(weights)


def clean_days(trials: Iterable[Trial]) -> int:
    """Return on how many days a passage was clean near its goal since its last mark."""
    trials = tuple(trials)
    since = _last_mark(trials)
    return len(
        {
            trial.day
            for trial in trials
            if trial.outcome is Outcome.CLEAN
            and trial.near >= NEAR_THE_GOAL
            and (since is None or trial.time > since)
        }
    )


def state(trials: Iterable[Trial], now: datetime) -> State:
    """Return how far a passage has healed."""
    trials = tuple(trials)
    if clean_days(trials) >= DAYS_TO_HEAL and trouble(trials, now) < HEALED_BELOW:
        return State.HEALED
    since = _last_mark(trials)
    clean = (trial.time for trial in trials if trial.outcome is Outcome.CLEAN)
    eased = any(since is None or time > since for time in clean)
    return State.EASING if eased else State.OPEN


def _in_order(trial: Trial) -> tuple[datetime, bool]:
    """Sort by time; a pass at the very time of a mark is no pass after it."""
    return trial.time, trial.outcome is Outcome.MARK


def _healed_by(nears: Sequence[float]) -> float:
    """Return how far some clean passes of one day heal; ``nears`` are negative, the best first."""
    return -fsum(near * FADING**place for place, near in enumerate(nears[:COUNTED]))


def _shares(trials: Iterable[Trial]) -> Mapping[date, float]:
    """Return the share of the trials of each day with a clean pass that were right."""
    counts = Counter((trial.day, trial.outcome) for trial in trials)
    shares = {}
    for day, outcome in counts:
        if outcome is Outcome.CLEAN:
            failed = max(counts[day, Outcome.MARK], counts[day, Outcome.SPOILT])
            clean = counts[day, Outcome.CLEAN]
            shares[day] = clean / (clean + failed)
    return shares


def _last_mark(trials: Iterable[Trial]) -> datetime | None:
    times = (trial.time for trial in trials if trial.outcome is Outcome.MARK)
    return max(times, default=None)
