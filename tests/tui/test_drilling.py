"""Drills from the Log: a passage round and round, slow first, faster when it is clean.

How a drill climbs and steps back is tested with the engine; here is what the player sees of it.
"""

from collections.abc import Callable
from pathlib import Path
from types import SimpleNamespace
from typing import TYPE_CHECKING

import pytest
from tests.tui.practised import at, clean, mark, through, to_the_end

from chartwalk.files import open_song
from chartwalk.log import Store
from chartwalk.mode import Mode

if TYPE_CHECKING:
    from tests.tui.conftest import OpenStage, Player, Sql

# The spot is bar 4: with a bar before and one after, a round is a counted bar and three bars.
SHEET = """\
title T
meter 4/4
tempo 84

chords | C | F | G7 | Am7 | Dm7 | G7 |

tempo  120

chords | C | Cmaj7 |
"""
ROUND = 4
PASSES = "SELECT kind, tempo, clean, depth, whole FROM pass ORDER BY number"


@pytest.fixture
def chart(lead: Callable[..., Path]) -> Path:
    return lead(SHEET)


@pytest.fixture
def kept(home: Path, chart: Path) -> Callable[..., None]:
    """A log with a spot that was clean at 76 yesterday; settings by name."""

    def keep(chart: Path = chart, bar: int = 3, tempo: float = 76, **settings: str) -> None:
        store = Store.open(home)
        song = open_song(chart)
        mark(store, song, bar, days=9)
        if tempo:
            clean(store, song, (bar - 1, bar + 1), tempo, days=8)
        for name, value in {"drill_row": "2", **settings}.items():
            store.set(name.replace("_", "."), value)
        store.close()

    return keep


async def drill(player: "Player") -> None:
    """Open the Log and drill its first spot."""
    await player.press("t")
    await player.until(lambda: player.room == "Log" and "Due now" in player.text)
    await player.press("enter")
    await player.until(lambda: player.rooms == ["Stand"])
    await player.until(lambda: player.stand.session.mode is Mode.COUNT_IN)


def tempo(player: "Player") -> str:
    """The tempo as it is shown, with the goal if it is another."""
    return player.line("song").partition("tempo ")[2].partition(" · ")[0]


async def play_on(player: "Player", round_: int) -> None:
    """Play the rounds from one on without a mark, to the end of the drill."""
    turns = player.app.metronome.score.turns
    assert len(turns) == (turns[-1].round + 1) * ROUND, "they are planned to the end"
    await through(player, round_ * ROUND, len(turns) - 1)
    assert "goal" not in tempo(player)
    await to_the_end(player)


async def test_a_drill_climbs_to_its_goal_and_says_why(
    stage: "OpenStage", chart: Path, kept: Callable[..., None], sql: "Sql"
) -> None:
    kept()
    async with stage(chart) as player:
        # In bar 8 the goal is 120, and there the player goes at 112, nine tenths and a bit.
        await player.press("end", "minus", "minus", "d")
        before = player.stand.session
        assert tempo(player) == "112 (goal 120)"
        await drill(player)
        assert player.message == "Clean at 76 before: begin one mark below, at 72."
        assert tempo(player) == "72 (goal 84)"
        assert "written" in player.line("song"), "a drill is played as written"
        assert player.line("where").startswith("count-in · bar 3")
        assert player.line("where").endswith("loop bars 3-5 · round 1")
        assert player.line("foot").startswith("l stop")
        told = {}
        for number, words in enumerate(
            ["Clean at 72: 1 more.", "Clean twice at 72: up to 76.", "Clean at 76: 1 more.",
             "Clean twice at 76: up to 80."], start=1,
        ):  # fmt: skip
            await through(player, (number - 1) * ROUND + 1, number * ROUND)
            await player.sees(words)
            told[number] = tempo(player)
        assert told == {
            1: "72 (goal 84)", 2: "76 (goal 84)", 3: "76 (goal 84)", 4: "80 (goal 84)",
        }  # fmt: skip
        assert player.line("where").endswith("round 5")
        await at(player, 4 * ROUND + 2)
        await player.press("m")
        assert "Marked bar 4, Am7." in player.message
        await player.sees("That gave trouble at 80: back to 76.")
        assert tempo(player) == "80 (goal 84)", "this round goes on as it is"
        await player.press("c")
        await through(player, 4 * ROUND + 3, 5 * ROUND)
        await player.sees("That pass had its mark: now at 76, clean twice leads on.")
        assert tempo(player) == "76 (goal 84)"
        await play_on(player, 5)
        await player.sees("Clean twice at the goal, 84: done.")
        assert player.stand.session.mode is Mode.STOPPED
        assert "loop" not in player.line("where")
        after = player.stand.session
        assert after.scale == before.scale, "the tempo is as it was before the drill"
        assert after.arrangement == before.arrangement
        assert tempo(player) == f"{round(84 * before.scale)} (goal 84)"
        assert "lean" in player.line("song")
        await player.press("r")
        await through(player, 1, 2)
        await player.press("r")
    written = sql(PASSES)[1:]
    tempos = [each[1] for each in written]
    assert tempos[:5] == [72, 72, 76, 76, 80]
    assert tempos[5:-1] == [76, 76, 80, 80, 84, 84]
    assert {each[0] for each in written[:-1]} == {"drill"}
    assert [each[2] for each in written[:6]] == [1, 1, 1, 1, 0, 1]
    assert {each[3] for each in written[:-1]} == {"written"}
    assert written[-1][0] == "run", "what comes after a drill is none"
    assert len(sql("SELECT id FROM run WHERE kind = 'drill'")) == 1


