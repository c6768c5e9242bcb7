"""Running with the click: count-in, the lit beat, the road, tempo, and what may go wrong."""

import re
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from chartwalk.clock.client import Clock
from chartwalk.clock.schedule import FASTEST_RATE, SLOWEST_RATE
from chartwalk.clock.spawn import Child, Subprocess, module_command
from chartwalk.midi import Ports

if TYPE_CHECKING:
    from tests.tui.conftest import OpenStage, Player

SIZES = [(100, 30), (80, 24), (60, 16)]
SONG = "lanterns-at-low-tide"


NO_BOX = str.maketrans("─▐▌", "   ")


def lit(player: "Player") -> list[str]:
    """The beats in a box."""
    return re.findall(r"▐(\d+)▌", player.line("bar"))


async def lights(player: "Player", beat: str) -> None:
    """Wait until a beat alone is lit."""
    await player.until(lambda: lit(player) == [beat])


@pytest.mark.parametrize("size", SIZES)
async def test_a_bar_is_counted_in(stage: "OpenStage", size: tuple[int, int]) -> None:
    async with stage("first-lamp", size) as player:
        await player.press("r")
        assert player.clock.running
        for beat in range(4):
            player.clock.stand_at(0, beat + 0.3)
            await lights(player, str(beat + 1))
            assert player.line("where").startswith("count-in · bar 1 · step 1 of 20")
            beats, *below = player.part("bar")
            here, _, coming = beats.partition("│")
            numbers = here.translate(NO_BOX).split()
            assert numbers == ["1", "2", "3", "4"]
            assert coming.replace("─", " ").split() == ["1", "2", "3", "4"]
            assert not any(row.partition("│")[0].strip() for row in below), "beats alone"
            assert below[-1].partition("│")[2].split()[0] == "One", "the bar to come"
        player.clock.stand_at(1)
        await player.until(lambda: "count-in" not in player.line("where"))
        assert lit(player) == ["1"]


@pytest.mark.parametrize("size", SIZES)
async def test_the_lit_beat_and_the_chord_follow_the_clock(
    stage: "OpenStage", size: tuple[int, int]
) -> None:
    async with stage(SONG, size) as player:
        await player.press("space", "r")
        before = player.part("now")
        player.clock.stand_at(1, 1.5)
        await lights(player, "2")
        assert player.part("now") == before, "G lasts for two beats"
        player.clock.stand_at(1, 2)
        await lights(player, "3")
        await player.sees("over F♯")
        player.clock.stand_at(2, 0.9)
        await player.until(lambda: "bar 2 · step 3" in player.line("where"))
        assert lit(player) == ["1"]
        player.clock.stand_at(5, 3.99)
        await player.until(lambda: "bar 5 · step 6" in player.line("where"))
        assert lit(player) == ["4"], "what is shown is the clock's place, never a count of its own"


async def test_a_run_follows_the_play_order_through_a_jump(stage: "OpenStage") -> None:
    async with stage(SONG) as player:
        await player.press(*["space"] * 7, "r")
        seen = []
        for bar in range(1, 5):
            player.clock.stand_at(bar, 1)
            await player.sees(f"step {7 + bar} of")
            seen.append(re.search(r"bar (\d+)", player.line("where"))[1])  # type: ignore[index]
        assert seen == ["7", "8", "1", "2"]
        assert "2nd time" in player.line("where")
        assert "by" in player.text, "the words of the second verse"


async def test_the_schedule_has_the_count_in_and_every_step_to_the_end(stage: "OpenStage") -> None:
    async with stage("first-lamp") as player:
        await player.press("space", "space", "r")
        assert len(player.clock.bars) == 1 + 18
        assert player.clock.rates == [1.0]


async def test_a_pickup_is_led_up_to(stage: "OpenStage") -> None:
    async with stage(SONG) as player:
        await player.press("r")
        player.clock.stand_at(0, 3.5)
        await lights(player, "4")
        player.clock.stand_at(1, 2.5)
        await lights(player, "3")
        assert "count-in" in player.line("where")
        player.clock.stand_at(2, 0.5)
        await player.until(lambda: "count-in" not in player.line("where"))
        assert lit(player) == ["4"]
        player.clock.stand_at(3, 0)
        await lights(player, "1")
        assert "bar 1 · step 2" in player.line("where")


