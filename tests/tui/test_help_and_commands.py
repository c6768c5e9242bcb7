"""Help names every key of its screen; the list of commands finds actions by plain words."""

from typing import TYPE_CHECKING

import pytest

from chartwalk_tui.actions import (
    LOG_SCREEN,
    SETUP_SCREEN,
    SHELF_SCREEN,
    STAND,
    Action,
    key_names,
)

if TYPE_CHECKING:
    from tests.tui.conftest import OpenStage, Player

SCREENS = {
    "Stand": ((), STAND), "Log": (("t",), LOG_SCREEN), "Setup": (("i",), SETUP_SCREEN),
}  # fmt: skip


def squeezed(player: "Player") -> str:
    """The text of the page on top, in one line."""
    page = player.app.screen.query_one("#page")
    rows = player.rows[page.region.y : page.region.bottom]
    inside = [row[page.region.x + 1 : page.region.right - 1].strip("│ ▄▀█") for row in rows]
    return " ".join(" ".join(inside).split())


@pytest.mark.parametrize("name", SCREENS)
async def test_help_lists_every_action_of_its_screen(stage: "OpenStage", name: str) -> None:
    keys, actions = SCREENS[name]
    async with stage("first-lamp", (100, 50)) as player:
        await player.press(*keys)
        assert player.room == name
        purpose = player.app.screen.PURPOSE  # type: ignore[attr-defined]
        await player.press("question_mark")
        text = squeezed(player)
        assert name in text
        assert " ".join(purpose.split()) in text
        for action in actions:
            assert f"{key_names(action)} {action.help}" in text
        assert "Pain is a sign to stop." in text
        assert "Ctrl+P" in text


async def test_help_of_the_shelf(stage: "OpenStage") -> None:
    async with stage(None, (100, 40)) as player:
        await player.press("question_mark")
        text = squeezed(player)
        for action in SHELF_SCREEN:
            assert f"{key_names(action)} {action.help}" in text


@pytest.mark.parametrize("size", [(80, 24), (60, 16)])
async def test_help_can_be_read_to_its_end_by_keys(
    stage: "OpenStage", size: tuple[int, int]
) -> None:
    async with stage("first-lamp", size) as player:
        await player.press("question_mark")
        assert "Esc goes back" in player.text
        await player.press("end")
        await player.until(lambda: "Ctrl+P" in player.text)
        assert "leave chartwalk" in player.text or size[1] < 20
        await player.press("home")
        await player.until(lambda: "Walk the song bar by bar" in player.text)
        await player.press("pagedown", "down")
        assert type(player.app.screen).__name__ == "Page", "paging keys turn the page of the help"


@pytest.mark.parametrize("key", ["escape", "enter", "q", "question_mark", "space"])
async def test_help_closes_and_the_stand_is_where_it_was(stage: "OpenStage", key: str) -> None:
    async with stage("first-lamp") as player:
        await player.press("space", "question_mark", key)
        assert player.room == "Stand"
        assert "bar 2 " in player.line("where")


@pytest.mark.parametrize(
    ("words", "action"),
    [("trouble", "mark"), ("slower", "slower"), ("count", "run"), ("bar number", "go_to_bar")],
)
async def test_the_list_of_commands_finds_an_action_by_plain_words(
    stage: "OpenStage", words: str, action: str
) -> None:
    wanted: Action = next(found for found in STAND if found.name == action)
    async with stage("first-lamp") as player:
        await player.press("ctrl+p")
        await player.type(words)
        await player.sees(wanted.help)


async def test_a_command_of_the_list_acts(stage: "OpenStage") -> None:
    async with stage("first-lamp") as player:
        await player.press("ctrl+p")
        await player.type("one metronome mark slower")
        slower = next(action.help for action in STAND if action.name == "slower")
        await player.sees(slower)
        await player.press("enter")
        await player.until(lambda: player.room == "Stand")
        await player.until(lambda: "tempo 76 of 80" in player.line("song"))


async def test_a_command_of_the_app_acts(stage: "OpenStage") -> None:
    async with stage("first-lamp") as player:
        await player.press("ctrl+p")
        await player.type("where the click sounds")
        await player.sees("Setup: where the click sounds")
        await player.press("enter")
        await player.until(lambda: player.room == "Setup")


async def test_the_list_offers_the_actions_of_the_screen_alone(stage: "OpenStage") -> None:
    async with stage("first-lamp", (100, 50)) as player:
        await player.press("ctrl+p")
        for action in STAND:
            await player.sees(action.help)
        for word in ("screenshot", "theme", "maximize"):
            assert word not in player.text.casefold()


async def test_the_list_can_be_left(stage: "OpenStage") -> None:
    async with stage("first-lamp") as player:
        await player.press("space", "ctrl+p", "escape")
        await player.until(lambda: player.room == "Stand")
        assert "bar 2 " in player.line("where")


@pytest.mark.parametrize("key", ["q", "ctrl+c"])
async def test_quit(stage: "OpenStage", key: str) -> None:
    async with stage("first-lamp") as player:
        await player.press(key)
    assert player.app.return_code == 0


async def test_keys_without_a_meaning_do_nothing(stage: "OpenStage") -> None:
    async with stage("first-lamp") as player:
        await player.press("space")
        before = player.rows
        await player.press("z", "f5", "tab", "shift+tab", "1", "delete")
        assert player.room == "Stand"
        assert player.rows == before
