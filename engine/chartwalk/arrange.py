"""A song as it is to be played: in another key, plainer or leaner, on the same road."""

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Self

from chartwalk.chart import Chart
from chartwalk.depth import Depth, at_depth, left_out
from chartwalk.song import Song
from chartwalk.transpose import FARTHEST, transpose


@dataclass(frozen=True, slots=True)
class Arrangement:
    """How a song is played: ``shift`` semitones from the written key, at a depth.

    >>> Arrangement().moved(1).moved(-3), Arrangement().plainer().depth.value
    (Arrangement(shift=-2, depth=<Depth.WRITTEN: 'written'>), 'lean')
    """

    shift: int = 0
    depth: Depth = Depth.WRITTEN

    def moved(self, semitones: int) -> Self:
        """Return the arrangement some semitones on, an octave from the written key at most."""
        shift = max(-FARTHEST, min(FARTHEST, self.shift + semitones))
        return replace(self, shift=shift)

    def plainer(self) -> Self:
        """Return the next plainer depth; after the plainest all is played as written again."""
        depths = list(Depth)
        return replace(self, depth=depths[(depths.index(self.depth) + 1) % len(depths)])


@lru_cache(maxsize=32)  # keys and depths are gone through, there and back
def arranged(written: Song, arrangement: Arrangement) -> Song:
    """Return a song as arranged; its bars, steps, tune and words keep their places.

    Everything is made from the written song, so that there and back is no change at all.
    """
    chart = _in_key(written, arrangement.shift)
    played = at_depth(chart, arrangement.depth)
    return replace(written, chart=played, spared=left_out(chart, played))


@lru_cache(maxsize=8)
def _in_key(written: Song, shift: int) -> Chart:
    return transpose(written.chart, shift)
