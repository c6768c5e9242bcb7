"""One table of actions feeds keys, footer, help, command list and the README."""

import re
from collections import Counter
from operator import attrgetter
from pathlib import Path

import pytest

from chartwalk.settings import BACKWARD, FORWARD, Settings
from chartwalk_tui.actions import (
    CLICK_SCREEN,
    GLANCE_SCREEN,
    HELP,
    LOG_SCREEN,
    PLAN_SCREEN,
    ROAD_SCREEN,
    SETUP_SCREEN,
    SHELF_SCREEN,
    STAND,
    SYMBOL_SCREEN,
    VOICE_SCREEN,
    WHILE_LOOPING,
    WHILE_RUNNING,
    Action,
    bindings,
    key_names,
)
from chartwalk_tui.app import ChartwalkApp
from chartwalk_tui.screens.click import Click
from chartwalk_tui.screens.glance import GlanceRoom
from chartwalk_tui.screens.log import Log
from chartwalk_tui.screens.plan import Plan
from chartwalk_tui.screens.room import Room, foot_keys
from chartwalk_tui.screens.setup import Setup
from chartwalk_tui.screens.shelf import Shelf
from chartwalk_tui.screens.stand import Stand

ROOMS: list[type[Room]] = [Stand, Shelf, Log, Setup, Click, Plan, GlanceRoom]
TABLES = [
    STAND, SHELF_SCREEN, LOG_SCREEN, SETUP_SCREEN, CLICK_SCREEN, PLAN_SCREEN, GLANCE_SCREEN,
    SYMBOL_SCREEN, VOICE_SCREEN, ROAD_SCREEN, WHILE_RUNNING, WHILE_LOOPING,
]  # fmt: skip
by_rank = attrgetter("rank")
README = Path(__file__).parents[2] / "README.md"

# What many terminals swallow or change: keys with ctrl beside c, chords with shift.
LOST = re.compile(r"ctrl\+(?!c$)|shift\+|alt\+")


@pytest.mark.parametrize("room", ROOMS)
def test_every_action_has_a_method(room: type[Room]) -> None:
    for action in room.ACTIONS:
        owner, _, name = action.name.rpartition(".")
        holder = ChartwalkApp if owner == "app" else room
        assert callable(getattr(holder, f"action_{name}", None)), action


@pytest.mark.parametrize("room", ROOMS)
def test_every_key_of_a_screen_is_bound_once(room: type[Room]) -> None:
    keys = Counter(key for action in room.ACTIONS for key in action.keys)
    assert max(keys.values()) == 1
    bound = {key for binding in room.BINDINGS for key in binding.key.split(",")}  # type: ignore[union-attr]
    of_the_list = set() if room in {Stand, GlanceRoom} else {"enter"}
    assert set(keys) - bound == of_the_list, "Enter is the list's own key"
    assert not bound - set(keys)


@pytest.mark.parametrize("actions", TABLES)
def test_names_labels_and_sentences_are_there(actions: tuple[Action, ...]) -> None:
    assert max(Counter(action.name for action in actions).values()) == 1
    for action in actions:
        assert action.keys
        assert action.label
        assert action.help
        assert not action.help.endswith(".")
        assert not any(LOST.match(key) for key in action.keys), "terminals lose such keys"


@pytest.mark.parametrize("actions", TABLES)
def test_bindings_carry_every_key(actions: tuple[Action, ...]) -> None:
    bound = [(b.key, b.action) for b in bindings(actions)]  # type: ignore[union-attr]
    assert bound == [(",".join(action.keys), action.name) for action in actions]


@pytest.mark.parametrize("room", ROOMS)
def test_ranks_order_the_footer_and_help_is_near_the_front(room: type[Room]) -> None:
    ranks = [action.rank for action in room.ACTIONS if action.rank]
    assert max(Counter(ranks).values()) <= 2
    assert HELP in room.ACTIONS
    before = [action for action in room.ACTIONS if 0 < action.rank < HELP.rank]
    assert len(before) <= 2, "so help is among the keys that always fit"
    assert len(foot_keys(room.ACTIONS)) == len(ranks)


