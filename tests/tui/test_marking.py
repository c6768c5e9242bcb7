"""Trouble is marked without stopping: at once, on the bar that is meant, with a word if one likes.

What is played is written by itself. That people press late is common practice, no source.
"""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from tests.tui.practised import at, through, to_the_end

from chartwalk.files import open_song
from chartwalk.log import Store
from chartwalk.mode import Mode
from chartwalk_tui.screens.stand import marking

if TYPE_CHECKING:
    from tests.tui.conftest import OpenStage, Sql

SIZES = [(100, 30), (80, 24), (60, 16)]
SONG = "lanterns-at-low-tide"
TITLE = "Lanterns at Low Tide"
EASY = "first-lamp"  # 12 bars, 20 steps, no pickup
MARKS = "FROM mark JOIN anchor ON anchor.id = mark.anchor ORDER BY mark.number"
PASSES = (
    "SELECT a.number, z.number, pass.kind, clean, whole FROM pass "
    "JOIN anchor a ON a.id = first JOIN anchor z ON z.id = last ORDER BY pass.number"
)


async def test_m_writes_the_mark_at_once(stage: "OpenStage", sql: "Sql") -> None:
    async with stage(SONG, (60, 16)) as player:
        await player.press("space", "down", "minus", "m")
        ((path, title, bar, number, pass_, chord, came, tempo, goal, time),) = sql(
            "SELECT path, title, bar, anchor.number, pass, chord, came_from, tempo, goal, time "
            "FROM mark JOIN song ON song.id = mark.song JOIN anchor ON anchor.id = mark.anchor"
        )
        assert Path(path).name == f"{SONG}.lead"
        assert (title, bar, number, pass_) == (TITLE, 1, "1", 1)
        assert (chord, came, tempo, goal) == ("D/F#", "G", 80.0, 84.0)
        assert abs(datetime.now(UTC) - datetime.fromisoformat(time)) < timedelta(minutes=5)
        assert player.room == "Stand", "no dialog"
        assert "Marked bar 1, D/F♯" in player.text


@pytest.mark.parametrize("size", SIZES)
async def test_the_mark_is_seen_where_we_are_and_on_the_road(
    stage: "OpenStage", size: tuple[int, int]
) -> None:
    async with stage(SONG, size) as player:
        await player.press("space", "m")
        assert "×" in player.part("road")[0], "at once, though a message stands"
        await player.press("space", "m", "m", "left")
        assert "bar 1 ×1" in player.line("where")
        assert "2 ××" in player.part("road")[0]
        await player.press("home")
        assert "×" not in player.line("where")
        assert "1 ×" in player.part("road")[0], "the road shows the bars ahead"
        await player.press("space", "space")
        assert "bar 2 ×2" in player.line("where")


async def test_a_letter_soon_after_says_what_kind_and_u_takes_it_back(
    stage: "OpenStage", sql: "Sql"
) -> None:
    async with stage(SONG) as player:
        await player.press("space")
        for letter, kind in (
            ("c", "chord"), ("j", "jump"), ("t", "tune"), ("r", "rhythm"), ("w", "words"),
            ("h", "hands"),
        ):  # fmt: skip
            await player.press("m", letter)
            assert player.room == "Stand"
            assert player.stand.session.mode is Mode.STOPPED
            assert f"Bar 1: {kind}." in player.message
        said = [kind for (kind,) in sql("SELECT kind FROM mark ORDER BY number")]
        assert said == ["chord", "jump", "tune", "rhythm", "words", "hands"]
        assert "bar 1 ×6" in player.line("where")
        for left in range(5, -1, -1):
            await player.press("u")
            assert "Took back the mark on bar 1." in player.message
            assert sql("SELECT count(*) FROM mark") == [(left,)]
            assert ("×" in player.line("where")) is bool(left)
        await player.press("u")
        assert player.message == "No mark was made here since the song was opened."


async def test_later_the_letters_mean_what_they_always_mean(
    stage: "OpenStage", sql: "Sql", monkeypatch: pytest.MonkeyPatch
) -> None:
    assert marking.SECONDS == 3
    monkeypatch.setattr(marking, "SECONDS", 0.01)
    async with stage(SONG) as player:
        await player.press("space", "m")
        await player.until(lambda: player.stand.naming is None)
        await player.press("c")
        await player.until(lambda: player.room == "Symbol")
        await player.press("escape", "r")
        assert player.stand.session.mode is Mode.COUNT_IN
        monkeypatch.setattr(marking, "SECONDS", 3.0)
        await player.press("r", "m", "c", "c")
        await player.until(lambda: player.room == "Symbol")  # one letter a mark
    assert sql("SELECT kind FROM mark ORDER BY number") == [("",), ("chord",)]


