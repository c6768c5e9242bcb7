"""Help names every key of its screen; the list of commands finds actions by plain words."""

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from chartwalk_tui.actions import (
    LOG_SCREEN,
    SETUP_SCREEN,
    SHELF_SCREEN,
    STAND,
    SYMBOL_SCREEN,
    VOICE_SCREEN,
    Action,
    key_names,
)
from chartwalk_tui.screens.room import Room
from chartwalk_tui.screens.stand.help import SIGNS

if TYPE_CHECKING:
    from tests.tui.conftest import OpenStage, Player

PIANO = "Stage Piano:Stage Piano MIDI 1 20:0"
SCREENS = {
    "Stand": ((), STAND), "Log": (("t",), LOG_SCREEN), "Setup": (("i",), SETUP_SCREEN),
    "Symbol": (("space", "c"), SYMBOL_SCREEN), "Voice": (("v",), VOICE_SCREEN),
}  # fmt: skip


@pytest.mark.parametrize("name", SCREENS)
async def test_help_lists_every_action_of_its_screen(stage: "OpenStage", name: str) -> None:
    keys, actions = SCREENS[name]
    async with stage("first-lamp", (100, 120)) as player:
        await player.press(*keys)
        assert player.room == name
        purpose = player.app.screen.PURPOSE  # type: ignore[attr-defined]
        await player.press("question_mark")
        text = player.squeezed
        assert name in text
        assert " ".join(purpose.split()) in text
        for action in actions:
            assert f"{key_names(action)} {action.help}" in text
        assert "Pain is a sign to stop." in text
        assert "Ctrl+P" in text


async def read_all(player: "Player") -> str:
    """Turn the pages from the first to the last and put together what is read."""
    read: list[str] = []
    page = player.app.screen.query_one("#page")
    region = player.region("page")
    place, unread = 0, region.height - 2
    while unread:
        page.scroll_to(y=place, animate=False, immediate=True)
        await player.pilot.pause()
        rows = player.rows[region.y + 1 : region.bottom - 1][-unread:]
        read += [row[region.x + 1 : region.right - 1].strip("│ ▁▂▃▄▅▆▇█▀") for row in rows]
        unread = min(len(rows), int(page.max_scroll_y) - place)
        place += unread
    return " ".join(" ".join(read).split())


SUNG = """title    Sung [A]
credit   words by nobody
meter    4/4
voice    A3 D5
note     Keep it light.
note     Breathe at the comma.

chords   | C | F |
"""


async def test_the_help_of_the_stand_explains_its_signs_and_tells_about_the_song(
    stage: "OpenStage", lead: Callable[..., Path]
) -> None:
    async with stage(lead(SUNG), (100, 120)) as player:
        await player.press("question_mark")
        text = player.squeezed
        keys, found, rest = text.partition("Signs on the Stand ")
        assert found, text
        assert "Ctrl+P" in keys
        signs, found, about = rest.partition(" Sung [A] ")
        assert found, "the title heads what is told about the song"
        for sign, meaning in SIGNS:
            assert f"{sign} {meaning}" in signs
        assert about.startswith(
            "words by nobody Keep it light. Breathe at the comma. voice from A3 to D5 Pain is a"
        )


async def test_a_song_that_tells_nothing_has_its_title_alone(
    stage: "OpenStage", lead: Callable[..., Path]
) -> None:
    async with stage(lead("title Bare\nmeter 4/4\n\nchords | C |\n"), (100, 120)) as player:
        await player.press("question_mark")
        assert "wrong with this bar in the file Bare Pain is a sign" in player.squeezed


@pytest.mark.parametrize("name", ["Log", "Setup"])
async def test_the_signs_of_the_stand_are_in_its_help_alone(stage: "OpenStage", name: str) -> None:
    async with stage("first-lamp", (100, 60)) as player:
        await player.press(*SCREENS[name][0], "question_mark")
        assert "Signs on the Stand" not in player.squeezed
        assert "The First Lamp" not in player.squeezed


async def test_help_of_the_shelf(stage: "OpenStage") -> None:
    async with stage(None, (100, 40)) as player:
        await player.press("question_mark")
        text = player.squeezed
        for action in SHELF_SCREEN:
            assert f"{key_names(action)} {action.help}" in text


