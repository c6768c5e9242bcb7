"""The plain changes of a chart: triads, with suspensions where the tune holds them."""

from collections.abc import Iterable, Iterator, Sequence, Set
from dataclasses import replace
from typing import Final

from chartwalk.chart import Bar, Chart
from chartwalk.chord import ChordSymbol, Degree
from chartwalk.depth.paper import Placed, lengths_under, notes_under, placed
from chartwalk.depth.triad import (
    DOMINANT_SEVENTH,
    MAJOR,
    MINOR,
    plainer,
    same_root,
    suspension_of,
    third_of,
)
from chartwalk.key import Key

MINOR_ROOTS: Final = {"major": {2, 3, 4}, "minor": {2, 3}}
"""Roots of a key's minor triads, in fifths from the major tonic of its signature: ii, vi and iii;
in minor iv and i, for its v is made major."""


def plain_changes(chart: Chart) -> Iterator[Placed]:
    """Yield the changes of a chart as triads, equal neighbours in a bar as one."""
    written = placed(chart)
    symbols = {change.start: change.symbol for change in written}
    bars = chart.bars
    # Suspended neighbours join before the tune is asked, so that one answer holds for all of them.
    triads = tuple(
        _joined(replace(each, symbol=plainer(each.symbol, suspended=True)) for each in written)
    )
    return _joined(
        _resolved(change, symbols[change.start], (after, before), bars)
        for before, change, after in zip((None, *triads), triads, (*triads[1:], None), strict=False)
    )


def _joined(changes: Iterable[Placed]) -> Iterator[Placed]:
    """Yield changes; one that equals the change before it in its bar is part of that."""
    held: Placed | None = None
    for change in changes:
        if held and (held.bar, held.symbol) == (change.bar, change.symbol):
            held = replace(held, end=change.end)
            continue
        if held:
            yield held
        held = change
    if held:
        yield held


def _resolved(
    triad: Placed,
    written: ChordSymbol,
    beside: Iterable[Placed | None],
    bars: Sequence[Bar],
) -> Placed:
    """Return a triad; a suspended one that the tune does not hold as the triad it falls to."""
    suspension = suspension_of(triad.symbol)
    if not suspension:
        return triad
    held = _held(triad, bars)
    if _keys(triad.symbol, (Degree(suspension),)) & held:
        return triad
    near = [other.symbol for other in beside if other]
    return replace(
        triad, symbol=plainer(written, third=_third(written, near, held, bars[triad.bar].key))
    )


def _held(change: Placed, bars: Sequence[Bar]) -> Set[int]:
    """Return the keys that the tune holds: where a chord begins, or for half of it or longer."""
    first = {key for key, start, _ in notes_under(bars, change) if start == change.start}
    lengths = lengths_under(bars, change)
    return first | {key for key, length in lengths.items() if 2 * length >= change.length}


def _third(symbol: ChordSymbol, near: Iterable[ChordSymbol], held: Set[int], key: Key) -> Degree:
    """Return the third that a suspended chord falls to, by the first reason there is."""
    sung = [third for third in (MAJOR, MINOR) if _keys(symbol, (third,)) & held]
    if len(sung) == 1:
        return sung[0]
    for other in near:
        third = third_of(other)
        if third and same_root(other, symbol):
            return third
    if symbol.root is None or DOMINANT_SEVENTH in symbol.degrees:
        return MAJOR
    # The place on the line of fifths, from -5 to 6: sound-alikes are one.
    place = (symbol.root.fifths - key.fifths + 5) % 12 - 5
    return MINOR if place in MINOR_ROOTS[key.mode] else MAJOR


def _keys(symbol: ChordSymbol, degrees: Iterable[Degree]) -> Set[int]:
    """Return the keys, 0 (C) to 11 (B), of degrees over the root of a symbol."""
    root = symbol.root
    return {(root + degree.interval).pitch_class for degree in degrees} if root else set()