@pytest.mark.parametrize("room", ROOMS)
def test_help_and_quit_are_the_same_everywhere(room: type[Room]) -> None:
    keys = {key: action.name for action in room.ACTIONS for key in action.keys}
    assert keys["question_mark"] == "app.help"
    assert keys["q"] == "app.quit"


def test_rooms_have_a_name_and_a_purpose() -> None:
    assert [room.NAME for room in ROOMS] == [
        "Stand", "Shelf", "Log", "Setup", "Click", "Plan", "Week and month",
    ]  # fmt: skip
    assert all(room.PURPOSE for room in ROOMS)


def test_the_keys_of_the_stand_are_those_that_were_promised() -> None:
    keys = {key: action.name for action in STAND for key in action.keys}
    assert keys["space"] == keys["right"] == "next_bar"
    assert keys["left"] == "previous_bar"
    assert (keys["pagedown"], keys["pageup"]) == ("pedal_forward", "pedal_back")
    assert (Settings().forward, Settings().back) == ("next_bar", "previous_bar")
    assert (keys["down"], keys["up"]) == ("next_change", "previous_change")
    assert (keys["home"], keys["end"], keys["g"]) == ("first", "last", "go_to_bar")
    assert (keys["r"], keys["l"], keys["f"]) == ("run", "loop", "listen")
    assert keys["left_square_bracket"] == "passage_start"
    assert keys["right_square_bracket"] == "passage_end"
    assert (keys["m"], keys["M"], keys["u"]) == ("mark", "mark_words", "unmark")
    assert (keys["s"], keys["a"], keys["b"]) == ("sound", "arpeggio", "tap")
    assert (keys["1"], keys["2"], keys["3"]) == ("chords_part", "bass_part", "tune_part")
    assert (keys["d"], keys["comma"], keys["full_stop"]) == ("depth", "key_down", "key_up")
    assert (keys["minus"], keys["equals_sign"]) == ("slower", "faster")
    assert (keys["t"], keys["o"], keys["p"]) == ("app.log", "app.shelf", "app.plan")
    assert (keys["i"], keys["k"]) == ("app.setup", "app.click")


def test_what_a_pedal_can_be_set_to_is_an_action_of_the_stand() -> None:
    names = {action.name for action in STAND}
    assert {*FORWARD.values(), *BACKWARD.values()} <= names


def test_while_running_the_footer_names_what_a_player_needs_then() -> None:
    shown = [(key.key, key.label) for key in sorted(foot_keys(WHILE_RUNNING), key=by_rank)]
    assert shown == [
        ("r", "stop"), ("-", "slower"), ("=", "faster"), ("m", "mark"), ("?", "help"),
        ("q", "quit"),
    ]  # fmt: skip
    looping = [(key.key, key.label) for key in sorted(foot_keys(WHILE_LOOPING), key=by_rank)]
    assert looping == [("l", "stop"), *shown[1:]]
    of_the_stand = {action.name: (action.keys, action.help) for action in STAND}
    for action in (*WHILE_RUNNING, *WHILE_LOOPING):
        assert of_the_stand[action.name] == (action.keys, action.help)


def test_key_names_are_what_a_player_calls_them() -> None:
    names = " ".join(key_names(action) for action in STAND)
    for raw in ("pagedown", "equals_sign", "question_mark", "minus", "left", "escape"):
        assert raw not in names
    assert "PgDn" in names
    assert "→" in names


def test_the_readme_has_the_keys_of_the_stand() -> None:
    _, found, rest = README.read_text(encoding="utf-8").partition("## Keys\n")
    assert found, "README.md has a section Keys"
    section = rest.partition("\n## ")[0]
    rows = [
        tuple(cell.strip() for cell in line.strip().strip("|").split(" | "))
        for line in section.splitlines()
        if line.startswith("|") and not re.fullmatch(r"[| :-]+", line.replace("---", ""))
    ]
    assert rows[0] == ("keys", "what")
    assert rows[1:] == [(key_names(action), action.help) for action in STAND]
