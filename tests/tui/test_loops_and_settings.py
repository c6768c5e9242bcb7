"""Loops and ladders, listening, tap tempo, the guide, pedals, and the two screens of settings."""

from collections.abc import Callable
from pathlib import Path
from types import SimpleNamespace
from typing import TYPE_CHECKING

import pytest
from tests.tui.practised import at, through, to_the_end

from chartwalk.clock.schedule import ScheduledBar
from chartwalk.log import Store
from chartwalk.midi import Ports
from chartwalk.mode import Mode
from chartwalk.settings import CLICK_SETTINGS, DRILL_SETTINGS, SETTINGS
from chartwalk_tui.actions import STAND
from chartwalk_tui.screens.choices import Choices

if TYPE_CHECKING:
    from tests.tui.conftest import OpenStage, Player

SIZES = [(100, 30), (80, 24), (60, 16)]
SONG = "first-lamp"  # 80 beats a minute; bars 1 to 8 twice, then 9 to 12
OPEN, CLOSE = "left_square_bracket", "right_square_bracket"
NOTE_ON, PROGRAM = 0x90, 0xC0
CHORDS, BASS, TUNE, CLICK = 1, 2, 3, 9  # channels from 0


def struck(bar: ScheduledBar, channel: int) -> list[int]:
    """The keys that a bar of the schedule strikes on a channel."""
    return [
        event.message[1]
        for event in bar.events
        if event.message[0] == NOTE_ON | channel and event.message[2]
    ]


def lit(player: "Player") -> bool:
    return "▐" in player.line("bar")


@pytest.mark.parametrize("size", SIZES)
async def test_a_passage_is_set_and_looped(stage: "OpenStage", size: tuple[int, int]) -> None:
    async with stage(SONG, size) as player:
        await player.press("space", OPEN)
        assert player.message.startswith("Passage: bar 2. l loops it")
        await player.press("space", "space", CLOSE)
        assert player.message.startswith("Passage: bars 2-4. l loops it")
        assert "[2-4]" in player.line("where")
        await player.press("home", "l")
        assert player.clock.running
        assert player.message == "Loop: bars 2-4. l stops."
        assert player.line("where").startswith("count-in · bar 2 ")
        player.stand.hush()
        await player.until(lambda: player.line("foot").startswith("l stop   - slower"))
        for round_ in range(3):
            await through(player, round_ * 4, round_ * 4 + 3)
            assert player.line("where").endswith(f"loop bars 2-4 · round {round_ + 1}")
            assert "bar 4 " in player.line("where")
            assert "tempo 80" in player.line("song")
        await player.press("l")
        assert not player.clock.running
        assert "loop" not in player.line("where")
        assert "[2-4]" in player.line("where"), "the passage is kept"
        await player.press("left", "left", OPEN)
        assert player.message == "No passage: l loops the section."
        assert "[" not in player.line("where")
        await player.press("end", "l")
        assert player.message == "Loop: bars 9-12. l stops. [ and ] choose other bars."
        await at(player, 1)
        await player.press("r")
        assert not player.clock.running, "r stops it as well"


async def test_a_passage_over_a_jump_and_one_set_from_its_end(stage: "OpenStage") -> None:
    async with stage(SONG) as player:
        await player.press(*["space"] * 8, CLOSE, "left", OPEN)
        assert player.message.startswith("Passage: bars 8-1.")
        await player.press("l")
        await through(player, 0, 2)
        assert "2nd time · bar 1 · step 9 of 20" in player.line("where"), "the jump is played"


async def test_a_ladder_climbs_and_the_player_sees_it(stage: "OpenStage") -> None:
    async with stage(SONG) as player:
        await player.press("minus", "minus", "minus", "k")
        await player.until(lambda: player.room == "Click")
        await turn(player, "ladder.step", "right")
        assert "1 metronome mark" in player.text
        await player.press("escape", "space", OPEN, "l")
        await at(player, 1)
        assert "tempo 69 (goal 80)" in player.line("song")
        await through(player, 2, 3)
        assert "tempo 72 (goal 80)" in player.line("song")
        await player.press("m", "h")
        await through(player, 4, 5)
        assert "tempo 72 (goal 80)" in player.line("song"), "a round with a mark is not clean"
        assert player.line("where").endswith("round 3")
        for round_ in range(3, 7):
            await through(player, 2 * round_, 2 * round_ + 1)
        assert "goal" not in player.line("song"), "up to the goal"
        await player.press("minus")
        assert "tempo 76 (goal 80)" in player.line("song")


async def turn(player: "Player", name: str, *keys: str) -> None:
    """Go to the line of a setting and press keys there."""
    choices = player.app.screen.query_one(Choices)
    choices.highlighted = choices.get_option_index(name)
    await player.press(*keys)


