"""Pictures of every screen, held against those that were looked at and found good.

After a change of the looks: pytest tests/tui/test_snapshots.py --snapshot-update, and look.
"""

import asyncio
import time
from collections.abc import Awaitable, Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, cast

import pytest
from tests.log.planted import plant
from textual.pilot import Pilot

from chartwalk.clock.client import Clock
from chartwalk.files import open_song
from chartwalk.log import Store
from chartwalk.metronome import Metronome
from chartwalk.midi import NO_OUTPUT, Ports
from chartwalk_tui.app import ChartwalkApp
from chartwalk_tui.app.home import PLAIN
from chartwalk_tui.looks import BEACON, DAYLIGHT, INK

if TYPE_CHECKING:
    from tests.tui.conftest import ToldClock

SIZES = [(100, 30), (80, 24), (60, 16)]
PLACES = {
    "lanterns-at-low-tide": ("g", "5", "enter", "down"),
    "cafe-on-the-quay": ("g", "1", "7", "enter"),
}
PIANO, ORGAN = "Stage Piano:Stage Piano MIDI 1 20:0", "Organ:Organ MIDI 1 24:0"
PATIENCE = 20.0
TODAY = datetime(2025, 6, 6, 17, 0, tzinfo=UTC)

Compare = Callable[..., bool]
Before = Callable[[Pilot[None]], Awaitable[None]]
MakeApp = Callable[..., ChartwalkApp]


