"""Starting the screens: the log is opened, the clock is started, the app runs."""

import contextlib
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from chartwalk.files import open_for_practice
from chartwalk.log import LogError, Store, data_folder
from chartwalk.song import Song
from chartwalk_tui.app import ChartwalkApp
from chartwalk_tui.demos import demo_songs
from chartwalk_tui.screens.stand import Stand

if TYPE_CHECKING:
    from chartwalk.analysis.analyst import Analyst
    from chartwalk.metronome import Metronome


def _metronome(port: str | None) -> "Metronome":
    from chartwalk.metronome import Metronome  # noqa: PLC0415 - only after the first screen

    return Metronome(port)


def _analyst() -> "Analyst":
    from chartwalk.analysis.analyst import Analyst  # noqa: PLC0415 - only after the first screen

    return Analyst()


def _first_start(store: Store) -> bool:
    """Whether nobody has opened a song before; a log that can't tell means no."""
    try:
        return not store.songs()
    except LogError:
        return False


def play(opening: Song | Path | None, port: str | None) -> int:
    """Run the app on a song, on the tunes of a book, or on the Shelf; return 0."""
    notice = ""
    try:
        store = Store.open(data_folder())
        notice = store.notice and f"{store.notice}."
    except LogError as error:
        store = Store.in_memory()
        notice = f"{error}. Practice goes on; marks last until you quit."
    if port is None:
        with contextlib.suppress(LogError):
            port = store.setting(ChartwalkApp.PORT_SETTING)
    newcomer = opening is None and _first_start(store)
    if newcomer:
        opening = open_for_practice(demo_songs()[0])
    app = ChartwalkApp(store, partial(_metronome, port), opening, notice, _analyst)
    app.errand = Stand.start_walk if newcomer else None
    app.run()
    return app.return_code or 0
