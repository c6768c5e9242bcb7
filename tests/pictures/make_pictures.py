"""Draws what the README shows from the real app: pictures, the text picture, the table of keys.

Run it from the project's folder: ``python tests/pictures/make_pictures.py``. What it writes is
checked in; the tests hold the table of keys against it.
"""

import asyncio
import re
from collections.abc import Sequence
from datetime import timedelta
from functools import partial
from pathlib import Path
from typing import Final

from chartwalk.files import open_for_practice
from chartwalk.log import Store, mark_here, now_here
from chartwalk.metronome import Metronome
from chartwalk.midi import Ports
from chartwalk.practice import Session
from chartwalk_tui.actions import STAND, key_names
from chartwalk_tui.app import ChartwalkApp

HERE: Final = Path(__file__).parent
SONGS: Final = HERE.parents[1] / "songs"
README: Final = HERE.parents[1] / "README.md"
MARKED: Final = ((9, 7), (9, 8), (5, 7), (2, 12), (1, 7), (1, 20))  # days ago, step


def log() -> Store:
    """Return a log with some marks on two songs."""
    store = Store.in_memory()
    for name in ("lanterns-at-low-tide", "cafe-on-the-quay"):
        song = open_for_practice(SONGS / f"{name}.lead")
        record = store.song(song)
        for days, step in MARKED:
            time = now_here() - timedelta(days=days)
            store.mark(mark_here(Session(song).at(step), record.id, time))
    return store


def app(song: str, store: Store) -> ChartwalkApp:
    """Return the app on a demo song, without a sound."""
    silent = partial(Metronome, look=Ports)
    return ChartwalkApp(store, silent, open_for_practice(SONGS / f"{song}.lead"))


async def draw(name: str, song: str, keys: Sequence[str], store: Store) -> None:
    """Press keys and keep the screen as a picture, with the fonts that the reader has."""
    shown = app(song, store)
    async with shown.run_test(size=(100, 30)) as pilot:
        await pilot.press(*keys)
        await pilot.pause(1.0)
        picture = re.sub(r"(?s)@font-face \{.*?\}\n?", "", shown.export_screenshot(title=""))
        (HERE / f"{name}.svg").write_text(picture, encoding="utf-8")


async def rows(song: str, keys: Sequence[str]) -> list[str]:
    """Press keys at 80x24 and return the screen as text."""
    shown = app(song, Store.in_memory())
    async with shown.run_test(size=(80, 24)) as pilot:
        await pilot.press(*keys)
        await pilot.pause(1.0)
        strips = shown.screen._compositor.render_strips()
        return ["".join(segment.text for segment in strip).rstrip() for strip in strips]


def write_readme(picture: Sequence[str]) -> None:
    """Put the text picture and the table of keys into the README."""
    text = README.read_text(encoding="utf-8")
    block = "```text\n" + "\n".join(picture).rstrip() + "\n```"
    text = re.sub(r"(?s)```text\n Lanterns at Low Tide .*?```", lambda _: block, text, count=1)
    table = "".join(f"| {key_names(action)} | {action.help} |\n" for action in STAND)
    head = "| keys | what |\n|---|---|\n"
    text = re.sub(rf"(?s){re.escape(head)}.*?\n\n", lambda _: f"{head}{table}\n", text, count=1)
    README.write_text(text, encoding="utf-8")


async def main() -> None:
    """Draw everything."""
    await draw("stand", "lanterns-at-low-tide", ["space", "down"], Store.in_memory())
    await draw("log", "lanterns-at-low-tide", ["t"], log())
    await draw("road", "last-ferry-bell", ["space", "w"], Store.in_memory())
    write_readme(await rows("lanterns-at-low-tide", ["space", "down"]))


if __name__ == "__main__":
    asyncio.run(main())