async def test_a_passage_is_heard_before_it_is_played(stage: "OpenStage") -> None:
    async with stage(SONG) as player:
        await player.press("space", OPEN, "space", CLOSE, "end", "f")
        assert all(struck(player.clock.bars[1], each) for each in (CHORDS, BASS, TUNE))
        await at(player, 0)
        assert player.line("where").startswith("count-in · bar 2")
        await at(player, 1)
        assert player.line("where").startswith("listening · bar 2")
        await at(player, 2)
        await to_the_end(player)
        await player.sees("your turn · bar 2")
        told = "That is how it goes. Your turn: r runs from here"
        await player.until(lambda: player.message.startswith(told))
        assert player.line("foot").startswith("space next bar")
        await player.press("r")
        assert player.line("where").startswith("count-in · bar 2")
        assert not struck(player.clock.bars[1], CHORDS), "the player plays now"
        await player.press("r")
        for turn_, mode in ((0, Mode.COUNT_IN), (1, Mode.LISTENING)):
            await player.press("f")
            await at(player, turn_)
            assert player.stand.session.mode is mode
            await player.press("f")
            assert player.stand.session.mode is Mode.STOPPED
            assert not player.clock.running


async def test_after_listening_to_the_last_bar_r_runs_from_there(stage: "OpenStage") -> None:
    async with stage(SONG) as player:
        await player.press("end", OPEN, "f")
        await through(player, 0, 1)
        await to_the_end(player)
        await player.press("r")
        assert player.line("where").startswith("count-in · bar 12 · step 20 of 20")


async def test_taps_set_the_tempo(stage: "OpenStage", monkeypatch: pytest.MonkeyPatch) -> None:
    now = 100.0
    fake = SimpleNamespace(monotonic=lambda: now)
    monkeypatch.setattr("chartwalk_tui.screens.stand.playing.time", fake)
    async with stage(SONG) as player:
        await player.press("b")
        assert player.message == "Tap b in time: the tempo follows."
        assert "tempo 80 ·" in player.line("song")
        for _ in range(3):
            now += 0.6
            await player.press("b")
        assert "tempo 100 (goal 80)" in player.line("song")
        await player.press("r")
        assert player.clock.rates[-1] == pytest.approx(100 / 80)
        now += 10
        await player.press("b")
        now += 0.75
        await player.press("b")
        assert "tempo 80 ·" in player.line("song"), "after a pause a new row begins"
        assert player.clock.rates[-1] == pytest.approx(1), "while it runs too"


async def test_the_guide_plays_what_the_player_asks_for(stage: "OpenStage") -> None:
    async with stage(SONG) as player:
        await player.press("1", "2", "3")
        assert player.message == "The guide plays chords and bass and tune in a run."
        await player.press("r")
        assert all(struck(player.clock.bars[1], each) for each in (CHORDS, BASS, TUNE))
        assert not struck(player.clock.bars[0], CHORDS), "the count-in is the click's alone"
        await at(player, 2)
        await player.press("1", "3")
        assert player.message == "The guide plays bass in a run."
        parts = [bool(struck(player.clock.bars[3], each)) for each in (CHORDS, BASS, TUNE)]
        assert parts == [False, True, False], "from the next bar line on"
        assert struck(player.clock.bars[2], CHORDS), "what plays is left alone"
        await player.press("2")
        assert player.message == "The guide is silent."
        assert player.clock.running


async def test_a_silent_bar_shows_no_beat(stage: "OpenStage") -> None:
    async with stage(SONG) as player:
        player.app.change(player.app.settings.having("click.gap", "1 on, 3 silent"))
        await player.press("r")
        for turn_, shown in ((0, True), (1, True), (2, False), (4, False), (5, True)):
            await at(player, turn_)
            await player.until(lambda: lit(player) is shown)  # noqa: B023
            assert bool(struck(player.clock.bars[turn_], CLICK)) is shown
        assert "bar 5 · step 5" in player.line("where"), "where we are is told all the same"


async def test_pedals_do_what_setup_says(stage: "OpenStage") -> None:
    async with stage(SONG) as player:
        await player.press("pagedown")
        assert "bar 2 " in player.line("where")
        await player.press("pageup", "i")
        await player.until(lambda: player.room == "Setup")
        await turn(player, "pedal.forward", "right", "right", "right")
        assert "Right pedal" in player.text
        await turn(player, "pedal.back", "enter", "enter")
        await player.press("escape", "space", "pagedown")
        assert "Marked bar 2" in player.message
        await player.press("h", "pageup")
        assert player.clock.running, "the left one runs"
        await player.press("pageup", "q")
        assert not player.clock.running
    async with stage(SONG) as player:
        await player.press("pagedown")
        assert "bar 2 ×2" in player.line("where"), "and next time"


