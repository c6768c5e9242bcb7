"""How a drill begins: what it plays, and how slow.

It plays the spot with a bar before it and a bar after it, as the road goes: through a jump it plays
the jump. It begins a mark of the metronome below the fastest tempo at which the spot was clean, or,
if it never was, at the mark below two thirds of the goal; but after a trouble mark that came later
than every clean pass, no faster than two marks below that (common practice, no source).
"""

from fractions import Fraction
from typing import Final

from chartwalk.song import Song
from chartwalk.tempo import next_tempo
from chartwalk.trouble.drill import IN_A_ROW, LOWEST, MINUTES, Because, Drill, Reason, Terms
from chartwalk.trouble.formula import Outcome
from chartwalk.trouble.fullness import Fullness
from chartwalk.trouble.spots import Spot, in_tempo
from chartwalk.trouble.words import tempo_words

NEVER_CLEAN: Final = Fraction(2, 3)


def passage(song: Song, spot: Spot) -> tuple[int, int] | None:
    """Return the first and last step of a spot with one before and one after, where there are.

    None where the spot is no longer played.
    """
    if spot.step is None:
        return None
    return max(0, spot.step - 1), min(spot.step + len(spot.bars), len(song.steps) - 1)


def begin(
    song: Song,
    spot: Spot,
    ladder: tuple[Fullness, ...] = (Fullness.WRITTEN,),
    in_a_row: int = IN_A_ROW,
    minutes: Fraction | None = MINUTES,
) -> Drill | None:
    """Return a drill of a spot at its beginning; None where the spot is no longer played."""
    steps = passage(song, spot)
    if steps is None:
        return None
    tempo, because = beginning_tempo(spot)
    terms = Terms(spot.goal, tempo, ladder, in_a_row, minutes)
    return Drill(*steps, terms, tempo, because)


def beginning_tempo(spot: Spot) -> tuple[Fraction, Because]:
    """Return the tempo at which a drill of a spot begins, in beats a minute, and why."""
    goal = spot.goal
    was, reason = goal, Reason.NEVER_CLEAN
    tempo = next_tempo(goal * NEVER_CLEAN, False, goal)
    if spot.best is not None:
        was, reason = spot.best, Reason.BELOW_CLEAN
        tempo = next_tempo(min(was, goal), False, goal)
    last_mark = _marked_last(spot)
    if last_mark is not None:
        below = next_tempo(next_tempo(min(last_mark, goal), False, goal), False, goal)
        if below < tempo:
            was, reason, tempo = last_mark, Reason.BELOW_MARK, below
    if tempo < goal * LOWEST:
        tempo, reason = goal * LOWEST, Reason.AT_LOWEST
    words = reason.value.format(
        was=tempo_words(was), now=tempo_words(tempo), goal=tempo_words(goal)
    )
    return tempo, Because(reason, words)


def _marked_last(spot: Spot) -> Fraction | None:
    """Return the tempo of the last mark, if no clean pass came after it."""
    told = [trial for trial in spot.trials if trial.outcome is not Outcome.SPOILT]
    last = told[-1]
    return in_tempo(last.near, spot.goal) if last.outcome is Outcome.MARK else None