async def test_help_can_be_read_to_its_end_by_keys(stage: "OpenStage") -> None:
    async with stage("first-lamp", (60, 16)) as player:
        await player.press("question_mark")
        assert "Esc goes back" in player.text
        await player.press("end")
        await player.until(lambda: "does not get better." in player.squeezed)
        await player.press("home")
        await player.until(lambda: "Walk the song bar by bar" in player.text)
        read = await read_all(player)
        for action in STAND:
            assert action.help in read
        assert "Ctrl+P the list of commands, by plain words" in read
        await player.press("home")
        await player.press("pagedown", "down")
        assert type(player.app.screen).__name__ == "Page", "paging keys turn the page of the help"


async def test_help_closes_and_the_stand_is_where_it_was(stage: "OpenStage") -> None:
    async with stage("first-lamp") as player:
        await player.press("space")
        before = player.rows
        for key in ("escape", "enter", "q", "question_mark", "space"):
            await player.press("question_mark")
            assert player.room == "Page"
            await player.press(key)
            assert player.room == "Stand", key
            assert player.rows == before, key


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
        await player.type("slower")
        slower = next(action.help for action in STAND if action.name == "slower")
        await player.sees(slower)
        await player.press("enter")
        await player.until(lambda: player.room == "Stand")
        await player.until(lambda: "tempo 76 (goal 80)" in player.line("song"))


async def test_a_command_of_the_app_acts(stage: "OpenStage") -> None:
    async with stage("first-lamp") as player:
        await player.press("ctrl+p")
        await player.type("where the click")
        await player.sees("Setup: where the click sounds")
        await player.press("enter")
        await player.until(lambda: player.room == "Setup")


async def test_the_list_offers_the_actions_of_the_screen_alone(stage: "OpenStage") -> None:
    async with stage("first-lamp", (100, 100)) as player:
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


@pytest.mark.parametrize(
    ("keys", "words", "then"),
    [
        (("o",), "under", lambda player: player.rooms == ["Stand"]),
        (("t",), "climbs",
         lambda player: player.rooms == ["Stand"] and "loop bars 1-3" in player.line("where")),
        (("i", "down"), "take the next",
         lambda player: player.clock.opened[-2:] == [PIANO, PIANO] and "● Stage" in player.text),
    ],
    ids=["open", "drill", "choose"],
)  # fmt: skip
async def test_enter_of_a_list_is_in_the_list_of_commands_too(
    stage: "OpenStage", keys: tuple[str, ...], words: str, then: Callable[["Player"], bool]
) -> None:
    async with stage("first-lamp") as player:
        await player.press("space", "m", "c", "home", *keys[:1])
        await player.until(lambda: player.room != "Stand" and "looking" not in player.text)
        await player.until(lambda: "reading" not in player.text)
        room = player.app.screen
        assert isinstance(room, Room)
        (sentence,) = (action.help for action in room.ACTIONS if action.keys == ("enter",))
        await player.press(*keys[1:], "ctrl+p")
        await player.type(words)
        await player.sees(sentence)
        await player.press("enter")
        await player.until(lambda: then(player))


@pytest.mark.parametrize("key", ["q", "ctrl+c"])
async def test_quit(stage: "OpenStage", key: str) -> None:
    async with stage("first-lamp") as player:
        await player.press(key)
    assert player.app.return_code == 0


@pytest.mark.parametrize(
    "keys",
    [("question_mark",), ("g", "1"), ("ctrl+p", "m"), ("r",), ("i",), ("o", "question_mark")],
    ids="-".join,
)
async def test_control_c_quits_from_everywhere(stage: "OpenStage", keys: tuple[str, ...]) -> None:
    async with stage("first-lamp") as player:
        await player.press(*keys, "ctrl+c")
        await player.until(lambda: not player.app.is_running)
    assert player.app.return_code == 0


async def test_control_c_quits_from_the_page_of_a_broken_file(
    stage: "OpenStage", lead: Callable[..., Path]
) -> None:
    async with stage(None) as player:
        player.app.open_path(lead("title T\n"))
        await player.sees("can't be opened")
        await player.press("ctrl+c")
        await player.until(lambda: not player.app.is_running)


async def test_keys_without_a_meaning_do_nothing(stage: "OpenStage") -> None:
    async with stage("first-lamp") as player:
        await player.press("space")
        before = player.rows
        await player.press("z", "f5", "tab", "shift+tab", "9", "delete")
        assert player.room == "Stand"
        assert player.rows == before