async def test_compound_bars_count_dotted_beats(stage: "OpenStage") -> None:
    async with stage("last-ferry-bell", (80, 24)) as player:
        await player.press("space", "r")
        for quarters, beat in [(0, "1"), (1.4, "1"), (1.5, "2"), (2.9, "2")]:
            player.clock.stand_at(1, quarters)
            await lights(player, beat)


async def test_the_end_of_the_schedule_stops(stage: "OpenStage") -> None:
    async with stage("first-lamp") as player:
        await player.press("end", "r")
        player.clock.stand_at(1, 3)
        await lights(player, "4")
        player.clock.come_to_end()
        await player.until(lambda: not lit(player))
        assert "step 20 of 20" in player.line("where")
        await player.press("r")
        assert player.clock.running, "and can run again"


@pytest.mark.parametrize("size", [(100, 30), (60, 16)])
async def test_r_stops_and_the_bar_rests(stage: "OpenStage", size: tuple[int, int]) -> None:
    async with stage("first-lamp", size) as player:
        await player.press("r")
        player.clock.stand_at(3, 2)
        await lights(player, "3")
        await player.press("r")
        assert not player.clock.running
        assert not lit(player)
        assert "bar 3 · step 3" in player.line("where"), "where the run had come to"


@pytest.mark.parametrize(
    ("key", "step"),
    [("space", 4), ("left", 2), ("down", 4), ("up", 2), ("home", 1), ("end", 20)],
)
async def test_a_step_by_hand_stops_the_run(stage: "OpenStage", key: str, step: int) -> None:
    async with stage("first-lamp") as player:
        await player.press("r")
        player.clock.stand_at(3, 1)
        await player.until(lambda: "step 3 of" in player.line("where"))
        await player.press(key)
        assert not player.clock.running
        assert not lit(player)
        assert f"step {step} of 20" in player.line("where")


async def test_the_footer_says_what_a_player_needs_while_it_runs(stage: "OpenStage") -> None:
    async with stage("first-lamp", (60, 16)) as player:
        still = player.line("foot")
        assert still.startswith("space next bar")
        await player.press("r")
        assert player.line("foot") == "r stop   - slower   = faster   m mark   ? help   q quit"
        player.clock.stand_at(2, 1)
        await lights(player, "2")
        assert player.line("foot") == "r stop   - slower   = faster   m mark   ? help   q quit"
        await player.press("r")
        assert player.line("foot") == still
        await player.press("r", "space")
        assert player.line("foot") == still, "a step by hand stops the run"


async def test_quit_is_named_earlier_than_the_way_to_other_rooms(stage: "OpenStage") -> None:
    async with stage("first-lamp", (100, 30)) as player:
        assert "q quit   o songs" in player.line("foot")


async def test_after_the_end_a_run_begins_where_the_last_one_did(stage: "OpenStage") -> None:
    async with stage("first-lamp") as player:
        await player.press(*["space"] * 4, "r")
        played = player.clock.bars
        player.clock.stand_at(len(played) - 1, 1)
        await player.sees("step 20 of 20")
        player.clock.come_to_end()
        await player.until(lambda: not lit(player))
        assert "step 20 of 20" in player.line("where")
        await player.press("r")
        assert player.line("where").startswith("count-in · bar 5 · step 5 of 20")
        assert player.clock.bars == played


async def test_after_the_end_a_run_from_another_bar_begins_there(stage: "OpenStage") -> None:
    async with stage("first-lamp") as player:
        await player.press(*["space"] * 4, "r")
        player.clock.stand_at(len(player.clock.bars) - 1, 1)
        await player.sees("step 20 of 20")
        player.clock.come_to_end()
        await player.until(lambda: not lit(player))
        await player.press("left", "r")
        assert "step 19 of 20" in player.line("where")
        await player.press("r", "end", "r")
        assert "step 20 of 20" in player.line("where"), "that run was stopped before its end"


