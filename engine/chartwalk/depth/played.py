"""A chart at a depth, and what a depth leaves out."""

from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from enum import Enum
from typing import Final

from chartwalk.chart import Bar, Change, Chart
from chartwalk.chord import ChordSymbol
from chartwalk.depth.lean import lean_changes
from chartwalk.depth.paper import Placed
from chartwalk.depth.plain import plain_changes
from chartwalk.depth.triad import MAJOR, MINOR, plainer


class Depth(Enum):
    """How much of the written chords is played."""

    WRITTEN = "written"
    """Everything as it stands."""
    LEAN = "lean"
    """The written chords, but fewer of them where they crowd."""
    PLAIN = "plain"
    """Triads only: no figures, no slash."""


CHANGES: Final[Mapping[Depth, Callable[[Chart], Iterator[Placed]]]] = {
    Depth.LEAN: lean_changes,
    Depth.PLAIN: plain_changes,
}


def at_depth(chart: Chart, depth: Depth) -> Chart:
    """Return the chart with the changes that a depth plays; all else stays as it is.

    What a depth does not touch is the very same value: the chart as WRITTEN, and bars and sections
    whose changes stay. At a depth it already has, a chart stays equal.
    """
    if depth is Depth.WRITTEN:
        return chart
    changes: defaultdict[int, list[Change]] = defaultdict(list)
    for each in CHANGES[depth](chart):
        changes[each.bar].append(Change(each.at, each.symbol))
    sections = []
    for first, section in chart.section_starts():
        bars = tuple(
            _with(bar, tuple(changes[index])) for index, bar in enumerate(section.bars, first)
        )
        same = all(bar is old for bar, old in zip(bars, section.bars, strict=True))
        sections.append(section if same else replace(section, bars=bars))
    same = all(section is old for section, old in zip(sections, chart.sections, strict=True))
    return chart if same else replace(chart, sections=tuple(sections))


def _with(bar: Bar, changes: tuple[Change, ...]) -> Bar:
    return bar if changes == bar.changes else replace(bar, changes=changes)


def left_out(written: Chart, played: Chart) -> tuple[tuple[Change, ...], ...]:
    """Return, for each bar, the written changes that a chart from `at_depth` does not play.

    What is joined to an equal chord before it is not left out: it sounds, in plain as its triad.
    """
    plain = all(
        change.symbol in _triads(change.symbol) for bar in played.bars for change in bar.changes
    )
    held: ChordSymbol | None = None
    missing = []
    for bar, other in zip(written.bars, played.bars, strict=True):
        symbols = {change.at: change.symbol for change in other.changes}
        found = []
        for change in bar.changes:
            if change.at in symbols:
                held = symbols[change.at]
            elif held != change.symbol and not (plain and held in _triads(change.symbol)):
                found.append(change)
        missing.append(tuple(found))
    return tuple(missing)


def _triads(symbol: ChordSymbol) -> tuple[ChordSymbol, ...]:
    """Return every triad that a symbol may become in plain."""
    return (
        plainer(symbol, third=MAJOR),
        plainer(symbol, third=MINOR),
        plainer(symbol, suspended=True),
    )
