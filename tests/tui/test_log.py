"""The Log: spots due first, what is told about them, filters, and the way back to the Stand."""

from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from tests.log.planted import plant
from tests.tui.practised import clean, mark

from chartwalk.files import open_song
from chartwalk.log import Kind, Store
from chartwalk_tui.views.log import AGES

if TYPE_CHECKING:
    from tests.tui.conftest import OpenStage, Player

SIZES = [(100, 30), (80, 24), (60, 16)]
SONG = "lanterns-at-low-tide"  # 84 beats a minute
TITLE = "Lanterns at Low Tide"
EASY = "first-lamp"


async def open_log(player: "Player", *keys: str) -> list[str]:
    """Press keys, then t; wait until the log is read and return its lines."""
    await player.press(*keys, "t")
    await player.until(lambda: player.room == "Log" and "reading the log" not in player.text)
    return lines(player)


def lines(player: "Player") -> list[str]:
    return [line for row in player.part("list") if (line := row.strip(" ▁▂▃▄▅▆▇█"))]


Planted = tuple[str, str]


@pytest.fixture
def practised(home: Path, demo: Callable[[str], Path]) -> None:
    """Two songs with a bar and a passage that are due, a bar marked today, and one long ago."""
    store = Store.open(home)
    song, easy = open_song(demo(SONG)), open_song(demo(EASY))
    mark(store, song, 4, days=2, kind=Kind.CHORD)
    for days in (3, 2, 1):
        mark(store, song, 12, days=days, kind=Kind.JUMP)
    mark(store, song, 13, days=1, kind=Kind.CHORD)
    clean(store, song, (11, 14), 63, days=0.9)
    mark(store, easy, 2, days=0)
    mark(store, easy, 6, days=40, kind=Kind.HANDS)
    store.close()


@pytest.mark.usefixtures("practised")
async def test_what_is_due_comes_first_the_worst_on_top(stage: "OpenStage") -> None:
    async with stage(EASY) as player:
        shown = await open_log(player)
        head, *listed = shown
        assert head == "Due now, the worst first"
        fresh = "Marked today, not worked on yet"
        due = listed[: listed.index(fresh)]
        assert due[0].startswith(f"› {TITLE}: bars 12-13, G to Em7, 4 marks (jump, chord)")
        assert any(line.startswith(f"{TITLE}: bar 4, G to Em7, 1 mark (chord)") for line in due)
        later = listed[listed.index(fresh) + 1 :]
        assert [line.startswith("The First Lamp: bar 3, ") for line in later] == [True]
        assert later[0].endswith("tomorrow")
        assert f"{len(due)} spots due now" in player.line("song")
        heat = player.part("heat")
        assert heat[0].strip().startswith(f"{TITLE}: the fuller a bar")
        assert set(heat[1]) & set("░▒▓█")
        history = " ".join(player.part("history"))
        assert "4 marks on 3 days; clean at 63 on " in history
        assert history.endswith("; goal 84")
        await player.press("down")
        assert "1 mark on 1 day; not clean yet" in " ".join(player.part("history"))
        await player.press("end")
        assert player.part("heat")[0].strip().startswith("The First Lamp:")


@pytest.mark.usefixtures("practised")
async def test_the_spots_of_a_song_a_kind_and_an_age(stage: "OpenStage") -> None:
    def spots() -> int:
        return sum(": bar" in line for line in lines(player))

    async with stage(EASY) as player:
        await open_log(player)
        everything = lines(player)
        assert spots() == 4
        assert player.line("song").endswith("f all songs · k all kinds · a any age")
        await player.press("f")
        first = player.line("song").partition("f ")[2]
        assert first.startswith(TITLE)
        assert spots() == 2
        await player.press("f")
        assert "f The First Lamp" in player.line("song")
        assert spots() == 2
        await player.press("f")
        assert lines(player) == everything
        kinds = {}
        for kind in ("chord", "jump", "tune", "rhythm", "words", "hands"):
            await player.press("k")
            assert f"k {kind} " in player.line("song")
            kinds[kind] = spots()
        assert kinds == {"chord": 2, "jump": 1, "tune": 0, "rhythm": 0, "words": 0, "hands": 1}
        await player.press("k", "k", "k", "k")
        assert "No trouble spots." in player.text, "none of the tune"
        await player.press("k", "k", "k", "k")
        ages = {}
        for age in [*list(AGES)[1:], "any age"]:
            await player.press("a")
            assert player.line("song").endswith(f"a {age}")
            ages[age] = spots()
        assert ages == {"today": 1, "this week": 3, "this month": 3, "any age": 4}
        await player.press("a", "f")
        assert spots() == 0, "filters hold together"
        await player.press("enter", "g")
        assert player.room == "Log", "no spot, no drill"


@pytest.mark.usefixtures("practised")
@pytest.mark.parametrize("size", SIZES)
async def test_g_goes_there_and_escape_goes_back(stage: "OpenStage", size: tuple[int, int]) -> None:
    async with stage(EASY, size) as player:
        await open_log(player, "space")
        await player.press("escape")
        assert "bar 2 · step 2" in player.line("where")
        await open_log(player, "minus")
        await player.press("g")
        await player.until(lambda: player.rooms == ["Stand"])
        assert player.line("song").startswith(TITLE), "another song"
        assert "bar 12 ×3" in player.line("where")
        stand = player.stand
        await open_log(player, "o")
        assert player.rooms == ["Stand", "Shelf", "Log"]
        await player.press("down", "g")
        await player.until(lambda: player.rooms == ["Stand"])
        assert player.stand is stand, "the song that is open goes on"
        assert "bar 4 ×1" in player.line("where")


