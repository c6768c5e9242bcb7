"""Practice at a glance: minutes by day, songs, tempo gained, spots healed; a spot over its days."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from fractions import Fraction
from typing import Final

from chartwalk.log.records import MarkRecord, PassRecord, RunRecord
from chartwalk.trouble.formula import Outcome, State, Trial, state
from chartwalk.trouble.spots import Spot, in_tempo

DAY: Final = timedelta(days=1)
WEEK: Final = 7
MONTH: Final = 30


@dataclass(frozen=True, slots=True)
class Gain:
    """A spot that was clean faster than ever before: from one tempo to another.

    ``before`` is the fastest clean tempo before the time looked at, or the first one in it where
    there was none; both are in beats a minute.
    """

    spot: Spot
    before: Fraction
    after: Fraction


@dataclass(frozen=True, slots=True)
class Glance:
    """What was practised from one day to another, both included.

    ``minutes`` holds every day, also those without practice; ``songs`` are the ids of the songs
    practised, the longest first; ``marks`` counts the trouble marks; ``gained`` and ``healed`` are
    the spots that got faster, and those that were not healed before and are now.
    """

    first: date
    last: date
    minutes: tuple[tuple[date, float], ...]
    songs: tuple[str, ...]
    marks: int
    gained: tuple[Gain, ...]
    healed: tuple[Spot, ...]

    @property
    def total(self) -> float:
        """The minutes of all days."""
        return sum(minutes for _, minutes in self.minutes)


def glance_back(
    today: date,
    days: int,
    played: Iterable[PassRecord | RunRecord],
    marks: Iterable[MarkRecord],
    spots: Iterable[Spot],
) -> Glance:
    """Return the last days at a glance, today included; a week is 7 of them, a month 30.

    ``played`` are passes and, where they are known, their runs. The minutes are those of the passes
    and what the runs lasted beyond them: while the next round of a loop is counted in, the player
    practises still.
    """
    first = today - (days - 1) * DAY
    spots = tuple(spots)
    seconds = {first + place * DAY: 0.0 for place in range(days)}
    by_song: defaultdict[str, float] = defaultdict(float)
    for day, song, lasted in _spent(tuple(played)):
        if day in seconds and lasted:
            seconds[day] += lasted
            by_song[song] += lasted
    gains = (_gain(spot, first, today) for spot in spots)
    return Glance(
        first=first,
        last=today,
        minutes=tuple((day, spent / 60) for day, spent in seconds.items()),
        songs=tuple(sorted(by_song, key=lambda song: (-by_song[song], song))),
        marks=sum(first <= mark.day <= today for mark in marks),
        gained=tuple(gain for gain in gains if gain),
        healed=tuple(spot for spot in spots if _healed_within(spot, first, today)),
    )


def _spent(
    played: Sequence[PassRecord | RunRecord],
) -> Iterator[tuple[date, str, float]]:
    """Yield on which day and which song how many seconds were spent."""
    in_passes: defaultdict[str, float] = defaultdict(float)
    for each in played:
        if isinstance(each, PassRecord):
            in_passes[each.run] += each.seconds
            yield each.day, each.song, each.seconds
    for each in played:
        if isinstance(each, RunRecord):
            yield each.day, each.song, max(0.0, each.seconds - in_passes[each.id])


def _gain(spot: Spot, first: date, last: date) -> Gain | None:
    clean = [trial for trial in spot.trials if trial.outcome is Outcome.CLEAN]
    before = [trial.near for trial in clean if trial.day < first]
    within = [trial.near for trial in clean if first <= trial.day <= last]
    if not within:
        return None
    was, now = max(before, default=within[0]), max(within)
    if now <= was:
        return None
    return Gain(spot, in_tempo(was, spot.goal), in_tempo(now, spot.goal))


def _healed_within(spot: Spot, first: date, last: date) -> bool:
    before, after = (healed_by(spot.trials, day) for day in (first - DAY, last))
    return after and not before


def healed_by(trials: Iterable[Trial], day: date) -> bool:
    """Return whether a spot was healed at the end of a day; before its first mark it was none."""
    until = [trial for trial in trials if trial.day <= day]
    marked = any(trial.outcome is Outcome.MARK for trial in until)
    evening = datetime.combine(day + DAY, time(), UTC)
    return marked and state(until, evening) is State.HEALED


@dataclass(frozen=True, slots=True)
class History:
    """A spot over its days, the earliest first: marks by day, and the fastest clean tempo by day.

    Days without any are left out; tempos are in beats a minute, as ``goal`` is.
    """

    marks: tuple[tuple[date, int], ...]
    tempos: tuple[tuple[date, Fraction], ...]
    goal: Fraction

    @property
    def days(self) -> tuple[date, ...]:
        """The days on which anything happened."""
        return tuple(sorted({day for day, _ in (*self.marks, *self.tempos)}))


def history(spot: Spot) -> History:
    """Return the history of a spot."""
    marks: defaultdict[date, int] = defaultdict(int)
    nears: dict[date, float] = {}
    for trial in spot.trials:
        if trial.outcome is Outcome.MARK:
            marks[trial.day] += 1
        elif trial.outcome is Outcome.CLEAN:
            nears[trial.day] = max(trial.near, nears.get(trial.day, 0.0))
    tempos = ((day, in_tempo(nears[day], spot.goal)) for day in sorted(nears))
    return History(tuple(sorted(marks.items())), tuple(tempos), spot.goal)