@pytest.mark.parametrize("size", SIZES)
async def test_the_click_screen_while_it_runs(
    stage: "OpenStage", home: Path, size: tuple[int, int]
) -> None:
    async with stage(SONG, size) as player:
        await player.press("k")
        await player.until(lambda: player.room == "Click")
        names = [option.id for option in player.app.screen.query_one(Choices).options]
        assert [name for name in names if name] == [
            setting.name for setting in (*CLICK_SETTINGS, *DRILL_SETTINGS)
        ]
        first = next(row.strip() for row in player.part("list") if row.strip())
        assert first.startswith("› Beats")
        assert ("which beats are struck" in first) is (size[0] >= 80)
        assert "‹" not in first, "nothing comes before the first value"
        await player.press("r")
        assert player.clock.running
        player.clock.stand_at(1, 1)
        plain = len(struck(player.clock.bars[3], CLICK))
        await turn(player, "click.between", "right")
        between = player.app.settings["click.between"]
        assert between == SETTINGS["click.between"].values[1]
        assert f"‹ {between} ›" in " ".join(player.text.split())
        assert len(struck(player.clock.bars[3], CLICK)) > plain, "from the next bar line on"
        await player.press("left", "left")
        assert len(struck(player.clock.bars[3], CLICK)) == plain
        assert player.app.settings["click.between"] == SETTINGS["click.between"].default
        values = SETTINGS["click.between"].values
        await player.press(*["enter"] * (len(values) + 1))
        assert player.app.settings["click.between"] == values[1], "Enter goes round"
        await player.press("k")
        assert player.room == "Stand"
        assert player.clock.running
        await at(player, 2)
        await player.press("k", "r")
        assert not player.clock.running
        await player.press("escape")
        await player.until(lambda: not lit(player))
        assert "bar 2 · step 2" in player.line("where")
    store = Store.open(home)
    assert store.setting("click.between") == values[1]
    store.close()


async def test_setup_while_it_runs(stage: "OpenStage") -> None:
    async with stage(SONG) as player:
        await player.press("2", "r", "i")
        await player.until(lambda: player.room == "Setup")
        await at(player, 1)
        await turn(player, "guide.bass.channel", "right")
        assert struck(player.clock.bars[4], 3)
        assert not struck(player.clock.bars[4], BASS)
        await turn(player, "guide.bass.program", "right")
        programs = [
            event.message for bar in player.clock.bars for event in bar.events
            if event.message[0] & 0xF0 == PROGRAM
        ]  # fmt: skip
        assert bytes([PROGRAM | 3, 0]) in programs, "grand piano, the first of General MIDI"
        await turn(player, "click.audible", "enter")
        assert not struck(player.clock.bars[4], CLICK)
        await turn(player, "offset", *["right"] * 3)
        assert player.app.metronome.offset == pytest.approx(0.015)
        assert player.clock.running


async def test_notes_to_try_the_sound(stage: "OpenStage", no_midi: Ports) -> None:
    async with stage(SONG) as player:
        await player.press("s")
        chord = player.clock.struck[-1]
        assert len(chord) >= 3
        assert player.clock.gaps[-1] == 0
        await player.press("a")
        assert player.clock.struck[-1] == chord, "the same notes, one after the other"
        assert player.clock.gaps[-1] > 0
        await player.press("i", "s")
        assert player.clock.struck[-1] == (60,)
        assert player.message == f"Middle C goes to {player.ports[0]}."
    async with stage(SONG, ports=no_midi) as player:
        await player.press("i", "s")
        assert player.message.startswith("No sound. No MIDI output")


async def test_r_of_the_settings_needs_a_song(stage: "OpenStage") -> None:
    async with stage(None) as player:
        await player.press("i", "r")
        assert player.message == "Open a song first: o shows the songs."
        assert not player.clock.running


async def test_a_run_begun_over_the_shelf_ends_with_its_song(stage: "OpenStage") -> None:
    async with stage(SONG) as player:
        await player.press("o", "i", "r")
        assert player.clock.running
        await player.press("escape", "down", "enter")
        await player.until(lambda: player.rooms == ["Stand"])
        assert not player.clock.running
        await player.press("r")
        assert player.clock.running
        await at(player, 1)


async def test_the_first_walk_over_the_stand(stage: "OpenStage") -> None:
    async with stage(SONG, (80, 24)) as player:
        player.stand.start_walk()
        await player.sees("1/6")
        keys = [("space", "2/6"), ("down", "3/6"), ("r", "4/6"), ("r", "5/6"), ("m", "6/6")]
        for key, shown in keys:
            await player.press("n", key)
            await player.sees(shown)
        await player.press("h", "space")
        assert not player.app.screen.query("#walk")
        player.stand.start_walk()
        await player.sees("1/6")
        await player.press("escape")
        assert not player.app.screen.query("#walk")
        assert player.room == "Stand"


async def test_every_action_of_the_stand_can_be_done_on_a_chart_without_chords(
    stage: "OpenStage", lead: Callable[..., Path]
) -> None:
    async with stage(lead("title Silent\nmeter 3/4\n\nchords | N.C. | |\n")) as player:
        for action in STAND:
            if action.name not in {"app.quit", "edit"}:
                await player.press(action.keys[0])
                while player.room != "Stand":
                    await player.press("escape")
        assert "step " in player.line("where")
