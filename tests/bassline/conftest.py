"""Songs written in place, and the walks of their basses in words."""

from collections.abc import Callable
from pathlib import Path

import pytest

from chartwalk.bassline import bass_walks
from chartwalk.leadfile import loads
from chartwalk.roadmap import unroll
from chartwalk.song import Song


def _written(rows: str, meter: str = "4/4") -> Song:
    chart = loads(f"title T\nmeter {meter}\n\n{rows}\n").chart
    return Song(Path("t.lead"), chart, unroll(chart))


@pytest.fixture(scope="session")
def written() -> Callable[..., Song]:
    """Turn rows of a `.lead` text into a song."""
    return _written


@pytest.fixture(scope="session")
def walks() -> Callable[..., list[str]]:
    """Write the walk of each step: one for each sounding of its bar, `-` for none, commas between.

    The rows are those of a `.lead` text, or the chords row alone.
    """

    def walks(rows: str, meter: str = "4/4") -> list[str]:
        song = _written(rows if "chords" in rows else f"chords {rows}", meter)
        found = {place: walk.names for place, walk in bass_walks(song).items()}
        return [
            ", ".join(
                " ".join(name.ascii for name in found.get((step.index, change), ())) or "-"
                for change in range(len(song.soundings[step.bar]))
            )
            for step in song.steps
        ]

    return walks
