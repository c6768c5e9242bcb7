"""Songs to practise: demo songs from their files, and short ones written in place."""

from collections.abc import Callable
from pathlib import Path

import pytest

from chartwalk.files import open_song
from chartwalk.leadfile import loads
from chartwalk.practice import Session
from chartwalk.roadmap import unroll
from chartwalk.song import Song

FOLDER = Path(__file__).parents[2] / "songs"


def _written(rows: str, meter: str = "4/4") -> Song:
    chart = loads(f"title T\nmeter {meter}\n\n{rows}\n").chart
    return Song(Path("songs/t.lead"), chart, unroll(chart))


@pytest.fixture(scope="session")
def written() -> Callable[..., Song]:
    """Turn rows of a `.lead` text into a song."""
    return _written


@pytest.fixture(scope="session")
def demo() -> Callable[[str], Song]:
    """Open a demo song by the name of its file, without the ending."""
    return lambda name: open_song(FOLDER / f"{name}.lead")


@pytest.fixture
def session() -> Session:
    """A session at the start of a song with a pickup, a repeat, two endings and held chords.

    Steps are 0 1 2 3 1 2 4 5 by printed bar; bar 2 holds the chord of bar 1, bar 5 moves late.
    """
    return Session(
        _written(
            "road   | pickup |          |   | 1.    | 2.  |     |\n"
            "chords | D7     |: G    C  |   | Am D7 :| F   | / G |\n"
            "tune   | D4:1   |          |   |       |     |     |"
        )
    )
