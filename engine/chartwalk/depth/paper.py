"""The chart in one line: its changes and its notes, in quarter notes from the first bar line."""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from chartwalk.chart import Bar, Chart
from chartwalk.chord import ChordSymbol


@dataclass(frozen=True, slots=True)
class Placed:
    """A change on paper: ``bar`` is the index of its bar, ``at`` its place in it.

    It sounds from ``start`` to ``end``, where the next change stands or the chart ends.
    """

    bar: int
    at: Fraction
    symbol: ChordSymbol
    start: Fraction
    end: Fraction

    @property
    def length(self) -> Fraction:
        """How long it sounds on paper, in quarter notes."""
        return self.end - self.start


def placed(chart: Chart) -> tuple[Placed, ...]:
    """Return the changes of a chart, each with the time it sounds on paper."""
    found = []
    line = Fraction(0)
    for index, bar in enumerate(chart.bars):
        found += [(index, change, line + change.at) for change in bar.changes]
        line += bar.length
    ends = [start for _, _, start in found[1:]] + [line]
    return tuple(
        Placed(index, change.at, change.symbol, start, end)
        for (index, change, start), end in zip(found, ends, strict=False)
    )


def notes_under(bars: Sequence[Bar], change: Placed) -> Iterator[tuple[int, Fraction, Fraction]]:
    """Yield what the tune sounds under a change: the key of the octave, 0 (C) to 11 (B), from, to.

    ``bars`` are those of the chart; notes that begin earlier or end later are cut to the change.
    """
    index = change.bar
    line = change.start - change.at
    while line < change.end:
        at = line
        for note in bars[index].tune:
            end = at + note.length
            if at >= change.end:
                return
            if note.pitch and end > change.start:
                key = note.pitch.name.pitch_class
                yield key, max(at, change.start), min(end, change.end)
            at = end
        line += bars[index].length
        index += 1


def lengths_under(bars: Sequence[Bar], change: Placed) -> Mapping[int, Fraction]:
    """Return how long each key of the octave sounds under a change, in quarter notes in all."""
    lengths: dict[int, Fraction] = defaultdict(Fraction)
    for key, start, end in notes_under(bars, change):
        lengths[key] += end - start
    return lengths
