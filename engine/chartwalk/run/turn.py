"""The bars that the clock plays, one after the other: counted ones, and steps of the play order.

One bar is counted in, or two if the player likes; at least two beats, for from one click nobody
knows the tempo. Before a pickup the beats that lead to it are counted as well (common practice, no
source).
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil
from typing import Final

from chartwalk.chart import Bar
from chartwalk.click import ClickStyle

LEAST_COUNT: Final = 2  # beats to count in


@dataclass(frozen=True, slots=True)
class Turn:
    """One bar that the clock plays.

    ``step`` is the index of the step it plays, or leads to; ``bar`` that step's bar. ``counted`` is
    the length of a bar that is counted in, in quarter notes, None in a bar of the song. ``round``
    counts from 0 how often a loop has come round; ``pace`` is how many times as fast as the run
    it goes; in a ``silent`` bar nothing is struck.
    """

    step: int
    bar: Bar
    counted: Fraction | None = None
    round: int = 0
    pace: Fraction = Fraction(1)
    silent: bool = False

    @property
    def length(self) -> Fraction:
        """The length of the bar in quarter notes, no fermata counted."""
        return self.bar.length if self.counted is None else self.counted

    @property
    def held(self) -> tuple[Fraction, ...]:
        """Where in the bar a fermata holds the music: at the end of what is held.

        That is the end of the tune's note under the sign, or else of the beat.
        """
        return () if self.counted is not None else fermata_ends(self.bar)


def fermata_ends(bar: Bar) -> tuple[Fraction, ...]:
    """Return the ends of the notes, or else of the beats, that fermatas stand on."""
    ends = {}
    at = Fraction(0)
    for note in bar.tune:
        ends[at] = at + note.length
        at += note.length
    found = (ends.get(at, at + bar.meter.beat) for at in bar.fermatas)
    return tuple(sorted({min(end, bar.length) for end in found}))


def count_in(bars: Sequence[Bar], first: int, style: ClickStyle) -> tuple[Turn, ...]:
    """Return the bars that are counted before step ``first``; ``bars`` go in play order."""
    start = bars[first]
    whole = max(style.count_in, ceil(LEAST_COUNT / start.meter.beats))
    if start.pickup and style.count_in == 1:
        whole = 1  # the beats that lead to the pickup are counted besides
    lengths = [start.meter.quarters] * whole + ([start.lead_in] if start.pickup else [])
    return tuple(Turn(first, start, counted=length) for length in lengths)


def played(bars: Sequence[Bar], first: int, last: int) -> tuple[Turn, ...]:
    """Return the steps from ``first`` to ``last``, both played."""
    return tuple(Turn(step, bars[step]) for step in range(first, last + 1))


def in_gaps(turns: Sequence[Turn], style: ClickStyle, before: int = 0) -> tuple[Turn, ...]:
    """Return the turns with the silent bars of a gap click; counted bars are never silent.

    ``before`` bars of the song were played before them. Bars that were silent in another gap click
    sound again where this one has none.
    """
    marked = []
    for turn in turns:
        song = turn.counted is None
        silent = song and before % (style.sounding + style.silent) >= style.sounding
        marked.append(replace(turn, silent=silent) if silent is not turn.silent else turn)
        before += song
    return tuple(marked)