async def test_words_about_a_mark_are_kept(stage: "OpenStage", sql: "Sql") -> None:
    async with stage(SONG) as player:
        await player.press("space", "M")
        assert "trouble in bar 1:" in player.text
        assert sql("SELECT count(*), max(words) FROM mark") == [(1, "")], "marked before the words"
        await player.type("thumb under [a]")
        await player.press("enter")
        assert sql("SELECT words FROM mark") == [("thumb under [a]",)]
        assert player.message == "Bar 1: thumb under [a]"
        await player.press("space", "M", "x", "escape")
        assert player.room == "Stand"
        assert sql("SELECT words FROM mark ORDER BY number") == [("thumb under [a]",), ("",)]
        assert "bar 2 ×1" in player.line("where"), "left without words, the mark is kept"
        await player.press("M", "enter", "u")
        assert sql("SELECT count(*) FROM mark") == [(2,)]


async def test_marks_while_it_runs_are_about_the_bar_that_is_meant(
    stage: "OpenStage", sql: "Sql"
) -> None:
    def numbers() -> list[str]:
        return [number for (number,) in sql(f"SELECT anchor.number {MARKS}")]

    async with stage(EASY) as player:
        await player.press("r")
        await at(player, 1, 0.5)
        await player.press("m")
        assert numbers() == ["1"], "there is no bar before the first"
        await at(player, 4, 0.9)
        await player.press("m")
        assert numbers() == ["1", "3"], "within the first beat it is about the bar before"
        assert "bar 4 · step 4" in player.line("where"), "the run goes on where it is"
        await at(player, 4, 1)
        await player.press("m", "r")
        assert numbers() == ["1", "3", "4"]
        assert player.clock.running, "r said what kind it was"
        await player.press("M")
        player.clock.stand_at(6, 2)
        await player.press("x", "enter")
        assert numbers() == ["1", "3", "4", "4"], "marked when M was pressed"
        assert player.clock.running, "writing a word stops nothing"
        await player.press("space", "right_square_bracket", "left", "left_square_bracket", "l")
        first, last = player.stand.session.looped or (0, 0)
        marked = len(numbers())
        await at(player, 0, 1.0)
        await player.press("m", "h")
        assert numbers()[marked:] == [str(first + 1)], "nothing was played yet"
        await through(player, 1, 3)
        await player.press("m", "h")
        assert numbers()[marked + 1 :] == [str(last + 1)], "counting in again: the bar just over"


async def test_a_mark_on_the_second_pass_or_without_a_chord(stage: "OpenStage", sql: "Sql") -> None:
    async with stage(SONG) as player:
        await player.press("m")
        assert "Marked the pickup." in player.text
        await player.press("g", "9", "enter", "m", *["left"] * 3, "m")
        rows = sql(f"SELECT anchor.number, pass, chord {MARKS}")
        assert rows == [("0", 1, ""), ("9", 2, "Am7"), ("4", 2, "Am7")]


async def test_marks_are_still_there_next_time(stage: "OpenStage") -> None:
    async with stage(SONG) as player:
        await player.press("space", "m", "q")
    async with stage(SONG) as player:
        assert "bar 1 ×1" in player.line("where")
        await player.press("m")
        assert "bar 1 ×2" in player.line("where")
        await player.press("home")
        assert "1 ××" in player.part("road")[0]