@pytest.fixture(autouse=True)
def summer_time(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Keep the pictures the same wherever and however they are taken."""
    monkeypatch.setenv("TZ", "Europe/Dublin")
    for name in ("NO_COLOR", "COLORTERM", "TEXTUAL_COLOR_SYSTEM", "TEXTUAL_ANIMATIONS"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("TEXTUAL_ANIMATIONS", "none")
    if not hasattr(time, "tzset"):
        pytest.skip("this system sets its time zone otherwise")
    time.tzset()
    for place in ("chartwalk.log", "chartwalk_tui.screens.log"):
        monkeypatch.setattr(f"{place}.now_here", TODAY.astimezone)
    yield
    monkeypatch.undo()
    time.tzset()


@pytest.fixture
def store(home: Path, demo: Callable[[str], Path]) -> Store:
    """A log with two songs and marks at fixed times."""
    kept = Store.open(home, now=lambda: datetime(2025, 7, 1, 18, 0, tzinfo=UTC))
    kept.song_opened("/music/autumn-fair.musicxml", "Autumn Fair [A]")
    for song, title, bar, pass_, chord, day in (
        ("lanterns-at-low-tide", "Lanterns at Low Tide", 5, 1, "Em7", 1),
        ("lanterns-at-low-tide", "Lanterns at Low Tide", 5, 2, "Bm7", 2),
        ("lanterns-at-low-tide", "Lanterns at Low Tide", 7, 1, "Am7", 3),
        ("cafe-on-the-quay", "Café on the Quay", 17, 1, "Dm6", 4),
    ):
        when = datetime(2025, 6, day, 17, 30 + day, tzinfo=UTC)
        path = str(demo(song).resolve())
        plant(kept, path, title, bar, str(bar), pass_=pass_, chord=chord, time=when)
    return kept


@pytest.fixture
def make_app(store: Store, clock: "ToldClock", demo: Callable[[str], Path]) -> MakeApp:
    """Make the app on a demo song, or on the Shelf."""

    def make(song: str | None = None, ports: Ports | None = None) -> ChartwalkApp:
        seen = ports or Ports((PIANO, ORGAN))
        metronome = Metronome(look=lambda: seen, start=lambda port: cast("Clock", clock))
        return ChartwalkApp(store, lambda: metronome, open_song(demo(song)) if song else None)

    return make


async def until(condition: Callable[[], object]) -> None:
    """Wait until something is true."""
    end = time.monotonic() + PATIENCE
    while not condition():
        assert time.monotonic() < end, "waited in vain"
        await asyncio.sleep(0.01)


@pytest.fixture
def after(clock: "ToldClock") -> Callable[..., Before]:
    """Press keys once the ports were looked for; put the clock somewhere and wait for it."""

    def before(
        *keys: str, shows: str = "", then: tuple[str, ...] = (), bar: int | None = None,
        quarters: float = 0, lit: str = "",
    ) -> Before:  # fmt: skip
        async def act(pilot: Pilot[None]) -> None:
            def shown(text: str) -> bool:
                strips = pilot.app.screen._compositor.render_strips()
                return any(text in strip.text for strip in strips)

            await until(lambda: clock.opened)
            await pilot.pause()
            await pilot.press(*keys)
            await until(lambda: shown(shows))
            await pilot.press(*then)
            if bar is not None:
                await until(lambda: clock.running)
                clock.stand_at(bar, quarters)
                await until(lambda: shown(f"▐{lit}▌"))
            await pilot.pause()

        return act

    return before


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
@pytest.mark.parametrize("song", PLACES)
def test_stand(
    snap_compare: Compare, make_app: MakeApp, after: Callable[..., Before],
    song: str, size: tuple[int, int],
) -> None:  # fmt: skip
    assert snap_compare(make_app(song), terminal_size=size, run_before=after(*PLACES[song]))


def test_stand_on_a_large_screen(
    snap_compare: Compare, make_app: MakeApp, after: Callable[..., Before]
) -> None:
    song = "lanterns-at-low-tide"
    assert snap_compare(make_app(song), terminal_size=(200, 60), run_before=after(*PLACES[song]))


@pytest.mark.parametrize(
    "chosen",
    [(DAYLIGHT.name, ""), (BEACON.name, ""), (INK.name, PLAIN)],
    ids=["daylight", "beacon", "ink-in-ascii"],
)
def test_stand_in_another_look(
    snap_compare: Compare, make_app: MakeApp, after: Callable[..., Before], store: Store,
    chosen: tuple[str, str],
) -> None:  # fmt: skip
    for name, value in zip(("look.colours", "look.signs"), chosen, strict=True):
        store.set(name, value)
    song = "lanterns-at-low-tide"
    assert snap_compare(make_app(song), terminal_size=(80, 24), run_before=after(*PLACES[song]))


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
def test_stand_running(
    snap_compare: Compare, make_app: MakeApp, after: Callable[..., Before], size: tuple[int, int]
) -> None:
    act = after("space", "r", bar=5, quarters=1.2, lit="2")
    assert snap_compare(make_app("lanterns-at-low-tide"), terminal_size=size, run_before=act)


def test_stand_counting_in(
    snap_compare: Compare, make_app: MakeApp, after: Callable[..., Before]
) -> None:
    act = after("space", "r", bar=0, quarters=2.2, lit="3")
    assert snap_compare(make_app("lanterns-at-low-tide"), terminal_size=(80, 24), run_before=act)


def test_stand_without_midi(
    snap_compare: Compare, make_app: MakeApp, after: Callable[..., Before]
) -> None:
    act = after("space", "r", bar=0, quarters=0.2, lit="1")
    app = make_app("lanterns-at-low-tide", Ports(problem=NO_OUTPUT))
    assert snap_compare(app, terminal_size=(80, 24), run_before=act)


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
def test_symbol(
    snap_compare: Compare, make_app: MakeApp, after: Callable[..., Before], size: tuple[int, int]
) -> None:
    act = after("space", "space", "c", "up")
    assert snap_compare(make_app("cafe-on-the-quay"), terminal_size=size, run_before=act)


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
def test_voice(
    snap_compare: Compare, make_app: MakeApp, after: Callable[..., Before], size: tuple[int, int]
) -> None:
    act = after("v", "n", "down")
    assert snap_compare(make_app("last-ferry-bell"), terminal_size=size, run_before=act)


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
def test_road(
    snap_compare: Compare, make_app: MakeApp, after: Callable[..., Before], size: tuple[int, int]
) -> None:
    act = after(*["space"] * 5, "w", *["right"] * 6)
    assert snap_compare(make_app("lanterns-at-low-tide"), terminal_size=size, run_before=act)


@pytest.mark.parametrize("size", SIZES[1:], ids=lambda size: f"{size[0]}x{size[1]}")
def test_stand_lean_in_another_key(
    snap_compare: Compare, make_app: MakeApp, after: Callable[..., Before], size: tuple[int, int]
) -> None:
    act = after(*["space"] * 8, "full_stop", "full_stop", "d")
    assert snap_compare(make_app("light-on-the-long-wall"), terminal_size=size, run_before=act)


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
def test_shelf(
    snap_compare: Compare, make_app: MakeApp, after: Callable[..., Before], size: tuple[int, int]
) -> None:
    assert snap_compare(make_app(), terminal_size=size, run_before=after())


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
def test_log(
    snap_compare: Compare, make_app: MakeApp, after: Callable[..., Before], size: tuple[int, int]
) -> None:
    assert snap_compare(make_app(), terminal_size=size, run_before=after("t", shows="Due now"))


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
def test_week_and_month(
    snap_compare: Compare, make_app: MakeApp, after: Callable[..., Before], size: tuple[int, int]
) -> None:
    act = after("t", shows="Due now", then=("w",))
    assert snap_compare(make_app(), terminal_size=size, run_before=act)


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
def test_plan(
    snap_compare: Compare, make_app: MakeApp, after: Callable[..., Before], size: tuple[int, int]
) -> None:
    act = after("p", "4", "0", "enter", shows="pause")
    assert snap_compare(make_app("first-lamp"), terminal_size=size, run_before=act)


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
def test_click(
    snap_compare: Compare, make_app: MakeApp, after: Callable[..., Before], size: tuple[int, int]
) -> None:
    act = after("k", "down", "right")
    assert snap_compare(make_app("first-lamp"), terminal_size=size, run_before=act)


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
def test_stand_drilling(
    snap_compare: Compare, make_app: MakeApp, after: Callable[..., Before], size: tuple[int, int]
) -> None:
    act = after("t", shows="Due now", then=("enter",), bar=2, quarters=2.2, lit="3")
    assert snap_compare(make_app("cafe-on-the-quay"), terminal_size=size, run_before=act)


@pytest.mark.parametrize("size", SIZES[1:], ids=lambda size: f"{size[0]}x{size[1]}")
def test_setup(
    snap_compare: Compare, make_app: MakeApp, clock: "ToldClock", size: tuple[int, int]
) -> None:
    async def act(pilot: Pilot[None]) -> None:
        await until(lambda: clock.opened)
        await pilot.press("i")
        strips = pilot.app.screen._compositor.render_strips
        await until(lambda: any("Organ" in strip.text for strip in strips()))
        await pilot.pause()

    assert snap_compare(make_app("first-lamp"), terminal_size=size, run_before=act)


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
def test_help(
    snap_compare: Compare, make_app: MakeApp, after: Callable[..., Before], size: tuple[int, int]
) -> None:
    act = after("question_mark")
    assert snap_compare(make_app("first-lamp"), terminal_size=size, run_before=act)


def test_asking_for_a_bar(
    snap_compare: Compare, make_app: MakeApp, after: Callable[..., Before]
) -> None:
    act = after("g", "1", "2")
    assert snap_compare(make_app("first-lamp"), terminal_size=(80, 24), run_before=act)


def test_problem_page(
    snap_compare: Compare, make_app: MakeApp, after: Callable[..., Before],
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch,
) -> None:  # fmt: skip
    monkeypatch.chdir(tmp_path)
    broken = "titel T\nmeter 4/0\n\nroad | | ds\nchords C7[zz] | Hm7 |\n"
    Path("broken.lead").write_text(broken, encoding="utf-8")
    app = make_app()

    async def act(pilot: Pilot[None]) -> None:
        await after()(pilot)
        app.open_path(Path("broken.lead"))
        await pilot.pause()

    assert snap_compare(app, terminal_size=(80, 24), run_before=act)
