"""The songs on the shelf: the demo songs and those opened before, with a line about each."""

from dataclasses import dataclass
from functools import cache
from pathlib import Path

from chartwalk import leadfile
from chartwalk.files import file_of, tunes_of
from chartwalk.log import LogError, Store
from chartwalk.problems import ChartError
from chartwalk_tui.demos import demo_songs


@dataclass(frozen=True, slots=True)
class ShelfSong:
    """A song's file, its title and a line about it; ``demo`` tells the demo songs."""

    path: str
    title: str
    detail: str = ""
    demo: bool = False


def shelf_songs(store: Store) -> tuple[list[ShelfSong], list[ShelfSong]]:
    """Return the songs opened before, the latest first, and the demo songs."""
    demos = list(demos_on_shelf())
    paths = {song.path for song in demos}
    try:
        opened = store.songs()
    except LogError:
        opened = []
    before = [
        ShelfSong(song.path, song.title, _detail(Path(song.path)))
        for song in opened
        if song.path and song.path not in paths  # without one another song took its file's place
    ]
    return before, demos


def _detail(path: Path) -> str:
    file = file_of(path)
    if not file.exists():
        return "file is gone"
    return "" if file == path else path.name


def book_on_shelf(path: Path) -> list[ShelfSong]:
    """Return the tunes of a tunebook."""
    return [ShelfSong(str(tune), title, tune.name) for tune, title in tunes_of(path)]


@cache
def demos_on_shelf() -> tuple[ShelfSong, ...]:
    """Read the demo songs' titles; one that can't be read keeps its file name."""
    return tuple(_demo(path) for path in demo_songs())


def _demo(path: Path) -> ShelfSong:
    try:
        chart = leadfile.read(path).chart
    except (ChartError, OSError):
        return ShelfSong(str(path), path.stem, demo=True)
    first = chart.bars[0]
    detail = f"{first.key}, {first.meter}, {chart.note.partition(chr(10))[0]}"
    return ShelfSong(str(path), chart.title, detail, demo=True)
