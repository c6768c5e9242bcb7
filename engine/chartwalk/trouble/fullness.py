"""How full a passage is played while it is learned: plain, lean, as written, then sung too."""

from enum import Enum

from chartwalk.depth import Depth, at_depth
from chartwalk.song import Song


class Fullness(Enum):
    """How much of a passage is played, the easiest first; the values are its words."""

    PLAIN = "plain"
    LEAN = "lean"
    WRITTEN = "as written"
    SUNG = "as written, with the words sung"

    @property
    def depth(self) -> Depth:
        """The depth at which the chords are played."""
        return _DEPTHS.get(self, Depth.WRITTEN)


_DEPTHS = {Fullness.PLAIN: Depth.PLAIN, Fullness.LEAN: Depth.LEAN}


def fullnesses(song: Song, first: int, last: int) -> tuple[Fullness, ...]:
    """Return the fullnesses that differ in some steps of a song as written, the easiest first.

    ``first`` and ``last`` are steps, both included. Where a fuller one has the same chords the
    plainer is left out, and where no words stand nothing is sung.
    """
    bars = {step.bar for step in song.steps[first : last + 1]}
    found: list[Fullness] = []
    fuller = None
    for fullness in (Fullness.WRITTEN, Fullness.LEAN, Fullness.PLAIN):
        chart = at_depth(song.chart, fullness.depth)
        played = [bar.changes for index, bar in enumerate(chart.bars) if index in bars]
        if played != fuller:
            found.insert(0, fullness)
        fuller = played
    if any(song.bars[bar].words for bar in bars):
        found.append(Fullness.SUNG)
    return tuple(found)
