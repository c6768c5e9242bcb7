"""Bass lines that walk: bass notes that go by step in one direction over three changes or more.

Rules
-----
- A step is one or two semitones, by the nearest way on the keyboard; a walk has three different
  notes at least and goes on as long as it neither turns nor leaps (common practice, no source).
- The bass is the note after the slash, else the root. Bars are taken in the order they are played,
  and changes as the player meets them: a chord as written, or one held into a jump.
- A bass that stays from change to change goes on: it neither ends a walk nor counts twice, and a
  chord held from the bar before sounds it still. N.C. ends a walk.
- Where a walk turns, its last note is the first of the next one: A G F G A is A G F and F G A. The
  changes on that note belong to the walk that leads there.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import Final, NamedTuple

from chartwalk.pitch import Name
from chartwalk.song import Song, Sounding

SHORTEST: Final = 3
STEPS: Final = {1: 1, 2: 1, -11: 1, -10: 1, -1: -1, -2: -1, 11: -1, 10: -1}
"""From one key of the octave to another: the differences that are a step, and its direction."""

SILENT: Final = 99  # in place of a key, and a step from none


class _Tread(NamedTuple):
    """A bass note, its key in the octave, and where it begins: a step and a sounding of its bar."""

    bass: Name | None
    key: int
    step: int
    sounding: int


@dataclass(frozen=True, slots=True)
class Walk:
    """A walk of the bass and where we are in it: all its notes, as written, and the one under way.

    >>> walk = Walk((Name("A"), Name("G"), Name("F")), 1)
    >>> [str(name) for name in walk.left]
    ['F']
    """

    names: tuple[Name, ...]
    here: int

    @property
    def left(self) -> tuple[Name, ...]:
        """The notes that are still to come."""
        return self.names[self.here + 1 :]


def bass_walks(song: Song) -> Mapping[tuple[int, int], Walk]:
    """Return the walk at each place that lies in one.

    A place is the index of a step and that of a sounding of its bar. The cost is linear in the
    chords played.
    """
    walks: dict[tuple[int, int], Walk] = {}
    for walk, end in _walks(_treads(song)):
        names = tuple(tread.bass for tread in walk if tread.bass)
        for here, (tread, after) in enumerate(pairwise((*walk, end))):
            for place in _places(song, tread, after):
                walks.setdefault(place, Walk(names, here))
    return walks


def _treads(song: Song) -> list[_Tread]:
    """Return the bass notes in the order played, between silences.

    A bar that holds no chord on paper sounds what was played before.
    """
    bars = [_basses(bar) for bar in song.soundings]
    treads = [_Tread(None, SILENT, 0, 0)]
    under = SILENT
    for step in song.steps:
        for index, bass, key in bars[step.bar]:
            if key != under:
                treads.append(_Tread(bass, key, step.index, index))
                under = key
    treads.append(_Tread(None, SILENT, len(song.steps), 0))
    return treads


def _basses(bar: tuple[Sounding, ...]) -> list[tuple[int, Name | None, int]]:
    """Return the basses written for a bar, each with its place among the soundings and its key."""
    basses = []
    for index, sounding in enumerate(bar):
        if symbol := sounding.symbol:
            bass = symbol.bass or symbol.root
            basses.append((index, bass, bass.pitch_class if bass else SILENT))
    return basses


def _walks(treads: list[_Tread]) -> Iterator[tuple[list[_Tread], _Tread]]:
    """Yield each walk with the bass note or silence after it; where one turns the next begins."""
    first = going = 0
    for place in range(1, len(treads)):
        way = STEPS.get(treads[place].key - treads[place - 1].key, 0)
        if way == 0 or way != going:
            if place - first >= SHORTEST:
                yield treads[first:place], treads[place]
            first = place - 1 if way else place
            going = way


def _places(song: Song, start: _Tread, end: _Tread) -> Iterator[tuple[int, int]]:
    """Yield the places from one bass note up to where another begins."""
    for step in range(start.step, end.step + 1):
        first = start.sounding if step == start.step else 0
        last = len(song.soundings[song.steps[step].bar]) if step < end.step else end.sounding
        for index in range(first, last):
            yield step, index
