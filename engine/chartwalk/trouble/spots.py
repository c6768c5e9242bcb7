"""Trouble spots: the marks and passes of the log, gathered into passages."""

from bisect import bisect_left
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from fractions import Fraction
from typing import Final

from chartwalk.log.records import Kind, MarkRecord, PassRecord
from chartwalk.song import Song
from chartwalk.trouble.formula import Outcome, State, Trial, state, trouble
from chartwalk.trouble.stretches import find, played, stretches

STEPPED: Final = "step"
DRILLED: Final = "drill"

LATE: Final = 5.0  # seconds after a pass in which a mark is still about it,
COUNTED_IN: Final = 8  # or the beats that are counted in for the next one: two bars of four
FINEST: Final = 1000  # no tempo has a greater denominator


@dataclass(frozen=True, slots=True)
class Spot:
    """A passage that gave trouble.

    ``song`` is its id in the log; ``bars`` are indices of written bars in the order they are
    played, and ``step`` is the step at which they begin where they were marked most; None where
    they are no longer played. ``marks`` and ``passes`` are those of the passage, the earliest
    first, and ``trials`` both of them against today's goal. ``best`` is the fastest tempo at which
    it was clean, None where it never was, and ``goal`` its written tempo, both in beats a minute of
    its first bar.
    """

    song: str
    bars: tuple[int, ...]
    step: int | None
    marks: tuple[MarkRecord, ...]
    passes: tuple[PassRecord, ...]
    trials: tuple[Trial, ...]
    best: Fraction | None
    goal: Fraction
    trouble: float
    state: State

    def __hash__(self) -> int:
        """Tell spots apart by their place: what happened there may be hundreds of records."""
        return hash(self.place)

    @property
    def place(self) -> tuple[str, tuple[int, ...]]:
        """The song and its bars; no two spots share it."""
        return self.song, self.bars

    @property
    def first(self) -> int:
        """The written bar (index) that is played first."""
        return self.bars[0]

    @property
    def last(self) -> int:
        """The written bar (index) that is played last; after a jump it may be before the first."""
        return self.bars[-1]

    @property
    def kinds(self) -> tuple[Kind, ...]:
        """What the player said gave trouble, the most frequent first."""
        counts = Counter(mark.kind for mark in self.marks if mark.kind is not Kind.UNSAID)
        return tuple(kind for kind, _ in counts.most_common())

    @property
    def change(self) -> tuple[str, str] | None:
        """The change of chord marked most, of equals the latest: the chord before, the chord.

        Both are as written; the chord before is empty where there was none. None without a chord.
        """
        changes = [(mark.came_from, mark.chord) for mark in reversed(self.marks) if mark.chord]
        return Counter(changes).most_common(1)[0][0] if changes else None


def song_spots(
    song: Song, marks: Iterable[MarkRecord], passes: Iterable[PassRecord], now: datetime
) -> tuple[Spot, ...]:
    """Return the trouble spots of one song from its marks and passes, the worst first.

    Marks that have no place in the chart are left out. A pass counts for a spot if it played all
    of it in one go. If it was not clean, but all marks made in it are about other bars, it was
    clean here. One that was stepped through by hand says nothing of a tempo and counts for none.
    """
    order = tuple(step.bar for step in song.steps)
    by_bar: defaultdict[int, list[MarkRecord]] = defaultdict(list)
    marks = tuple(marks)
    for mark in marks:
        if mark.bar is not None and mark.bar < len(song.bars):
            by_bar[mark.bar].append(mark)
    covering = _Covering(passes, order, sorted(mark.time for mark in marks))
    found = []
    for bars in stretches(by_bar, order):
        here = sorted((mark for bar in bars for mark in by_bar[bar]), key=_by_time)
        found.append(_spot(song, bars, here, covering, now))
    return tuple(sorted(found, key=worst_first))


