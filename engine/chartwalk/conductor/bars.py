"""The bars of a session's song in the order they are played."""

from functools import lru_cache

from chartwalk.chart import Bar
from chartwalk.practice import Session
from chartwalk.song import Song


@lru_cache(maxsize=4)
def _bars(song: Song) -> tuple[Bar, ...]:
    return tuple(song.bars[step.bar] for step in song.steps)


def bars_played(session: Session) -> tuple[Bar, ...]:
    """Return the bars of a session's song, one for each step."""
    return _bars(session.song)


def at_end_of(session: Session, step: int) -> Session:
    """Return the session at the end of a step, on its last chord."""
    return session.at_place(step, bars_played(session)[step].length)
