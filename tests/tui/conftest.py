"""What the tests of the screens share: a player before the app, with a clock that is told the time.

The log is a real SQLite file in the test's own folder. The clock is told where it is, so a run
shows the same on every machine; waiting polls, so a busy machine is only slow.
"""

import asyncio
import sqlite3
import time
from collections import deque
from collections.abc import AsyncIterator, Callable, Iterable, Sequence
from contextlib import AbstractAsyncContextManager, asynccontextmanager
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any, Protocol, cast

import pytest
from textual.geometry import Region
from textual.pilot import Pilot

from chartwalk.analysis.analyst import Analyst
from chartwalk.clock.client import Clock
from chartwalk.clock.place import Place
from chartwalk.clock.schedule import TICKS_PER_QUARTER, ScheduledBar
from chartwalk.clock.sound import Sound
from chartwalk.clock.state import State
from chartwalk.files import open_song
from chartwalk.log import Store
from chartwalk.log.database import FILE_NAME
from chartwalk.metronome import Metronome
from chartwalk.midi import NO_OUTPUT, Ports
from chartwalk.song import Song
from chartwalk_tui.app import ChartwalkApp
from chartwalk_tui.demos import demo_folder
from chartwalk_tui.screens.room import Room
from chartwalk_tui.screens.stand import Stand

PATIENCE = 20.0  # seconds; only a broken screen needs them
PIANO = "Stage Piano:Stage Piano MIDI 1 20:0"
ORGAN = "Organ:Organ MIDI 1 24:0"


class ToldClock:
    """A clock that stands where the test puts it."""

    def __init__(self) -> None:
        self.bars: tuple[ScheduledBar, ...] = ()
        self.rates: list[float] = []
        self.opened: list[str | None] = []
        self.stops = 0
        self.struck: list[tuple[int, ...]] = []
        self.gaps: list[float] = []
        self.closed = False
        self.messages: deque[str] = deque()
        self.sound = Sound.silent("no MIDI port is chosen")
        self._place: Place | None = None

    @property
    def running(self) -> bool:
        """Whether it was told to run and neither stopped nor came to the end."""
        return self._place is not None and self._place.state is State.RUNNING

    def load(self, bars: Iterable[ScheduledBar]) -> None:
        self.bars = tuple(bars)
        self._place = None

    def rate(self, value: float) -> None:
        self.rates.append(value)

    def run(self, first: int = 0) -> None:
        self._place = Place(first, 0.0, State.RUNNING)

    def stop(self) -> None:
        self.stops += 1
        self._rest()

    def replace(self, first: int, bars: Iterable[ScheduledBar]) -> None:
        self.bars = self.bars[:first] + tuple(bars)

    def place(self, now: float | None = None) -> Place | None:
        return self._place

    def strike(self, keys: Sequence[int], gap: float = 0.0) -> None:
        self.struck.append(tuple(keys))
        self.gaps.append(gap)

    def open(self, port: str | None) -> None:
        self.opened.append(port)
        self.sound = Sound.heard(port) if port else Sound.silent("no MIDI port is chosen")

    def close(self) -> None:
        self.closed = True

    def take_message(self) -> str | None:
        return self.messages.popleft() if self.messages else None

    def stand_at(self, bar: int, quarters: float = 0) -> None:
        """Stand this many quarter notes into a bar of the schedule, the count-in included."""
        assert 0 <= bar < len(self.bars), "the schedule has no such bar"
        self._place = Place(bar, quarters * TICKS_PER_QUARTER, State.RUNNING)

    def come_to_end(self) -> None:
        """Be through with the schedule."""
        self._place = Place(len(self.bars) - 1, self.bars[-1].ticks, State.RUNNING)
        self._rest()

    def _rest(self) -> None:
        if self._place:
            self._place = Place(self._place.bar, self._place.tick, State.STOPPED)