async def test_a_run_stopped_in_the_last_bar_begins_there(stage: "OpenStage") -> None:
    async with stage("first-lamp") as player:
        await player.press("r")
        player.clock.stand_at(len(player.clock.bars) - 1, 1)
        await player.sees("step 20 of 20")
        await player.press("r", "r")
        assert "count-in · bar 12 · step 20 of 20" in player.line("where")
        assert len(player.clock.bars) == 2


async def test_going_to_a_bar_stops_the_run(stage: "OpenStage") -> None:
    async with stage("first-lamp") as player:
        await player.press("r", "g", "7", "enter")
        assert not player.clock.running
        assert "bar 7 " in player.line("where")


async def test_a_mark_does_not_stop_the_run(stage: "OpenStage") -> None:
    async with stage("first-lamp") as player:
        await player.press("r")
        player.clock.stand_at(2, 1)
        await player.until(lambda: "bar 2 " in player.line("where"))
        await player.press("m")
        assert player.clock.running
        assert "bar 2 ×1" in player.line("where")


@pytest.mark.parametrize("size", [(100, 30), (60, 16)])
async def test_tempo_goes_by_metronome_marks_and_shows_the_goal(
    stage: "OpenStage", size: tuple[int, int]
) -> None:
    async with stage("first-lamp", size) as player:
        await player.press("minus")
        assert "tempo 76 (goal 80)" in player.line("song")
        await player.press("minus", "minus")
        assert "tempo 69 (goal 80)" in player.line("song")
        await player.press("equals_sign", "plus", "equals_sign")
        assert "tempo 80" in player.line("song")
        assert "goal" not in player.line("song")
        await player.press("equals_sign")
        assert "tempo 84 (goal 80)" in player.line("song")


async def test_tempo_keys_reach_the_clock_as_rates(stage: "OpenStage") -> None:
    async with stage("first-lamp") as player:
        await player.press("minus", "r")
        assert player.clock.rates[-1] == pytest.approx(76 / 80)
        await player.press("equals_sign")
        assert player.clock.rates[-1] == pytest.approx(1)
        assert player.clock.running, "the run goes on"


@pytest.mark.parametrize(("tempo", "key"), [(300, "minus"), (208, "minus"), (20, "equals_sign")])
async def test_tempo_stays_in_what_a_clock_can_play(
    stage: "OpenStage", lead: Callable[..., Path], tempo: int, key: str
) -> None:
    chart = lead(f"title T\nmeter 4/4\ntempo {tempo}\n\nchords | C |\n")
    async with stage(chart) as player:
        action = "slower" if key == "minus" else "faster"
        for _ in range(70):
            await player.stand.run_action(action)
        await player.press(key, "r")
        assert "tempo" in player.line("song")
        assert all(SLOWEST_RATE <= rate <= FASTEST_RATE for rate in player.clock.rates)


async def test_what_the_clock_says_is_shown(stage: "OpenStage") -> None:
    async with stage("first-lamp") as player:
        await player.press("r")
        player.clock.messages.append("The clock stopped working and was started again.")
        await player.sees("The clock stopped working and was started again.")


async def test_what_the_clock_says_at_rest_is_shown_on_the_room_in_sight(
    stage: "OpenStage",
) -> None:
    async with stage("first-lamp") as player:
        for keys, room in (((), "Stand"), (("i",), "Setup")):
            await player.press(*keys)
            assert player.room == room
            player.clock.messages.append(f"The port is gone, {room}.")
            await player.until(lambda: f"The port is gone, {room}." in player.message)  # noqa: B023
        await player.press("escape")
        assert player.room == "Stand"
        assert "Setup" not in player.message, "it is told once"


async def test_what_the_clock_says_is_told_behind_the_help_too(stage: "OpenStage") -> None:
    async with stage("first-lamp") as player:
        await player.press("question_mark")
        player.clock.messages.append("The port is gone.")
        await player.until(lambda: not player.clock.messages)
        await player.press("escape")
        await player.sees("The port is gone.")


