"""A song ready to be practised: the chart, its play order, and the chords as they sound."""

from bisect import bisect_right
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from pathlib import Path

from chartwalk.chart import Bar, Change, Chart
from chartwalk.chord import ChordSymbol
from chartwalk.problems import Problem
from chartwalk.roadmap import Step


@dataclass(frozen=True, slots=True)
class Sounding:
    """A chord as it sounds in one bar: ``at`` quarter notes after the bar line.

    ``held`` says that it goes on from the bar before; ``symbol`` is None before the first chord.
    """

    at: Fraction
    symbol: ChordSymbol | None
    held: bool = False


@dataclass(frozen=True, eq=False)
class Song:
    """A chart from a file, with its play order and what the reader had to mend.

    ``problems`` tell what is wrong with the file, if it was opened all the same; ``spared`` are the
    written changes of each bar that are left out to play it leaner; ``keyed`` tells whether the
    file names a key. A song is equal to itself alone, so that what is found out about it can be
    remembered.
    """

    path: Path
    chart: Chart
    steps: tuple[Step, ...]
    warnings: tuple[Problem, ...] = ()
    problems: tuple[Problem, ...] = ()
    spared: tuple[tuple[Change, ...], ...] = ()
    keyed: bool = True

    @cached_property
    def identity(self) -> str:
        """What the log knows the song by: its full path, bytes that are no UTF-8 escaped."""
        return str(self.path.resolve()).encode("utf-8", "backslashreplace").decode()

    @cached_property
    def bars(self) -> tuple[Bar, ...]:
        """The bars as written."""
        return self.chart.bars

    @cached_property
    def section_names(self) -> tuple[str, ...]:
        """The name of the section of each written bar."""
        return tuple(section.name for section in self.chart.sections for _ in section.bars)

    @cached_property
    def soundings(self) -> tuple[tuple[Sounding, ...], ...]:
        """The chords that sound in each written bar, the first at its bar line.

        What a bar without a chord at its start holds is the chord before on paper.
        """
        held: ChordSymbol | None = None
        soundings = []
        for bar in self.bars:
            here = [Sounding(change.at, change.symbol) for change in bar.changes]
            if not here or here[0].at > 0:
                here.insert(0, Sounding(Fraction(0), held, held=True))
            held = here[-1].symbol
            soundings.append(tuple(here))
        return tuple(soundings)

    @cached_property
    def first_passes(self) -> tuple[int, ...]:
        """The pass on which each written bar is first played; 0 where it never is."""
        first = [0] * len(self.bars)
        for step in reversed(self.steps):
            first[step.bar] = step.pass_
        return tuple(first)

    @cached_property
    def last_passes(self) -> tuple[int, ...]:
        """The pass on which each written bar is last played; 0 where it never is."""
        last = [0] * len(self.bars)
        for step in self.steps:
            last[step.bar] = max(last[step.bar], step.pass_)
        return tuple(last)

    @cached_property
    def rounds(self) -> int:
        """How often the whole song is sung until every verse has been: 1 where one road is enough.

        Verses printed under a song without repeats are sung one after the other, from the top
        (common practice, no source).
        """
        passes = zip(self.bars, self.last_passes, strict=True)
        return max((-(-len(bar.words) // last) for bar, last in passes if last), default=1) or 1

    @cached_property
    def verses(self) -> tuple[int, ...]:
        """How many verses the section of each written bar has."""
        most = [max(len(bar.words) for bar in section.bars) for section in self.chart.sections]
        return tuple(
            verses
            for verses, section in zip(most, self.chart.sections, strict=True)
            for _ in section.bars
        )

    @cached_property
    def flagged(self) -> Mapping[int, tuple[Problem, ...]]:
        """The problems of each written bar (index) that has some."""
        flagged: dict[int, list[Problem]] = {}
        for problem in self.problems:
            if problem.bar:
                flagged.setdefault(problem.index, []).append(problem)
        return {index: tuple(problems) for index, problems in flagged.items()}

    def bars_with(self, symbol: ChordSymbol) -> tuple[int, ...]:
        """Return the written bars (indices) in which a chord with the same notes begins."""
        return tuple(
            index
            for index, soundings in enumerate(self.soundings)
            if any(_same(sounding, symbol) for sounding in soundings)
        )

    def near_words(self, bar: int) -> list[int]:
        """Return the nearest bars with words before and after a bar, within its section."""
        start = max(first for first, _ in self.chart.section_starts() if first <= bar)
        later = [first for first, _ in self.chart.section_starts() if first > bar]
        end = min(later, default=len(self.bars))
        before = next((i for i in range(bar - 1, start - 1, -1) if self.bars[i].words), None)
        after = next((i for i in range(bar + 1, end) if self.bars[i].words), None)
        return [index for index in (before, after) if index is not None]

    @cached_property
    def _jumps(self) -> tuple[int, ...]:
        return tuple(step.index for step in self.steps if step.why)

    def jump_after(self, step: int) -> Step | None:
        """Return the next step that follows a jump; None where the road runs straight on."""
        place = bisect_right(self._jumps, step)
        return self.steps[self._jumps[place]] if place < len(self._jumps) else None


def _same(sounding: Sounding, symbol: ChordSymbol) -> bool:
    other = sounding.symbol
    return not sounding.held and other is not None and other.palette == symbol.palette