async def test_the_log_goes_to_the_pass_that_was_marked(stage: "OpenStage") -> None:
    async with stage(SONG) as player:
        await open_log(player, *("g", "4", "enter") * 2, "m", "c", "end")
        await player.press("g")
        await player.until(lambda: player.room == "Stand")
        assert "2nd time · bar 4 ×1 · step 13 of 30" in player.line("where")


async def test_the_log_can_be_opened_from_the_shelf_and_without_a_mark(
    stage: "OpenStage",
) -> None:
    async with stage(None) as player:
        await player.press("t")
        await player.sees("No trouble spots.")
        assert "m marks the bar" in player.text
        await player.press("enter", "g", "f", "k", "a", "w")
        await player.until(lambda: player.room == "Week and month")
        await player.press("escape", "escape")
        assert player.room == "Shelf"


async def test_the_log_may_be_left_before_it_is_read(stage: "OpenStage") -> None:
    async with stage(SONG) as player:
        for _ in range(3):
            await player.press("t", "escape", "t", "g", "enter", "w", "escape")
            await player.until(lambda: player.rooms in (["Stand"], ["Stand", "Log"]))
            if player.room == "Log":
                await player.press("escape")
        assert player.room == "Stand"


@pytest.mark.usefixtures("practised")
async def test_the_week_and_the_month_at_a_glance(stage: "OpenStage") -> None:
    for size in SIZES:
        async with stage(EASY, size) as player:
            await open_log(player)
            await player.press("w")
            await player.until(lambda: player.room == "Week and month")
            await player.sees("This week: 1 minute")
            assert "most on" in player.text
            assert f"songs    {TITLE}" in player.text
            await player.press("end")
            await player.sees("This month: 1 minute")
            await player.press("w")
            assert player.room == "Log"


async def test_songs_and_bars_that_are_gone_are_told_and_kept(
    stage: "OpenStage", lead: Callable[..., Path], home: Path
) -> None:
    gone = lead("title Gone\nmeter 4/4\n\nchords | C | F |\n", "gone.lead")
    short = lead("title Short\nmeter 4/4\n\nchords | C | F | Gm7 | Bb |\n", "short.lead")
    for chart in (gone, short):
        async with stage(chart) as player:
            await player.press("m", "end", "m", "q")
    gone.unlink()
    lead("title Short\nmeter 4/4\n\nchords | C | F |\n", "short.lead")
    async with stage(short) as player:
        shown = await open_log(player)
        assert any(line.startswith("› Short: bar 1, C") for line in shown)
        assert "Gone: its file is gone, its marks are kept" in shown
        assert "1 mark on bars that are no longer in their chart are kept too" in shown
    store = Store.open(home)
    assert len(list(store.marks())) == 4
    store.close()


async def test_bars_that_are_no_longer_played_are_told(
    stage: "OpenStage", lead: Callable[..., Path]
) -> None:
    chart = lead("title T\nmeter 4/4\n\nchords | C | F | Gm7 | Bb |\n")
    async with stage(chart) as player:
        await player.press("g", "3", "enter", "m", "h", "minus", "q")
    road = "road   | segno | to coda, ds al coda |     | coda |"
    lead(f"title T\nmeter 4/4\n\n{road}\nchords | C | F | Gm7 | Bb |\n")
    async with stage(chart) as player:
        before = player.line("song")
        for key in ("enter", "g"):
            assert "› T: bar 3, " in (await open_log(player, "home"))[1]
            await player.press(key)
            await player.until(lambda: player.room == "Stand")
            told = "These bars are no longer played: the road leads past them."
            assert player.message == told
            assert "bar 1 · step 1 of 5" in player.line("where")
            assert player.line("song") == before
            assert not player.clock.running


async def test_a_chord_with_brackets_and_a_title_that_would_steer_the_terminal(
    stage: "OpenStage", lead: Callable[..., Path]
) -> None:
    chart = lead("title Steer [A] [/]\nmeter 4/4\n\nchords | C7[b9] | Am7 |\n")
    async with stage(chart) as player:
        shown = await open_log(player, "m", "c")
        assert any("Steer [A] [/]: bar 1, C7[♭9], 1 mark (chord)" in line for line in shown)


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
        await player.sees("Steer·[2Jing ·31m")
        strips = player.app.screen._compositor.render_strips()
        assert "".join(strip.text for strip in strips).isprintable()


async def test_a_file_name_can_not_steer_the_terminal(stage: "OpenStage", tmp_path: Path) -> None:
    async with stage(SONG) as player:
        player.app.open_path(tmp_path / f"{STEERING}.lead")
        await player.sees("can't be opened")
        assert "Steer·[2Jing ·31m.lead" in player.text
        strips = player.app.screen._compositor.render_strips()
        assert "".join(strip.text for strip in strips).isprintable()


@pytest.mark.parametrize("table", ["mark", "pass"])
async def test_a_log_that_can_not_be_read_is_told(
    stage: "OpenStage", home: Path, table: str
) -> None:
    store = Store.open(home)
    store.database.connection.execute(f"ALTER TABLE {table} RENAME TO lost")
    async with stage(SONG, store=store) as player:
        await player.press("t")
        await player.sees("could not be read")
        await player.press("escape", "p", "5", "enter")
        await player.until(lambda: "could not be read" in player.message)
        await player.press("space")
        assert "bar 1 " in player.line("where")
