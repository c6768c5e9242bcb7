"""The plan and its drills, and lines of the Log that are longer than the list is wide."""

from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from types import SimpleNamespace
from typing import TYPE_CHECKING

import pytest
from tests.log.planted import plant
from tests.tui.practised import mark, through

from chartwalk.files import open_song
from chartwalk.log import Kind, Store
from chartwalk.mode import Mode

if TYPE_CHECKING:
    from tests.tui.conftest import OpenStage, Player, Sql

SIZES = [(100, 30), (80, 24), (60, 16)]
LONG = """\
title A Long Way Round the Harbour Wall
meter 4/4
tempo 84

section Before the Bridge
chords | C | F | Ebmaj7/G | Am7b5 |

section The Bridge of Boats
chords | Dm7 | G7 |
"""
ROUND = 4  # a counted bar, the spot, and a bar on either side


@pytest.fixture
def chart(lead: Callable[..., Path]) -> Path:
    return lead(LONG)


async def open_log(player: "Player") -> None:
    await player.press("t")
    await player.until(lambda: player.room == "Log" and "reading the log" not in player.text)


@pytest.mark.parametrize("size", SIZES)
async def test_a_line_that_is_cut_off_stands_below_in_full(
    stage: "OpenStage", chart: Path, home: Path, size: tuple[int, int]
) -> None:
    store = Store.open(home)
    for kind in (Kind.CHORD, Kind.HANDS, Kind.RHYTHM, Kind.WORDS):
        mark(store, open_song(chart), 3, days=1, kind=kind)
    store.close()
    async with stage(chart, size) as player:
        await open_log(player)
        assert "not clean yet, goal 84" not in " ".join(player.part("list"))
        told = " ".join(" ".join(player.part("history")).split())
        assert told.startswith("A Long Way Round the Harbour Wall: bar 4, G to Em7, 4 marks (")
        assert "not clean yet, goal 84 today" in told


async def test_a_line_that_fits_stands_once(stage: "OpenStage", home: Path, chart: Path) -> None:
    store = Store.open(home)
    mark(store, open_song(chart), 3, days=1)
    store.close()
    async with stage(chart) as player:
        await open_log(player)
        assert "bar 4" not in " ".join(player.part("history"))
        await player.resize(60, 16)
        assert player.text.count("bar 4") == 1


async def test_many_songs_without_a_file_are_counted(stage: "OpenStage", home: Path) -> None:
    store = Store.open(home)
    for number in range(6):
        path = f"/gone/{number}.lead"
        plant(store, path, f"Gone {number}", 0, "1", time=datetime.now(UTC))
    store.close()
    async with stage("first-lamp") as player:
        await open_log(player)
        assert player.text.count("its file is gone, its marks are kept") == 3
        assert "3 more songs without a file to read, their marks are kept too" in player.text


async def test_a_filter_that_leaves_nothing_says_how_to_see_more(
    stage: "OpenStage", chart: Path
) -> None:
    async with stage(chart) as player:
        await player.press("m", "c")
        await open_log(player)
        await player.press("k", "k")
        assert "No trouble spots." in player.text
        assert "f, k and a choose other songs" in player.text


async def test_the_drill_of_a_plan_lasts_as_long_as_its_part(
    stage: "OpenStage", chart: Path, home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    store = Store.open(home)
    mark(store, open_song(chart), 3, days=1)
    store.close()
    now = 1000.0
    fake = SimpleNamespace(monotonic=lambda: now)
    monkeypatch.setattr("chartwalk_tui.screens.stand.drilling.time", fake)
    async with stage(chart) as player:
        await player.press("p", "1", "0", "enter")
        await player.until(lambda: player.room == "Plan")
        assert "3 min  A Long Way Round the Harbour Wall: bar 4, due today" in player.text
        await player.press("enter")
        await player.until(lambda: player.rooms == ["Stand"])
        await player.until(lambda: player.stand.session.mode is Mode.COUNT_IN)
        await through(player, 1, 1)
        now += 179
        await through(player, 2, 2)
        assert len(player.clock.bars) > ROUND
        now += 1
        await player.until(lambda: len(player.clock.bars) == ROUND)
        await player.sees("The time is over")


async def test_what_went_wrong_today_is_in_the_plan_of_today(
    stage: "OpenStage", chart: Path
) -> None:
    async with stage(chart) as player:
        await player.press("g", "4", "enter", "m", "c", "p", "2", "0", "enter")
        await player.until(lambda: player.room == "Plan")
        assert "bar 4, marked today" in player.text
        assert "slow run-through, at 60 of 84" in player.text


async def test_loops_with_a_stop_between_are_two_runs(
    stage: "OpenStage", chart: Path, sql: "Sql"
) -> None:
    async with stage(chart) as player:
        await player.press("left_square_bracket", "space", "right_square_bracket")
        for _ in range(2):
            await player.press("l")
            await through(player, 1, ROUND)  # two bars, and the first of the next round
            await player.press("l")
    assert sql("SELECT count(*) FROM pass") == [(2,)]
    assert sql("SELECT count(*) FROM run") == [(2,)]