async def test_a_drill_that_is_left_gives_back_tempo_and_depth(
    stage: "OpenStage", chart: Path, kept: Callable[..., None]
) -> None:
    kept()
    async with stage(chart) as player:
        await player.press("minus", "d", "full_stop")
        before = player.stand.session
        shown = player.line("song")
        for key in ("l", "r", "space", "home", "f", "o"):
            await drill(player)
            await at(player, 1)
            assert player.line("song") != shown
            await player.press(key)
            await player.until(lambda: player.room != "Stand" or player.line("song") == shown)
            if key in "fo":
                await player.press({"f": "f", "o": "escape"}[key])
            after = player.stand.session
            assert after.mode is Mode.STOPPED
            assert (after.scale, after.arrangement) == (before.scale, before.arrangement), key
            assert player.line("song") == shown
        await drill(player)
        await at(player, 1)
        await player.press("full_stop")
        assert "2 up" in player.line("song"), "the key can be changed in a drill"
        await player.press("minus")
        assert "(goal 84)" in player.line("song")
        await player.press("q")
    async with stage(chart) as player:
        after = player.stand.session
        assert after.scale == before.scale, "what is kept is what was before the drill"
        assert after.arrangement.depth == before.arrangement.depth
        assert after.arrangement.shift == 2


async def test_another_song_is_opened_for_its_drill(
    stage: "OpenStage", chart: Path, kept: Callable[..., None]
) -> None:
    kept(drill_row="3", tempo=0)
    async with stage("first-lamp") as player:
        await player.press("r", "i")
        await player.until(lambda: player.room == "Setup")
        await player.press("escape")
        await drill(player)
        assert player.line("song").startswith("T ")
        assert player.message == "Not clean yet: begin at 54, below two thirds of the goal, 84."
        assert player.clock.running, "the run of the other song does not stop this one"
        await through(player, 1, ROUND)
        await player.sees("Clean at 54: 2 more.")


async def test_a_drill_climbs_in_fullness(
    stage: "OpenStage", lead: Callable[..., Path], kept: Callable[..., None]
) -> None:
    sung = lead(SHEET + "tune | C4:4 | C4:4 |\nwords | la | lo |\n", "sung.lead")
    kept(sung, bar=6, tempo=120, drill_fuller="on")
    async with stage(sung) as player:
        await drill(player)
        depths = [player.stand.session.arrangement.depth.value]
        turns = player.app.metronome.score.turns
        for number in range(turns[-1].round):
            await through(player, number * ROUND + 1, (number + 1) * ROUND)
            depths.append(player.stand.session.arrangement.depth.value)
            if number == 1:
                await player.sees(": now as written.")
            if number == 3:
                await player.sees(": now as written, with the words sung.")
        assert depths[:6] == ["plain", "plain", "written", "written", "written", "written"]
        await play_on(player, turns[-1].round)
        await player.sees("Clean twice at the goal, 120: done.")


async def test_after_its_time_a_drill_ends_with_the_round(
    stage: "OpenStage", chart: Path, kept: Callable[..., None], monkeypatch: pytest.MonkeyPatch
) -> None:
    kept(drill_minutes="5 minutes")
    now = 1000.0
    fake = SimpleNamespace(monotonic=lambda: now)
    monkeypatch.setattr("chartwalk_tui.screens.stand.drilling.time", fake)
    async with stage(chart) as player:
        await drill(player)
        await through(player, 1, 2)
        assert len(player.clock.bars) > ROUND
        now += 299
        await through(player, 3, 3)
        assert len(player.clock.bars) > ROUND
        now += 1
        await player.until(lambda: len(player.clock.bars) == ROUND)
        assert player.clock.running, "the round under way is played to its end"
        await player.sees("The time is over, at 72: leave it for another day.")
        await to_the_end(player)
        assert tempo(player) == "84", "as before"
        assert "The time is over" in player.message


async def test_a_clock_that_is_lost_in_a_drill_tells_no_success(
    stage: "OpenStage", chart: Path, kept: Callable[..., None]
) -> None:
    kept()
    async with stage(chart) as player:
        await drill(player)
        await through(player, 1, 2)
        player.clock.messages.append("The clock stopped working and was started again.")
        player.clock.stop()
        await player.until(lambda: player.stand.session.mode is Mode.STOPPED)
        assert player.message.startswith("The clock stopped working")
        assert tempo(player) == "84"
        assert "bar 4" in player.line("where")
