"""The plan: minutes asked for, its parts begun one after the other, a quiet clock beside them."""

import re
from collections.abc import Callable
from pathlib import Path
from types import SimpleNamespace
from typing import TYPE_CHECKING

import pytest
from tests.tui.practised import at, clean, mark, through

from chartwalk.files import open_song
from chartwalk.log import Store
from chartwalk.mode import Mode

if TYPE_CHECKING:
    from tests.tui.conftest import OpenStage, Player

SIZES = [(100, 30), (80, 24), (60, 16)]
SONG, EASY = "lanterns-at-low-tide", "first-lamp"
TITLE = "Lanterns at Low Tide"


@pytest.fixture
def practised(home: Path, demo: Callable[[str], Path]) -> None:
    """One song with a spot that is due, and one that was played clean."""
    store = Store.open(home)
    mark(store, open_song(demo(SONG)), 12, days=3)
    clean(store, open_song(demo(EASY)), (0, 7), 80, days=5)
    store.close()


class Watch:
    """The watch on the wall."""

    def __init__(self) -> None:
        self.now = 5000.0

    def monotonic(self) -> float:
        return self.now

    def pass_minutes(self, minutes: float) -> None:
        self.now += 60 * minutes


@pytest.fixture
def watch(monkeypatch: pytest.MonkeyPatch) -> Watch:
    found = Watch()
    fake = SimpleNamespace(monotonic=found.monotonic)
    for module in ("plan", "stand.drilling"):
        monkeypatch.setattr(f"chartwalk_tui.screens.{module}.time", fake)
    return found


async def plan(player: "Player", minutes: str) -> list[str]:
    """Ask for a plan and return its parts."""
    await player.press("p")
    await player.sees("minutes to practise")
    await player.press(*minutes, "enter")
    await player.until(lambda: player.room == "Plan")
    await player.pilot.pause()
    return parts(player)


def parts(player: "Player") -> list[str]:
    rows = (row.strip(" ▁▂▃▄▅▆▇█") for row in player.part("list"))
    return [row for row in rows if re.match(r"[›✓ ]*\d+ min ", row)]


def minutes(part: str) -> int:
    return int(re.findall(r"(\d+) min ", part)[0])


@pytest.mark.usefixtures("practised")
async def test_the_parts_of_a_plan_begin_one_after_the_other(
    stage: "OpenStage", watch: Watch
) -> None:
    async with stage(EASY) as player:
        assert "min left" not in player.line("song")
        shown = await plan(player, "45")
        assert sum(map(minutes, shown)) == 45 == int(re.findall(r"\d+", player.line("song"))[0])
        assert shown[0].startswith("›")
        assert f"{TITLE}: bar 12, due for 2 days" in shown[0]
        assert any("pause" in part for part in shown), "after 25 minutes"
        assert "for pleasure" in shown[-1]
        assert "Stop when something hurts" in player.text
        first = minutes(shown[0])
        await player.press("enter")
        await player.until(lambda: player.rooms == ["Stand"])
        await player.until(lambda: player.app.metronome.where() is not None)
        assert player.line("song").startswith(f"{first} min left  {TITLE}")
        assert player.stand.session.looped, "a spot is drilled"
        await player.press("l")
        watch.pass_minutes(first - 1.5)
        await player.until(lambda: f"2 min left  {TITLE}" in player.line("song"))
        watch.pass_minutes(1.5)
        await player.until(lambda: "time is up: p" in player.line("song"))
        await player.press("p")
        await player.until(lambda: player.room == "Plan")
        await player.pilot.pause()
        again = parts(player)
        assert again[0].startswith("✓")
        assert [part.lstrip("›✓ ") for part in again] == [part.lstrip("›✓ ") for part in shown]
        assert again[1].startswith("›"), "the next part"
        slow = next(place for place, part in enumerate(again) if "slow run-through" in part)
        await player.press(*["down"] * (slow - 1), "enter")
        await player.until(lambda: player.rooms == ["Stand"])
        await player.until(lambda: player.stand.session.mode is Mode.COUNT_IN)
        session = player.stand.session
        assert session.step == 0
        assert session.tempo < session.goal * 3 / 4
        await through(player, 1, 2)
        await player.press("r", "p")
        await player.until(lambda: player.room == "Plan")
        pause = next(place for place, part in enumerate(again) if "pause" in part)
        await player.press("home", *["down"] * pause, "enter")
        assert player.room == "Stand"
        assert player.message.startswith("Pause, 5 minutes: stand up")
        await player.press("p", "end", "enter")
        await player.until(lambda: player.rooms == ["Stand"])
        await player.until(lambda: player.stand.session.mode is Mode.COUNT_IN)
        assert player.stand.session.tempo == player.stand.session.goal, "for pleasure, at the goal"
        await at(player, 1)


@pytest.mark.usefixtures("practised")
@pytest.mark.parametrize("size", SIZES)
async def test_other_minutes_and_none(stage: "OpenStage", size: tuple[int, int]) -> None:
    async with stage(None, size) as player:
        await player.press("t")
        await player.until(lambda: player.room == "Log" and "Due now" in player.text)
        for bad in ("0", "241", "ten", "9.5", "-3", ""):
            await player.press("p")
            await player.press(*(bad or ()), "enter")
            assert player.room == "Log", bad
            assert player.message == "A plan lasts 1 to 240 minutes: type a number.", bad
        await player.press("p", "5", "escape")
        assert player.room == "Log"
        shown = await plan(player, "5")
        assert sum(map(minutes, shown)) == 5
        await player.press("p")
        await player.sees("minutes to practise")
        await player.press("escape")
        assert player.room == "Log"
        await player.press("p")
        await player.until(lambda: player.room == "Plan")
        await player.press("p")
        await player.sees("minutes to practise")
        await player.press("2", "4", "0", "enter")
        await player.until(lambda: player.room == "Plan" and "240 minutes" in player.line("song"))
        await player.press("home", "enter")
        await player.until(lambda: player.rooms == ["Stand"])
        assert f"min left  {TITLE[:6]}" in player.line("song")
        assert player.clock.running


async def test_an_empty_log_makes_a_plan_of_the_song_that_is_open(stage: "OpenStage") -> None:
    async with stage(EASY) as player:
        shown = await plan(player, "10")
        assert sum(map(minutes, shown)) == 10
        assert all("The First Lamp" in part for part in shown)
    async with stage(None) as player:
        await player.press("t", "p", "5", "enter")
        assert player.message == "A plan needs a song: open one, then press p."
        assert player.room == "Log"