class _Covering:
    """The passes of a song by the bars they played, each stretch looked up once."""

    def __init__(
        self, passes: Iterable[PassRecord], order: Sequence[int], marked: Sequence[datetime]
    ) -> None:
        self.marked = marked
        self.passes = sorted((each for each in passes if _counts(each)), key=_by_time)
        stretches_played = {(each.span, each.steps) for each in self.passes}
        self.bars = {
            (span, steps): played(span, steps, order) for span, steps in stretches_played if span
        }

    def of(self, bars: tuple[int, ...]) -> tuple[PassRecord, ...]:
        """Return the passes that played some bars in one go, the earliest first."""
        holding = {each for each, played_bars in self.bars.items() if find(bars, played_bars)}
        return tuple(each for each in self.passes if (each.span, each.steps) in holding)

    def outcome(self, each: PassRecord, here: Sequence[datetime]) -> Outcome:
        """Return what a pass was for a passage that was marked at these times, in order."""
        spoilt = not each.clean and (_made_in(each, here) or not _made_in(each, self.marked))
        return Outcome.SPOILT if spoilt else Outcome.CLEAN


def _spot(
    song: Song,
    bars: tuple[int, ...],
    marks: Sequence[MarkRecord],
    covering: _Covering,
    now: datetime,
) -> Spot:
    goal, passes = song.bars[bars[0]].tempo, covering.of(bars)
    found = (*_marked(song, marks), *_played(song, marks, passes, covering))
    trials = tuple(sorted(found, key=lambda trial: trial.time))
    clean = [trial.near for trial in trials if trial.outcome is Outcome.CLEAN]
    best = in_tempo(max(clean), goal) if clean else None
    return Spot(
        song=marks[0].song,
        bars=bars,
        step=_marked_step(song, bars, marks),
        marks=tuple(marks),
        passes=passes,
        trials=trials,
        best=best,
        goal=goal,
        trouble=trouble(trials, now),
        state=state(trials, now),
    )


def _marked(song: Song, marks: Iterable[MarkRecord]) -> Iterator[Trial]:
    """Yield marks as trials, their tempos against those of today's chart."""
    for mark in marks:
        if mark.bar is not None:
            near = mark.tempo / float(song.bars[mark.bar].tempo)
            yield Trial(mark.time, mark.day, near, Outcome.MARK)


def _played(
    song: Song, marks: Sequence[MarkRecord], passes: Iterable[PassRecord], covering: _Covering
) -> Iterator[Trial]:
    """Yield passes as trials, their tempos against those of today's chart."""
    times = [mark.time for mark in marks]
    for each in passes:
        if each.span:
            near = each.tempo / float(song.bars[each.span[0]].tempo)
            yield Trial(each.time, each.day, near, covering.outcome(each, times))


def _made_in(each: PassRecord, times: Sequence[datetime]) -> bool:
    """Whether one of some times, in order, is in a pass, or while the next one is counted in."""
    after = bisect_left(times, each.time)
    late = max(LATE, COUNTED_IN * 60 / max(each.tempo, 1.0))
    end = each.time + timedelta(seconds=each.seconds + late)
    return after < len(times) and times[after] <= end


def _marked_step(song: Song, bars: tuple[int, ...], marks: Iterable[MarkRecord]) -> int | None:
    """Return where a stretch begins on the pass on which it was marked most, or first."""
    counts = Counter((mark.bar, mark.pass_) for mark in marks)
    starts = find(bars, tuple(step.bar for step in song.steps))

    def marked(start: int) -> int:
        steps = song.steps[start : start + len(bars)]
        return sum(counts[step.bar, step.pass_] for step in steps)

    return max(starts, key=marked, default=None)


def in_tempo(near: float, goal: Fraction) -> Fraction:
    """Return a tempo from what it is against the goal, a fraction without float's noise.

    >>> str(in_tempo(0.75, Fraction(96)))
    '72'
    """
    return Fraction(near * float(goal)).limit_denominator(FINEST)


def judged(spot: Spot, now: datetime) -> Spot:
    """Return a spot as it stands at another time."""
    return replace(spot, trouble=trouble(spot.trials, now), state=state(spot.trials, now))


def _counts(each: PassRecord) -> bool:
    return each.span is not None and each.kind != STEPPED


def _by_time(record: MarkRecord | PassRecord) -> datetime:
    return record.time


def worst_first(spot: Spot) -> tuple[float, str, tuple[int, ...]]:
    """Sort by trouble, the most first; the same log always gives the same order."""
    return -spot.trouble, spot.song, spot.bars
