"""Trouble marks: written at once, shown on the Stand, listed in the Log, kept for next time."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from tests.log.planted import plant

from chartwalk.log import Store
from chartwalk_tui.screens.log import describe

if TYPE_CHECKING:
    from tests.tui.conftest import OpenStage, Sql

SIZES = [(100, 30), (80, 24), (60, 16)]
SONG = "lanterns-at-low-tide"
TITLE = "Lanterns at Low Tide"
MARKS = "FROM mark JOIN anchor ON anchor.id = mark.anchor ORDER BY mark.number"
SECOND = ("g", "4", "enter") * 2  # to bar 4 the second time it is played


async def test_m_writes_the_mark_at_once(stage: "OpenStage", sql: "Sql") -> None:
    async with stage(SONG, (60, 16)) as player:
        await player.press("space", "down", "minus", "m")
        ((path, title, bar, number, pass_, chord, tempo, time),) = sql(
            "SELECT path, title, bar, anchor.number, pass, chord, tempo, time FROM mark "
            "JOIN song ON song.id = mark.song JOIN anchor ON anchor.id = mark.anchor"
        )
        assert Path(path).name == f"{SONG}.lead"
        assert (title, bar, number, pass_, chord, tempo) == (TITLE, 1, "1", 1, "D/F#", 80.0)
        assert abs(datetime.now(UTC) - datetime.fromisoformat(time)) < timedelta(minutes=5)
        assert player.room == "Stand", "no dialog"
        assert "Marked bar 1, D/F♯" in player.text


@pytest.mark.parametrize("size", SIZES)
async def test_the_mark_is_seen_where_we_are_and_on_the_road(
    stage: "OpenStage", size: tuple[int, int]
) -> None:
    async with stage(SONG, size) as player:
        await player.press("space", "space", "m", "m", "left")
        assert "×" not in player.line("where")
        assert "2 ××" in player.part("road")[0] or player.app.screen.query_one("#message").display
        await player.press("space")
        assert "bar 2 ×2" in player.line("where")


async def test_the_road_shows_the_marks_of_bars_ahead(stage: "OpenStage") -> None:
    async with stage(SONG) as player:
        await player.press("space", "space", "space", "m", "home")
        assert "3 ×" in player.part("road")[0]


async def test_the_road_shows_a_mark_at_once_though_a_message_stands(stage: "OpenStage") -> None:
    for size in SIZES:
        async with stage(SONG, size) as player:
            await player.press("space", "m")
            assert "×" in player.part("road")[0], size


async def test_a_mark_on_the_second_pass_says_so(stage: "OpenStage", sql: "Sql") -> None:
    async with stage(SONG) as player:
        await player.press("g", "9", "enter", "m", *["left"] * 3, "m")
        assert sql(f"SELECT anchor.number, pass {MARKS}") == [("9", 2), ("4", 2)]
        await player.press("t")
        assert "2nd time" in player.text


async def test_the_log_goes_to_the_pass_a_bar_was_marked_on(stage: "OpenStage") -> None:
    async with stage(SONG) as player:
        await player.press(*SECOND, "m", "end", "t", "enter")
        assert player.room == "Stand"
        assert "2nd time · bar 4 ×1 · step 13 of 30" in player.line("where")
        await player.press("home", *SECOND[:3], "m", "end", "t", "enter")
        assert "Verse · bar 4 ×2 · step 5 of 30" in player.line("where"), "the first time"
        await player.press("t", "down", "enter")
        assert "2nd time · bar 4 ×2 · step 13 of 30" in player.line("where")


async def test_the_log_opens_another_song_on_the_pass_of_the_mark(stage: "OpenStage") -> None:
    async with stage(SONG) as player:
        await player.press(*SECOND, "m", "q")
    for first, keys in (("first-lamp", ("t",)), (None, ("t",)), ("first-lamp", ("o", "t"))):
        async with stage(first) as player:
            await player.press(*keys, "enter")
            await player.until(lambda: player.rooms == ["Stand"])
            assert player.line("song").startswith(TITLE)
            assert "2nd time · bar 4 ×1 · step 13 of 30" in player.line("where")


async def test_the_log_over_the_shelf_goes_back_to_the_song_that_is_open(
    stage: "OpenStage",
) -> None:
    async with stage(SONG) as player:
        await player.press("minus", *SECOND, "m", "home")
        stand = player.stand
        await player.press("o", "t")
        assert player.rooms == ["Stand", "Shelf", "Log"]
        await player.press("enter")
        await player.until(lambda: player.rooms == ["Stand"])
        assert player.stand is stand
        assert "2nd time · bar 4 ×1 · step 13 of 30" in player.line("where")
        assert "tempo 80 (goal 84)" in player.line("song")


async def test_a_mark_on_a_pass_that_is_no_longer_played_goes_to_the_first(
    stage: "OpenStage", lead: Callable[..., Path]
) -> None:
    chart = lead("title T\nmeter 4/4\n\nchords |: C | F :|\n")
    async with stage(chart) as player:
        await player.press("end", "m", "q")
    lead("title T\nmeter 4/4\n\nchords | C | F |\n")
    async with stage(chart) as player:
        await player.press("t", "enter")
        assert "bar 2 ×1 · step 2 of 2" in player.line("where")


async def test_a_mark_on_a_bar_without_a_chord(stage: "OpenStage", sql: "Sql") -> None:
    async with stage(SONG) as player:
        await player.press("m")
        assert sql(f"SELECT anchor.number, chord {MARKS}") == [("0", "")]
        assert "Marked bar 0." in player.text
        await player.press("t")
        assert "› bar 0 " in player.text


async def test_marks_are_still_there_next_time(stage: "OpenStage") -> None:
    async with stage(SONG) as player:
        await player.press("space", "m", "q")
    async with stage(SONG) as player:
        assert "1 ×" in player.part("road")[0]
        await player.press("space")
        assert "bar 1 ×1" in player.line("where")
        await player.press("m")
        assert "bar 1 ×2" in player.line("where")


async def test_the_log_lists_the_latest_first_and_enter_goes_there(stage: "OpenStage") -> None:
    async with stage(SONG) as player:
        await player.press("space", "m", "g", "1", "2", "enter", "m", "home", "t")
        assert player.room == "Log"
        marks = [row.strip() for row in player.part("list") if row.strip()]
        assert marks[0] == TITLE
        assert marks[1].startswith("› bar 12 ")
        assert marks[2].startswith("bar 1 ")
        assert all("tempo 84, today " in mark for mark in marks[1:])
        await player.press("enter")
        assert player.room == "Stand"
        assert "bar 12 ×1" in player.line("where")
        await player.press("t", "down", "enter")
        assert "bar 1 ×1" in player.line("where")


async def test_escape_leaves_the_log_where_we_were(stage: "OpenStage") -> None:
    async with stage(SONG) as player:
        await player.press("space", "m", "space", "t", "escape")
        assert player.room == "Stand"
        assert "bar 2 " in player.line("where")


async def test_the_log_goes_to_a_bar_of_another_song(
    stage: "OpenStage", demo: Callable[[str], Path], home: Path
) -> None:
    async with stage(SONG) as player:
        await player.press(*["space"] * 3, "m", "q")
    async with stage("first-lamp") as player:
        await player.press("t", "enter")
        await player.until(lambda: player.room == "Stand")
        assert player.line("song").startswith(TITLE)
        assert "bar 3 ×1" in player.line("where")


async def test_the_log_can_be_opened_from_the_shelf(stage: "OpenStage") -> None:
    async with stage(SONG) as player:
        await player.press("space", "m", "q")
    async with stage(None) as player:
        assert player.room == "Shelf"
        await player.press("t", "escape")
        assert player.room == "Shelf"
        await player.press("t", "enter")
        await player.until(lambda: player.room == "Stand")
        assert "bar 1 ×1" in player.line("where")


async def test_a_marked_song_whose_file_is_gone_is_told(
    stage: "OpenStage", lead: Callable[..., Path]
) -> None:
    chart = lead("title Gone\nmeter 4/4\n\nchords | C | F |\n")
    async with stage(chart) as player:
        await player.press("m", "q")
    chart.unlink()
    async with stage(SONG) as player:
        await player.press("t", "enter")
        await player.sees("can't be opened")
        await player.press("escape")
        assert player.room in {"Stand", "Log"}
        await player.press("escape")
        assert player.room == "Stand"
        assert player.line("song").startswith(TITLE), "the song that was open still is"


async def test_a_mark_on_a_bar_that_the_file_no_longer_has(
    stage: "OpenStage", lead: Callable[..., Path]
) -> None:
    chart = lead("title Short\nmeter 4/4\n\nchords | C | F | G | C |\n")
    async with stage(chart) as player:
        await player.press("end", "m", "q")
    lead("title Short\nmeter 4/4\n\nchords | C | F |\n")
    async with stage(chart) as player:
        await player.press("t", "enter")
        assert player.room == "Stand"
        assert "bar 1 " in player.line("where")


async def test_an_empty_log_says_what_to_do(stage: "OpenStage") -> None:
    async with stage(SONG) as player:
        await player.press("t")
        assert "No marks yet." in player.text
        assert "m marks the bar" in player.text
        await player.press("enter")
        assert player.room == "Log"


STEERING = "Steer\x1b[2Jing \x9b31m"


@pytest.mark.parametrize("key", ["t", "o"])
async def test_titles_of_the_log_can_not_steer_the_terminal(
    stage: "OpenStage", home: Path, key: str
) -> None:
    store = Store.open(home)
    plant(store, "/music/one.lead", STEERING, 0, "1", time=datetime.now(UTC))
    store.close()
    async with stage(SONG) as player:
        await player.press(key)
        await player.sees("Steer")
        assert "Steer·[2Jing ·31m" in player.text
        strips = player.app.screen._compositor.render_strips()
        assert "".join(strip.text for strip in strips).isprintable()


async def test_a_file_name_can_not_steer_the_terminal(stage: "OpenStage", tmp_path: Path) -> None:
    async with stage(SONG) as player:
        player.app.open_path(tmp_path / f"{STEERING}.lead")
        await player.sees("can't be opened")
        assert "Steer·[2Jing ·31m.lead" in player.text
        strips = player.app.screen._compositor.render_strips()
        assert "".join(strip.text for strip in strips).isprintable()


async def test_the_log_shows_a_file_written_before(stage: "OpenStage", home: Path) -> None:
    store = Store.open(home)
    for number in range(60):
        time = datetime(2024, 2, 29, 12, 0, tzinfo=UTC) + timedelta(days=number)
        plant(store, "/music/one.lead", "One [b]", number, str(number), chord="C7[b9]", time=time)
    store.close()
    async with stage(SONG, (60, 16)) as player:
        await player.press("t")
        assert "One [b]" in player.text
        assert "bar 59  C7[♭9]" in player.text
        await player.press("end")
        assert "bar 0  C7[♭9]" in player.text
        assert "29 Feb 2024" in player.text


@pytest.mark.parametrize("zone", ["UTC", "Asia/Kolkata", "America/Los_Angeles"])
def test_times_are_the_players_own(zone: str, monkeypatch: pytest.MonkeyPatch) -> None:
    import time
    from zoneinfo import ZoneInfo

    if not hasattr(time, "tzset"):
        pytest.skip("this system sets its time zone otherwise")
    monkeypatch.setenv("TZ", zone)
    time.tzset()
    try:
        moment = datetime(2025, 3, 2, 23, 30, tzinfo=UTC)
        store = Store.in_memory()
        mark = plant(store, "/x", "X", 4, "5", pass_=2, chord="Eb7", tempo=92.4, time=moment)
        local = moment.astimezone(ZoneInfo(zone))
        where, when = describe(mark, moment + timedelta(minutes=5))
        assert where == "bar 5, 2nd time  E♭7"
        assert when == f"tempo 92, today {local:%H:%M}"
        assert "yesterday" in describe(mark, moment + timedelta(days=1))[1]
        assert f"{local.day} Mar 2025" in describe(mark, moment + timedelta(days=9))[1]
    finally:
        monkeypatch.undo()
        time.tzset()


async def test_a_log_that_refuses_is_told_and_practice_goes_on(
    stage: "OpenStage", home: Path, sql: "Sql"
) -> None:
    store = Store.open(home)
    store.database.connection.execute("PRAGMA query_only = ON")  # as on a read-only disk
    async with stage(SONG, store=store) as player:
        await player.sees("the song could not be remembered")
        await player.press("space", "m")
        assert "the mark could not be written" in player.text
        assert "Practice goes on." in player.text
        assert "×" not in player.line("where"), "no mark is shown that was not kept"
        await player.press("space")
        assert "bar 2 " in player.line("where")
        await player.press("r")
        assert player.clock.running
        await player.press("i", "down", "enter")
        await player.sees("the setting could not be written")
        await player.press("escape", "t")
        assert player.room == "Log"
    assert sql("SELECT count(*) FROM mark") == [(0,)]


async def test_a_log_that_can_not_be_read_is_told(stage: "OpenStage", home: Path) -> None:
    store = Store.open(home)
    store.database.connection.execute("DROP TABLE mark")
    async with stage(SONG, store=store) as player:
        await player.press("t")
        await player.sees("the marks could not be read")
        await player.press("escape", "space")
        assert "bar 1 " in player.line("where")


async def test_a_notice_of_the_start_is_shown(stage: "OpenStage") -> None:
    for song in (SONG, None):
        notice = "the log can't be opened. Practice goes on; marks last until you quit."
        async with stage(song, notice=notice, store=Store.in_memory()) as player:
            await player.sees("Practice goes on; marks last until you quit.")
