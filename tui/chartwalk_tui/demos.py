"""Where the demo songs lie: in the installed package, or in the checkout's songs folder."""

from pathlib import Path

HERE = Path(__file__).resolve().parent


def demo_folder() -> Path:
    """Return the folder of the demo songs."""
    installed = HERE / "songs"
    return installed if installed.is_dir() else HERE.parents[1] / "songs"


def demo_songs() -> list[Path]:
    """Return the demo songs, the easy one first."""
    songs = sorted(demo_folder().glob("*.lead"))
    return sorted(songs, key=lambda path: path.stem != FIRST)


FIRST = "first-lamp"
