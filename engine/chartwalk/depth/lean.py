"""The lean changes of a chart: those that stay where changes crowd."""

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence, Set
from fractions import Fraction
from functools import cache, lru_cache
from typing import Final

from chartwalk.chart import Bar, Chart, Sign
from chartwalk.chord import ChordSymbol, Degree
from chartwalk.depth.paper import Placed, lengths_under, placed
from chartwalk.depth.triad import DOMINANT_SEVENTH, MINOR, same_root, third_of
from chartwalk.key import Key
from chartwalk.meter import Meter

HALF_NOTE: Final = 2  # quarter notes
OCTAVE: Final = 12  # semitones
FIFTH: Final = 7
NO_DOMINANT: Final = frozenset({MINOR, Degree(7)})
COLOURS: Final = (Degree(9), Degree(6))
AT_START: Final = frozenset({Sign.REPEAT_START, Sign.ENDING, Sign.SEGNO, Sign.CODA})
AT_END: Final = frozenset(Sign) - AT_START


def lean_changes(chart: Chart) -> Iterator[Placed]:
    """Yield the changes of a chart that stay, in order."""
    written = placed(chart)
    bars = chart.bars
    fixed = _at_signs(bars, written) | _at_places(written)
    held: Placed | None = None
    for number, change in enumerate(written):
        bar, before = bars[change.bar], written[number - 1]
        if held and _sounds_on(held, before, change):
            continue
        after = written[number + 1 : number + 2]
        spare = held and (
            _one_harmony(held, before, change, bar.meter)
            or (_crowds(before, change, bar.meter) and not _matters(held, change, after, bar))
        )
        if held is None or number in fixed or not spare or _needed(held, change, bars):
            held = change
            yield change


def _at_signs(bars: Sequence[Bar], written: Sequence[Placed]) -> set[int]:
    """Return the numbers of the changes that stand where the road jumps."""
    homes = [change.bar for change in written]
    found = set()
    for index, bar in enumerate(bars):
        signs = {mark.sign for mark in bar.marks}
        if signs & AT_START:
            found.add(bisect_left(homes, index))
        if signs & AT_END:
            after = bisect_right(homes, index)
            found |= {after - 1, after}
    return found


def _at_places(written: Sequence[Placed]) -> set[int]:
    """Return the numbers of the changes that stay for their place: at bar lines, about N.C."""
    return {
        number
        for number, change in enumerate(written)
        if change.at == 0
        or number == len(written) - 1
        or change.symbol.silent
        or (number > 0 and written[number - 1].symbol.silent)
    }


def _sounds_on(held: Placed, before: Placed, change: Placed) -> bool:
    """Whether a change equals the chord held, since what stood between them in the bar went."""
    return held is not before and (held.bar, held.symbol) == (change.bar, change.symbol)


@cache
def _room(meter: Meter) -> Fraction:
    """Return how far apart changes are that do not crowd, in quarter notes."""
    return meter.beat if _broad(meter) else 2 * meter.beat


@cache
def _strong_every(meter: Meter) -> Fraction:
    """Return the distance of the strong places of a bar, in quarter notes."""
    beats = 1 if _broad(meter) else 2 if meter.beats % 2 == 0 else meter.beats
    return beats * meter.beat


def _broad(meter: Meter) -> bool:
    """Whether a beat has room for a chord: a dotted one or a half note."""
    return meter.compound or meter.beat >= HALF_NOTE


def _crowds(before: Placed, change: Placed, meter: Meter) -> bool:
    """Whether a change comes soon after the one written before it, and the next comes soon too."""
    room = _room(meter)
    return change.length < room and change.start - before.start < room


def _one_harmony(held: Placed, before: Placed, change: Placed, meter: Meter) -> bool:
    """Whether a change is only another colour or bass of the chord that sounds, and no long one."""
    room = _room(meter)
    soon = change.length <= room and change.start - before.start <= room
    # Chords that only stand again are for the eye, and a foreign bass makes another chord.
    other = held.symbol != change.symbol and held.symbol.palette.bass_tone is not None
    return (
        (_crowds(before, change, meter) or (soon and other))
        and same_root(held.symbol, change.symbol)
        and not _resolves(held, change)
        and _core(change.symbol) <= _core(held.symbol)
    )


def _resolves(held: Placed, change: Placed) -> bool:
    """Whether a change brings the third that the chord before it suspended."""
    suspended = third_of(change.symbol) and not third_of(held.symbol)
    return bool(suspended) and same_root(held.symbol, change.symbol)


def _matters(held: Placed, change: Placed, after: Sequence[Placed], bar: Bar) -> bool:
    """Whether a crowding change stays for its harmony or its beat."""
    return (
        _resolves(held, change)
        or (change.at + bar.lead_in) % _strong_every(bar.meter) == 0
        or change.start - held.start >= _room(bar.meter)
        or any(_cadence(change, goal, bar.key) for goal in after)
    )


def _core(symbol: ChordSymbol) -> Set[Degree]:
    """Return third and fifth, which make the harmony on a root."""
    return {degree for degree in symbol.degrees if degree.number in (3, 5)}


def _cadence(change: Placed, goal: Placed, key: Key) -> bool:
    """Whether a dominant falls a fifth into the chord on the next bar line."""
    root, home = change.symbol.root, goal.symbol.root
    degrees = change.symbol.degrees
    return (
        goal.at == 0
        and root is not None
        and home is not None
        and (root.pitch_class - home.pitch_class) % OCTAVE == FIFTH
        and not NO_DOMINANT.intersection(degrees)
        and (root.pitch_class != key.tonic.pitch_class or DOMINANT_SEVENTH in degrees)
    )


def _needed(held: Placed, change: Placed, bars: Sequence[Bar]) -> bool:
    """Whether a long note of the tune under a change would clash with the chord held instead."""
    long = _room(bars[change.bar].meter) / 2
    return any(
        length >= long and _clashes(key, held.symbol, change.symbol)
        for key, length in lengths_under(bars, change).items()
    )


def _clashes(key: int, held: ChordSymbol, written: ChordSymbol) -> bool:
    """Whether a key of the octave clashes with one chord, and not with the other."""
    sounding, asked = _keys(held), _keys(written)
    if key in sounding:
        return False
    below, above = (key - 1) % 12, (key + 1) % 12
    if below in sounding:
        return key in asked or below not in asked
    return above in sounding and key in asked and key not in _colours(held)


def _colours(symbol: ChordSymbol) -> Set[int]:
    """Return the keys of the 9th and the 6th, which suit any chord that they rub from below."""
    root = symbol.root
    return {(root + degree.interval).pitch_class for degree in COLOURS} if root else set()


@lru_cache(maxsize=4096)
def _keys(symbol: ChordSymbol) -> Set[int]:
    """Return the keys, 0 (C) to 11 (B), of a chord and its bass."""
    palette = symbol.palette
    bass = (palette.bass,) if palette.bass else ()
    return {name.pitch_class for name in (*palette.names, *bass)}
