"""From a key to the painted screen, and what a run costs the processor.

A key is handed to the app as the terminal does it; counted is the processor's time until what has
changed was laid out, rendered and given to the terminal. The goal is one frame, 16 ms, for 95 keys
of 100. The reference is a bare Textual app in the same run that changes one line of text.
"""

import asyncio
import time
from collections.abc import Callable, Iterable
from contextlib import suppress
from functools import partial
from pathlib import Path
from typing import Any

import pytest
from textual.app import App, ComposeResult
from textual.widgets import Static

from chartwalk.files import open_for_practice
from chartwalk.leadfile import loads
from chartwalk.log import Store
from chartwalk.metronome import Metronome
from chartwalk.midi import Ports
from chartwalk.roadmap import unroll
from chartwalk.song import Song
from chartwalk_tui.app import ChartwalkApp

SONGS = sorted((Path(__file__).parents[2] / "songs").glob("*.lead"))
KEYS = ["space", "down", "left", "space", "up", "comma", "full_stop", "d", "d", "d"] * 12
FRAME = 16.0  # milliseconds
RUNNING = 5.0  # seconds


class Bare(App[None]):
    """One line of text that changes with every key."""

    def compose(self) -> ComposeResult:
        """Lay out the line."""
        yield Static("0", id="line")

    def on_key(self) -> None:
        """Change the line."""
        self.query_one("#line", Static).update(str(time.perf_counter()))


def long_song() -> Song:
    """Return a song of two thousand bars with many repeats."""
    system = "chords |: C | Am7 F | Dm7 | G7 :|\n\n"
    chart = loads("title Long\nmeter 4/4\n\n" + system * 500).chart
    return Song(Path("long.lead"), chart, unroll(chart))


async def paints(app: App[None], keys: Iterable[str]) -> list[float]:
    """Return the milliseconds from each key to the painted screen."""
    times = []
    painted = asyncio.Event()
    display = app._display

    def displayed(*update: Any) -> None:  # noqa: ANN401 - what the toolkit hands on
        display(*update)
        painted.set()

    app._display = displayed  # type: ignore[assignment, method-assign]
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.pause(1.0)
        for key in keys:
            painted.clear()
            start = time.process_time()  # the pilot itself waits between keys
            await pilot.press(key)
            with suppress(TimeoutError):  # a key that changes nothing paints nothing
                await asyncio.wait_for(painted.wait(), 0.1)
            times.append((time.process_time() - start) * 1e3)
    return sorted(times)


def stand(song: Song) -> ChartwalkApp:
    """Return the app on a song, without sound."""
    return ChartwalkApp(Store.in_memory(), partial(Metronome, look=Ports), song)


def at(times: list[float], part: float) -> float:
    """Return a percentile of sorted times."""
    return times[min(len(times) - 1, int(len(times) * part))]


def test_from_key_to_screen(capsys: pytest.CaptureFixture[str]) -> None:
    """Print median and 95 of 100 for a bare app, the demo songs and a very long one."""
    bare = asyncio.run(paints(Bare(), KEYS))
    makers: dict[str, Callable[[], Song]] = {
        path.stem: partial(open_for_practice, path) for path in SONGS
    }
    rows = [("bare Textual", bare)]
    for name, make in {**makers, "2,000 bars": long_song}.items():
        rows.append((name, asyncio.run(paints(stand(make()), KEYS))))
    with capsys.disabled():
        print("\nmilliseconds from key to screen: median, 95 of 100, beside the bare app's")
        for name, times in rows:
            ratio = at(times, 0.95) / at(bare, 0.95)
            within = "" if at(times, 0.95) <= FRAME else "  over a frame"
            print(f"{name:<24}{at(times, 0.5):7.1f}{at(times, 0.95):7.1f}{ratio:7.1f} x{within}")


def test_what_a_run_costs(capsys: pytest.CaptureFixture[str]) -> None:
    """Print the share of a processor that the Stand takes at rest and while it runs."""

    async def shares() -> tuple[float, float]:
        app = stand(open_for_practice(SONGS[0]))
        async with app.run_test(size=(100, 30)) as pilot:
            await pilot.pause(2.0)
            rest = await share(pilot.pause)
            await pilot.press("r")
            running = await share(pilot.pause)
        return rest, running

    rest, running = asyncio.run(shares())
    with capsys.disabled():
        print(f"\nprocessor: {rest:.1%} at rest, {running:.1%} while running")


async def share(pause: Callable[[float], object]) -> float:
    """Return the processor time of some seconds, as a share of them."""
    start, used = time.perf_counter(), time.process_time()
    await pause(RUNNING)  # type: ignore[misc]
    return (time.process_time() - used) / (time.perf_counter() - start)
