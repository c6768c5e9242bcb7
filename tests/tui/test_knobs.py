"""What a setting means is told whole on every screen, and what was said of a run goes with it."""

from typing import TYPE_CHECKING

import pytest

from chartwalk.clock.sound import Sound
from chartwalk.settings import (
    CLICK_SETTINGS,
    DRILL_SETTINGS,
    LOOK_SETTINGS,
    PEDAL_SETTINGS,
    SOUND_SETTINGS,
)
from chartwalk_tui.screens.choices import Choices

if TYPE_CHECKING:
    from tests.tui.conftest import OpenStage, Player

ROOMS = {
    "k": ("Click", (*CLICK_SETTINGS, *DRILL_SETTINGS)),
    "i": ("Setup", (*SOUND_SETTINGS, *PEDAL_SETTINGS, *LOOK_SETTINGS)),
}
OPEN, CLOSE = "left_square_bracket", "right_square_bracket"


async def open_room(player: "Player", key: str) -> Choices:
    await player.press(key)
    await player.until(lambda: player.room == ROOMS[key][0])
    return player.app.screen.query_one(Choices)


@pytest.mark.parametrize("key", ROOMS)
@pytest.mark.parametrize("size", [(100, 30), (80, 24)])
async def test_a_setting_is_explained_beside_its_value(
    stage: "OpenStage", key: str, size: tuple[int, int]
) -> None:
    async with stage("first-lamp", size) as player:
        choices = await open_room(player, key)
        for setting in ROOMS[key][1]:
            choices.highlighted = choices.get_option_index(setting.name)
            label, told = setting.label.strip(), setting.help
            await player.until(
                lambda label=label, told=told: any(  # type: ignore[misc]
                    label in row and told in row for row in player.text.splitlines()
                )
            )


@pytest.mark.parametrize("key", ROOMS)
async def test_where_it_is_narrow_the_first_line_explains_the_one_under_the_cursor(
    stage: "OpenStage", key: str
) -> None:
    async with stage("first-lamp", (60, 16)) as player:
        choices = await open_room(player, key)
        for setting in ROOMS[key][1]:
            choices.highlighted = choices.get_option_index(setting.name)
            await player.until(
                lambda told=setting.help: player.line("song").endswith(told)  # type: ignore[misc]
            )
            assert "← → change a value" in player.line("song")


async def test_the_explanation_moves_with_the_width(stage: "OpenStage") -> None:
    async with stage("first-lamp", (60, 16)) as player:
        await open_room(player, "k")
        told = CLICK_SETTINGS[0].help
        await player.until(lambda: told in player.line("song"))
        await player.pilot.resize_terminal(80, 24)
        await player.until(lambda: told not in player.line("song") and told in player.text)


async def test_a_chord_that_nobody_hears_is_told_in_one_sentence(stage: "OpenStage") -> None:
    async with stage("first-lamp") as player:
        player.clock.sound = Sound.heard("piano")
        await player.press("s")
        assert not player.message
        player.clock.sound = Sound.silent("the MIDI port 'piano' is not there; connect it again")
        await player.press("s")
        told = "No sound. The MIDI port 'piano' is not there; connect it again."
        assert player.message == told


async def test_what_was_said_before_a_run_is_taken_away(stage: "OpenStage") -> None:
    async with stage("first-lamp") as player:
        await player.press("space", OPEN)
        assert player.message.startswith("Passage: bar 2.")
        await player.press("r")
        assert "Passage" not in player.message
        await player.press("r", "l")
        assert player.message == "Loop: bar 2. l stops."
        await player.press("l")
        assert not player.message


async def test_a_loop_is_told_and_shown_as_its_ends_are_moved(stage: "OpenStage") -> None:
    async with stage("first-lamp") as player:
        await player.press("l")
        player.clock.stand_at(3, 1)
        await player.sees("bar 3 · step 3")
        await player.press(CLOSE)
        assert player.message == "Loop: bars 1-3. l stops."
        await player.until(lambda: player.line("where").endswith("loop bars 1-3 · round 1"))
        player.clock.stand_at(4, 1)
        await player.until(lambda: player.line("where").startswith("count-in · bar 1"))
        player.clock.stand_at(5, 1)
        await player.until(lambda: player.line("where").endswith("loop bars 1-3 · round 2"))
