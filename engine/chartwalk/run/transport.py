"""MIDI clock for a drum machine: 24 clocks a quarter note, and where the song starts.

The first bar of the song that is played starts it, or continues it from its place, which is
counted in sixteenths of the play order; bars that are counted in come before the start. Between two
rounds of a loop it is stopped, since a place may be set only then. Who ends the run sends the last
stop (MIDI 1.0: system real time messages, song position pointer).
"""

from collections.abc import Iterator
from fractions import Fraction
from functools import lru_cache
from itertools import accumulate
from typing import Final

from chartwalk.clock.schedule import TICKS_PER_QUARTER, Event
from chartwalk.run.turn import Turn
from chartwalk.song import Song

POSITION: Final = 0xF2
CLOCK: Final = bytes([0xF8])
START: Final = bytes([0xFA])
CONTINUE: Final = bytes([0xFB])
STOP: Final = bytes([0xFC])
TICKS_PER_CLOCK: Final = TICKS_PER_QUARTER // 24
SIXTEENTHS: Final = 4  # in a quarter note
FARTHEST: Final = 2**14 - 1  # sixteenths: what two data bytes hold


def messages(turn: Turn, song: Song, ticks: int, before: Turn | None) -> Iterator[Event]:
    """Yield the clocks of a turn ``ticks`` long, led by what starts or stops the song there."""
    starts = turn.counted is None and (before is None or before.counted is not None)
    stops = turn.counted is not None and before is not None and before.counted is None
    if stops:
        yield Event(0, STOP)
    if starts:
        place = position(song, turn.step)
        yield Event(0, bytes([POSITION, place % 128, place // 128]))
        yield Event(0, START if not place else CONTINUE)
    for tick in range(0, ticks, TICKS_PER_CLOCK):
        yield Event(tick, CLOCK)


def position(song: Song, step: int) -> int:
    """Return where a step lies in the play order, in sixteenths from the start, as far as it goes.

    A step that begins between two sixteenths counts from the next one.
    """
    return min(FARTHEST, int(-(-_starts(song)[step] * SIXTEENTHS // 1)))


@lru_cache(maxsize=4)
def _starts(song: Song) -> tuple[Fraction, ...]:
    lengths = (song.bars[step.bar].length for step in song.steps)
    return tuple(accumulate(lengths, initial=Fraction(0)))
