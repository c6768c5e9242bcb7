"""The demo songs, opened once."""

from pathlib import Path

import pytest

from chartwalk.files import open_song
from chartwalk.song import Song

FOLDER = Path(__file__).parents[2] / "songs"


@pytest.fixture(scope="session")
def songs() -> dict[str, Song]:
    """Every demo song by the name of its file, without the ending."""
    return {path.stem: open_song(path) for path in sorted(FOLDER.glob("*.lead"))}