@dataclass
class Player:
    """The one who sits before the app: presses keys and reads the screen."""

    app: ChartwalkApp
    pilot: Pilot[None]
    clock: ToldClock
    ports: list[str] = field(default_factory=list)

    async def press(self, *keys: str) -> None:
        """Press keys, each once the one before has been dealt with."""
        for key in keys:
            await self.pilot.press(key)

    async def type(self, text: str) -> None:
        """Type letters and digits."""
        await self.press(*("space" if letter == " " else letter for letter in text))

    async def until(self, condition: Callable[[], object]) -> None:
        """Wait until something is true."""
        end = time.monotonic() + PATIENCE
        while not condition():
            assert time.monotonic() < end, "waited in vain before\n" + self.text
            await asyncio.sleep(0.01)

    async def sees(self, text: str) -> None:
        """Wait until a text stands on the screen."""
        await self.until(lambda: text in self.text)

    async def resize(self, width: int, height: int) -> None:
        """Give the terminal another size."""
        await self.pilot.resize_terminal(width, height)
        await self.pilot.pause()

    @property
    def rows(self) -> list[str]:
        """What the screen shows, row by row, without the spaces at the ends."""
        strips = self.app.screen._compositor.render_strips()
        return [strip.text.rstrip() for strip in strips]

    @property
    def text(self) -> str:
        """What the screen shows."""
        return "\n".join(self.rows)

    @property
    def room(self) -> str:
        """The name of the screen that is open."""
        screen = self.app.screen
        return screen.NAME if isinstance(screen, Room) else type(screen).__name__

    @property
    def rooms(self) -> list[str]:
        """The rooms that lie over each other, the one in sight last."""
        return [screen.NAME for screen in self.app.screen_stack if isinstance(screen, Room)]

    @property
    def message(self) -> str:
        """What the message line says; nothing while it is away."""
        line = self.app.screen.query_one("#message")
        return " ".join(row.strip() for row in self.part("message")) if line.display else ""

    @property
    def stand(self) -> Stand:
        """The Stand that is open."""
        assert isinstance(self.app.screen, Stand), self.room
        return self.app.screen

    def part(self, name: str) -> list[str]:
        """The rows of one part of the screen: song, where, now, next, keyboard, bar, road, foot."""
        region = self.region(name)
        strips = self.app.screen._compositor.render_strips()
        return [
            strip.crop(region.x, region.right).text.rstrip()
            for strip in strips[region.y : region.bottom]
        ]

    def region(self, name: str) -> Region:
        """Where a part of the screen is."""
        return self.app.screen.query_one(f"#{name}").region

    @property
    def squeezed(self) -> str:
        """The text of the page that lies over the room, in one line."""
        page = self.region("page")
        rows = self.rows[page.y : page.bottom]
        inside = [row[page.x + 1 : page.right - 1].strip("│ ▁▂▃▄▅▆▇█▀") for row in rows]
        return " ".join(" ".join(inside).split())

    def line(self, name: str) -> str:
        """The first row of a part."""
        return self.part(name)[0].strip()


class OpenStage(Protocol):
    """Opens the app on a song, the Shelf where none is given; leaving the block quits."""

    def __call__(
        self,
        song: Song | Path | str | None = None,
        size: tuple[int, int] = (100, 30),
        *,
        ports: Ports | None = None,
        wanted: str | None = None,
        store: Store | None = None,
        notice: str = "",
        clock: Clock | None = None,
        look: Callable[[], Ports] | None = None,
        analyst: Callable[[], Analyst] | None = None,
    ) -> AbstractAsyncContextManager[Player]: ...


Sql = Callable[[str], list[tuple[Any, ...]]]


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Give every test a folder of its own for the player's data."""
    folder = tmp_path / "home"
    monkeypatch.setenv("CHARTWALK_HOME", str(folder))
    monkeypatch.delenv("NO_COLOR", raising=False)
    return folder


@pytest.fixture(scope="session")
def demo() -> Callable[[str], Path]:
    """Find a demo song by its file name without the ending."""

    def find(name: str) -> Path:
        path = demo_folder() / f"{name}.lead"
        assert path.is_file()
        return path

    return find


@pytest.fixture
def lead(tmp_path: Path) -> Callable[..., Path]:
    """Write a chart file in the test's folder."""

    def write(text: str, name: str = "own.lead") -> Path:
        path = tmp_path / name
        path.write_text(text, encoding="utf-8")
        return path

    return write


@pytest.fixture
def sql(home: Path) -> Sql:
    """Read the log's file as any other program would."""

    def read(statement: str) -> list[tuple[Any, ...]]:
        connection = sqlite3.connect(home / FILE_NAME)
        try:
            return connection.execute(statement).fetchall()
        finally:
            connection.close()

    return read


@pytest.fixture
def clock() -> ToldClock:
    """A clock that stands where the test puts it."""
    return ToldClock()


@pytest.fixture
def stage(home: Path, demo: Callable[[str], Path]) -> OpenStage:
    """Open the app for a player."""

    @asynccontextmanager
    async def opened(
        song: Song | Path | str | None = None,
        size: tuple[int, int] = (100, 30),
        *,
        ports: Ports | None = None,
        wanted: str | None = None,
        store: Store | None = None,
        notice: str = "",
        clock: Clock | None = None,
        look: Callable[[], Ports] | None = None,
        analyst: Callable[[], Analyst] | None = None,
    ) -> AsyncIterator[Player]:
        told = ToldClock()
        seen = Ports((PIANO, ORGAN)) if ports is None else ports
        there = list(seen.outputs)
        metronome = Metronome(
            wanted,
            look=look or (lambda: replace(seen, outputs=tuple(there))),
            start=lambda port: clock or cast("Clock", told),
        )
        path = demo(song) if isinstance(song, str) else song
        chart = open_song(path) if isinstance(path, Path) else path
        app = ChartwalkApp(store or Store.open(home), lambda: metronome, chart, notice, analyst)
        async with app.run_test(size=size) as pilot:
            player = Player(app, pilot, told, there)
            await player.until(lambda: isinstance(app.screen, Room))
            await player.until(lambda: clock or told.opened)
            await pilot.pause()
            yield player
        assert clock or told.closed, "the clock was left behind"

    return opened


@pytest.fixture
def no_midi() -> Ports:
    """A computer without any MIDI output."""
    return Ports(problem=NO_OUTPUT)