async def test_what_is_played_is_written_by_itself(stage: "OpenStage", sql: "Sql") -> None:
    async with stage(EASY) as player:
        await player.press("r")
        await at(player, 0)
        await player.press("r")
        assert sql(PASSES) == [], "a count-in is no practice"
        await player.press("r")
        await through(player, 1, 3)
        await player.press("r")
        assert sql(PASSES) == [("1", "2", "run", 1, 0)], "the bar broken off tells nothing"
        await player.press("end", "left", "minus", "r")
        await through(player, 1, 2)
        await player.press("m", "h")
        await to_the_end(player)
        assert sql(PASSES)[1:] == [("11", "12", "run", 0, 1)]
        assert sql("SELECT tempo, goal, steps, depth FROM pass")[1] == (76, 80, 2, "written")
        await player.press("home", "left_square_bracket", "space", "right_square_bracket", "l")
        await through(player, 0, 3)
        assert len(sql(PASSES)) == 2, "a mark in the count-in would still be about this round"
        await through(player, 4, 5)
        await player.press("m", "h")
        await through(player, 6, 8)
        assert sql(PASSES)[2:] == [("1", "2", "loop", 1, 1), ("1", "2", "loop", 0, 1)]
        await player.press("l")
        assert sql(PASSES)[4:] == [("1", "1", "loop", 1, 0)], "of a round that was begun, its bars"
        assert len(sql("SELECT id FROM run")) == 3
        await player.press("f")
        await through(player, 1, 2)
        await to_the_end(player)
        assert len(sql(PASSES)) == 5, "listening is no practice"
        await player.press("r")
        await through(player, 1, 2)
        await player.press("q")
    assert sql(PASSES)[5:] == [("1", "1", "run", 1, 0)], "leaving loses nothing"


async def test_a_log_that_refuses_is_told_and_practice_goes_on(
    stage: "OpenStage", home: Path, sql: "Sql"
) -> None:
    store = Store.open(home)
    store.database.connection.execute("PRAGMA query_only = ON")  # as on a read-only disk
    async with stage(EASY, store=store) as player:
        await player.sees("the song could not be remembered")
        await player.press("space", "m")
        assert "the mark could not be written" in player.message
        assert player.message.endswith("Practice goes on.")
        assert "×" not in player.line("where"), "no mark is shown that was not kept"
        await player.press("M")
        assert player.room == "Stand", "no words are asked for a mark that was not kept"
        await player.press("space", "r")
        await through(player, 0, 2)
        await player.press("minus", "r")
        await player.press("1")
        assert "the setting could not be written" in player.message
        assert "It holds until you quit." in player.message
        await player.press("r")
        await at(player, 1)
        assert any(event.message[0] == 0x91 for event in player.clock.bars[1].events)
        for key, room in (("t", "Log"), ("k", "Click"), ("i", "Setup")):
            await player.press(key)
            assert player.room == room
            await player.press("escape")
        await player.press("p", "5", "enter")
        await player.until(lambda: player.room == "Plan")
    assert sql("SELECT count(*) FROM mark") == [(0,)]


async def test_a_pass_that_the_log_refuses_is_told_in_a_line(
    stage: "OpenStage", home: Path, sql: "Sql"
) -> None:
    store = Store.open(home)
    async with stage(EASY, store=store) as player:
        await player.press("r")
        await through(player, 1, 3)
        store.database.connection.execute("PRAGMA query_only = ON")
        await player.press("r")
        assert "could not be written" in player.message
        assert player.message.endswith("Practice goes on.")
        store.database.connection.execute("PRAGMA query_only = OFF")
        await player.press("r")
        await through(player, 1, 2)
        await player.press("r")
    assert sql(PASSES) == [("3", "3", "run", 1, 0)], "once the disk takes it again, all is well"


async def test_a_notice_of_the_start_is_shown(stage: "OpenStage") -> None:
    for song in (SONG, None):
        notice = "the log can't be opened. Practice goes on; marks last until you quit."
        async with stage(song, notice=notice, store=Store.in_memory()) as player:
            await player.sees("Practice goes on; marks last until you quit.")


async def test_a_song_is_as_it_was_left(
    stage: "OpenStage", lead: Callable[..., Path], home: Path
) -> None:
    chart = lead("title T\nmeter 4/4\ntempo 80\n\nchords | C | F | Gsus4 | C |\n")
    async with stage(chart) as player:
        await player.press("space", "space", "minus", "full_stop", "d", "q")
    async with stage(chart) as player:
        assert "bar 3 · step 3 of 4" in player.line("where")
        song = player.line("song")
        assert "1 up" in song
        assert "tempo 76 (goal 80)" in song
        assert "lean" in song
        await player.press("home", "o", "escape", "space", "r", "q")
    store = Store.open(home)
    id_ = store.song(open_song(chart)).id
    for name, value in (("shift", "99"), ("depth", "shallow"), ("scale", "1/0"), ("step", "700")):
        store.set_for_song(id_, name, value)
    store.close()
    async with stage(chart) as player:
        assert "bar 4 · step 4 of 4" in player.line("where"), "a chart that became shorter"
        assert "C major" in player.line("song")
        assert "tempo 80 ·" in player.line("song")
