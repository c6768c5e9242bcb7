"""What the clock is to play: bars in order, counted in, looped, and written out as a schedule."""

from chartwalk.run.ladder import Ladder
from chartwalk.run.plan import Loop, Plan, Rounds, Through
from chartwalk.run.score import Manner, Score, make_score
from chartwalk.run.turn import Turn, count_in, in_gaps, played

__all__ = [
    "Ladder",
    "Loop",
    "Manner",
    "Plan",
    "Rounds",
    "Score",
    "Through",
    "Turn",
    "count_in",
    "in_gaps",
    "make_score",
    "played",
]