async def test_why_the_click_is_silent_is_told_once_a_song(
    stage: "OpenStage", no_midi: Ports
) -> None:
    async with stage("first-lamp", ports=no_midi) as player:
        await player.press("r")
        assert player.message.startswith("The click is visible only. No MIDI output")
        await player.press("r")
        player.stand.hush()
        await player.press("r")
        assert player.message == ""
        await player.press("r", "o", "down", "enter")
        await player.until(lambda: player.line("song").startswith("Café on the Quay"))
        await player.press("r")
        assert player.message.startswith("The click is visible only.")


async def test_what_the_clock_says_when_it_stops_is_shown(stage: "OpenStage") -> None:
    async with stage("first-lamp") as player:
        await player.press("r")
        player.clock.messages.extend(["First line.", "The clock can't be kept running."])
        player.clock.come_to_end()
        await player.until(lambda: not lit(player))
        await player.sees("The clock can't be kept running.")


@pytest.mark.parametrize("size", SIZES)
async def test_without_midi_a_line_says_how_to_get_sound(
    stage: "OpenStage", no_midi: Ports, size: tuple[int, int]
) -> None:
    async with stage("first-lamp", size, ports=no_midi) as player:
        await player.press("r")
        assert player.clock.running, "the click is visible"
        told = player.part("message")
        assert len(told) <= 2, "the music stays in sight"
        assert told[0].strip().startswith(("The click is visible only.", "No MIDI output"))
        assert (
            "connect a keyboard by USB" in " ".join(map(str.strip, told)) or "Setup (i)" in told[0]
        )
        player.clock.stand_at(0, 1)
        await lights(player, "2")


async def test_with_midi_nothing_is_said(stage: "OpenStage") -> None:
    async with stage("first-lamp") as player:
        await player.press("r")
        assert "click is" not in player.text


async def test_leaving_the_stand_ends_the_run(stage: "OpenStage") -> None:
    async with stage("first-lamp") as player:
        await player.press("r", "o")
        await player.until(lambda: player.room == "Shelf")
        await player.until(lambda: not player.clock.running)


async def test_quitting_closes_the_clock(stage: "OpenStage") -> None:
    async with stage("first-lamp") as player:
        await player.press("r", "q")
    assert player.clock.closed
    assert player.app.return_code == 0


async def test_a_real_clock_counts_in_and_plays_to_the_end(
    stage: "OpenStage", lead: Callable[..., Path], no_midi: Ports
) -> None:
    chart = lead("title T\nmeter 2/4\ntempo 240\n\nchords | C | F | G | C |\n")
    with Clock.start(None) as clock:
        async with stage(chart, (80, 24), ports=no_midi, clock=clock) as player:
            await player.until(lambda: clock.alive)
            await player.press("r")
            await player.until(lambda: "count-in" not in player.line("where") and lit(player))
            await player.until(lambda: "step 4 of 4" in player.line("where"))
            await player.until(lambda: not lit(player))
            assert not player.clock.running
        assert not clock.alive, "no process is left behind"


async def test_a_real_clock_that_is_lost_says_so_and_can_run_again(
    stage: "OpenStage", lead: Callable[..., Path], no_midi: Ports
) -> None:
    chart = lead("title T\nmeter 4/4\ntempo 60\n\nchords " + "| C " * 40 + "|\n")
    children: list[Child] = []

    def spawn() -> Child:
        children.append(Subprocess(module_command("chartwalk.clock.process")))
        return children[-1]

    with Clock(None, spawn=spawn) as clock:
        async with stage(chart, (100, 30), ports=no_midi, clock=clock) as player:
            await player.until(lambda: clock.alive)
            await player.press("r")
            await player.until(lambda: lit(player))
            children[0].kill()
            await player.sees("run once more to go on")
            await player.until(lambda: not lit(player))
            await player.until(lambda: len(children) == 2 and clock.alive)
            await player.press("r")
            await player.until(lambda: lit(player))
