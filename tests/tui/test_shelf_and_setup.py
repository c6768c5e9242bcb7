"""The Shelf opens songs; Setup says where the click sounds and keeps the choice."""

import threading
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from chartwalk.log import Store
from chartwalk.midi import Ports
from chartwalk_tui.app import ChartwalkApp
from chartwalk_tui.demos import demo_songs

if TYPE_CHECKING:
    from tests.tui.conftest import OpenStage, Player

SIZES = [(100, 30), (80, 24), (60, 16)]
PIANO = "Stage Piano:Stage Piano MIDI 1 20:0"
ORGAN = "Organ:Organ MIDI 1 24:0"
PATIENCE = 20.0
OWN = "title My [Own] Song\nmeter 4/4\n\nchords | C | F |\n"


def lines(player: "Player") -> list[str]:
    """The lines of the list."""
    return [row.strip() for row in player.part("list") if row.strip()]


@pytest.mark.parametrize("size", SIZES)
async def test_the_shelf_opens_a_demo_song_with_enter(
    stage: "OpenStage", size: tuple[int, int]
) -> None:
    async with stage(None, size) as player:
        assert player.room == "Shelf"
        assert lines(player)[0] == "Demo songs"
        assert lines(player)[1].startswith("› The First Lamp"), "the easy one first"
        await player.press("enter")
        await player.until(lambda: player.room == "Stand")
        assert player.line("song").startswith("The First Lamp")


async def test_the_cursor_walks_the_shelf(stage: "OpenStage") -> None:
    async with stage(None) as player:
        await player.press("down", "enter")
        await player.until(lambda: player.room == "Stand")
        assert player.line("song").startswith("Café on the Quay")


async def test_the_cursor_is_seen_without_colour(stage: "OpenStage") -> None:
    async with stage(None) as player:
        for place, title in enumerate(["The First Lamp", "Café on the Quay"], start=1):
            marked = [line for line in lines(player) if line.startswith("›")]
            assert len(marked) == 1
            assert lines(player)[place] == marked[0]
            assert marked[0].startswith(f"› {title}")
            await player.press("down")
        await player.press("home")
        assert lines(player)[1].startswith("› The First Lamp")
        (row,) = (row for row in player.part("list") if "Café" in row)
        assert row.startswith("   Café"), "the others keep their column"


async def test_escape_on_the_first_room_does_nothing(stage: "OpenStage") -> None:
    async with stage(None) as player:
        before = player.rows
        await player.press("escape", "escape")
        assert player.rooms == ["Shelf"]
        assert player.rows == before
        await player.press("down", "enter")
        await player.until(lambda: player.rooms == ["Stand"])
        await player.press("escape")
        assert player.rooms == ["Stand"]


async def test_the_shelf_opens_over_the_stand_and_escape_goes_back(stage: "OpenStage") -> None:
    async with stage("lanterns-at-low-tide", (60, 16)) as player:
        await player.press("minus", "space", "down")
        before = player.rows
        await player.press("o")
        assert player.rooms == ["Stand", "Shelf"]
        assert "Esc back" in player.line("foot")
        await player.press("escape")
        assert player.rooms == ["Stand"]
        assert player.rows == before, "step, chord and tempo are as they were"


async def test_choosing_the_song_that_is_open_goes_back_to_it(stage: "OpenStage") -> None:
    async with stage("first-lamp") as player:
        await player.press("minus", "space", "space")
        before, stand = player.rows, player.stand
        await player.press("o", "enter")
        await player.until(lambda: player.rooms == ["Stand"])
        assert player.rows == before
        assert player.stand is stand


async def test_another_song_takes_the_place_of_the_one_that_was_open(stage: "OpenStage") -> None:
    async with stage("first-lamp") as player:
        await player.press("space", "o", "down", "enter")
        await player.until(lambda: player.rooms == ["Stand"])
        assert player.line("song").startswith("Café on the Quay")
        await player.press("o", "escape")
        assert player.rooms == ["Stand"]
        assert player.line("song").startswith("Café on the Quay")


async def test_a_broken_file_on_the_shelf_leaves_the_open_song_alone(
    stage: "OpenStage", lead: Callable[..., Path]
) -> None:
    chart = lead(OWN)
    async with stage(chart) as player:
        await player.press("q")
    lead("title My Song\n")
    async with stage("first-lamp") as player:
        await player.press("space", "o", "home", "enter")
        await player.sees("own.lead can't be opened")
        await player.press("escape")
        assert player.rooms == ["Stand", "Shelf"]
        await player.press("escape")
        assert "bar 2 · step 2 of 20" in player.line("where")


async def test_every_demo_song_stands_on_the_shelf(stage: "OpenStage") -> None:
    async with stage(None) as player:
        songs = [line for line in lines(player) if "/4," in line or "/8," in line]
        assert len(songs) == len(demo_songs())


async def test_the_shelf_says_how_to_bring_a_song_of_ones_own(stage: "OpenStage") -> None:
    async with stage(None) as player:
        assert any("chartwalk FILE" in line for line in lines(player))


async def test_songs_opened_before_come_first_the_latest_on_top(
    stage: "OpenStage", lead: Callable[..., Path]
) -> None:
    for name in ("one", "two"):
        async with stage(lead(OWN.replace("My", name), f"{name}.lead")) as player:
            await player.press("q")
    async with stage(None) as player:
        assert lines(player)[:4] == [
            "Opened before", "› two [Own] Song", "one [Own] Song", "Demo songs",
        ]  # fmt: skip
        await player.press("enter")
        await player.until(lambda: player.room == "Stand")
        assert player.line("song").startswith("two [Own] Song")
        await player.press("o")
        await player.until(lambda: player.room == "Shelf")


async def test_another_song_from_the_stand(stage: "OpenStage") -> None:
    async with stage("lanterns-at-low-tide") as player:
        await player.press("space", "o")
        await player.until(lambda: player.room == "Shelf")
        await player.press("enter")
        await player.until(lambda: player.room == "Stand")
        assert player.line("song").startswith("The First Lamp")
        assert "step 1 of 20" in player.line("where")


async def test_a_file_that_is_gone_is_told_before_and_after_enter(
    stage: "OpenStage", lead: Callable[..., Path]
) -> None:
    chart = lead(OWN, "gone.lead")
    async with stage(chart) as player:
        await player.press("q")
    chart.unlink()
    async with stage(None) as player:
        assert lines(player)[1].startswith("› My [Own] Song")
        assert lines(player)[1].endswith("file is gone")
        await player.press("enter")
        await player.sees("gone.lead can't be opened")
        assert "no such file" in player.text
        await player.press("escape")
        assert player.room == "Shelf"


async def test_a_file_that_was_broken_since_shows_all_its_problems(
    stage: "OpenStage", lead: Callable[..., Path]
) -> None:
    chart = lead(OWN)
    async with stage(chart) as player:
        await player.press("q")
    lead("title My Song\nmeter 4/4\n\nchords | C[zz] | Hm7 | C |\nroad | dc | | |:, 5. |\n")
    async with stage(None) as player:
        await player.press("enter")
        await player.until(lambda: player.room == "Stand")
        await player.sees("problems in this file")
        await player.press("question_mark")
        told = player.app.screen._body.plain  # type: ignore[attr-defined]
        assert "C[zz]" in told
        assert "Hm7" in told


async def test_a_file_with_nothing_to_read_any_more_shows_its_problems(
    stage: "OpenStage", lead: Callable[..., Path]
) -> None:
    chart = lead(OWN)
    async with stage(chart) as player:
        await player.press("q")
    lead("title My Song\nmeter 4/4\n\nchords C[zz]\n")
    async with stage(None) as player:
        await player.press("enter")
        await player.sees("own.lead can't be opened")
        assert "bar line" in player.text
        await player.press("enter")
        assert player.room == "Shelf"


async def test_a_shelf_whose_log_can_not_be_read_has_the_demo_songs(
    stage: "OpenStage", home: Path
) -> None:
    store = Store.open(home)
    store.database.connection.execute("DROP TABLE song")
    async with stage(None, store=store) as player:
        assert lines(player)[0] == "Demo songs"


@pytest.mark.parametrize("size", SIZES)
async def test_setup_lists_the_ports_and_keeps_the_choice(
    stage: "OpenStage", home: Path, size: tuple[int, int]
) -> None:
    async with stage("first-lamp", size) as player:
        assert player.clock.opened == [PIANO], "the first instrument, unless told otherwise"
        await player.press("i")
        await player.sees(ORGAN)
        assert player.room == "Setup"
        first, *rest = lines(player)[1:]
        assert lines(player)[0] == "The sound goes to"
        assert first == "› ● the first instrument, else the loudspeaker"
        assert rest[:2] == [PIANO, ORGAN]
        told = " ".join(line.rstrip(" ▁▂▃▄▅▆▇█") for line in rest[2:])
        assert told.startswith(
            f"Now it goes to {PIANO}. s sounds a test note. Keep the volume modest"
        )
        await player.press("down", "down", "enter")
        await player.sees("● " + ORGAN)
        assert player.clock.opened[-1] == ORGAN
        assert lines(player)[1:4] == [
            "the first instrument, else the loudspeaker", PIANO, f"› ● {ORGAN}",
        ]  # fmt: skip
        assert lines(player)[4].startswith(f"Now it goes to {ORGAN}. s")
        await player.press("escape")
        assert player.room == "Stand"
    store = Store.open(home)
    assert store.setting(ChartwalkApp.PORT_SETTING) == ORGAN
    store.close()


async def test_the_first_instrument_can_be_chosen_again(stage: "OpenStage", home: Path) -> None:
    async with stage("first-lamp", wanted=ORGAN) as player:
        assert player.clock.opened == [ORGAN]
        await player.press("i")
        await player.sees("● " + ORGAN)
        await player.press("home", "enter")
        await player.sees("● the first instrument")
        assert player.clock.opened[-1] == PIANO
    store = Store.open(home)
    assert store.setting(ChartwalkApp.PORT_SETTING) is None
    store.close()


async def test_the_cursor_of_setup_stands_on_what_was_chosen(stage: "OpenStage") -> None:
    async with stage("first-lamp") as player:
        await player.press("i")
        await player.sees(ORGAN)
        await player.press("down", "down", "enter")
        await player.sees("● " + ORGAN)
        await player.press("enter")
        await player.pilot.pause()
        assert player.clock.opened[-1] == ORGAN, "Enter once more chooses the same"


async def test_setup_looks_again(stage: "OpenStage") -> None:
    async with stage("first-lamp") as player:
        await player.press("i")
        await player.sees(ORGAN)
        player.ports.remove(ORGAN)
        await player.press("l")
        await player.until(lambda: ORGAN not in player.text)
        player.ports.append("Celesta")
        await player.press("l")
        await player.sees("Celesta")
        assert player.clock.opened == [PIANO], "what sounds goes on sounding"


async def test_setup_looks_once_at_a_time(stage: "OpenStage") -> None:
    looked, go_on = [], threading.Event()
    go_on.set()

    def look() -> Ports:
        looked.append(1)
        assert go_on.wait(PATIENCE)
        return Ports((PIANO, ORGAN))

    async with stage("first-lamp", look=look) as player:
        before = len(looked)
        go_on.clear()
        try:
            await player.press("i")
            await player.until(lambda: len(looked) == before + 1)
            await player.press("l", "l", "l")
            assert ORGAN not in player.text, "it goes on looking"
        finally:
            go_on.set()
        await player.sees(ORGAN)
        await player.pilot.pause()
        assert len(looked) == before + 1
        await player.press("l")
        await player.until(lambda: len(looked) == before + 2)
        await player.sees(ORGAN)


async def test_setup_tells_that_nothing_sounds(stage: "OpenStage", no_midi: Ports) -> None:
    async with stage("first-lamp", ports=no_midi) as player:
        await player.press("i")
        await player.sees("No MIDI output is connected")
        assert "it goes to" not in player.text


@pytest.mark.parametrize("size", SIZES)
async def test_setup_says_what_to_do_without_midi(
    stage: "OpenStage", no_midi: Ports, size: tuple[int, int]
) -> None:
    async with stage("first-lamp", size, ports=no_midi) as player:
        await player.press("i")
        await player.sees("No MIDI output is connected")
        assert "connect a keyboard" in player.text
        assert "Keep the volume modest" in player.text


async def test_what_to_do_without_midi_is_whole(stage: "OpenStage", no_midi: Ports) -> None:
    for size in SIZES:
        async with stage("first-lamp", size, ports=no_midi) as player:
            await player.press("i")
            await player.sees("No MIDI output is connected")
            assert "look again." in " ".join(player.text.split()), size


async def test_a_port_that_is_not_there_is_named(stage: "OpenStage") -> None:
    async with stage("first-lamp", wanted="Harmonium") as player:
        assert player.clock.opened == [None]
        await player.press("i")
        await player.sees("Harmonium")


async def test_setup_from_the_shelf_and_back(stage: "OpenStage") -> None:
    async with stage(None) as player:
        await player.press("i")
        await player.sees(PIANO)
        await player.press("escape")
        assert player.room == "Shelf"


@pytest.mark.parametrize(("key", "runs"), [("i", True), ("k", True), ("o", False), ("t", False)])
async def test_a_run_goes_on_over_the_settings_and_stops_where_it_is_for_other_rooms(
    stage: "OpenStage", key: str, runs: bool
) -> None:
    async with stage("first-lamp") as player:
        await player.press("r")
        player.clock.stand_at(3, 1)
        await player.until(lambda: "bar 3 " in player.line("where"))
        await player.press(key)
        assert player.rooms[:-1] == ["Stand"]
        await player.until(lambda: player.clock.running is runs)
        await player.press("escape")
        assert "bar 3 · step 3" in player.line("where")
        await player.until(lambda: ("▐" in player.line("bar")) is runs)
        await player.press("r")
        assert player.clock.running is not runs


BOOK = """\
X:1
T:The Mooring Reel
M:4/4
K:G
"G"G2B2 d4|

X:7
T:Rope and Bell
M:3/4
K:D
"D"D2F2A2|
"""


@pytest.mark.parametrize("size", SIZES)
async def test_the_tunes_of_a_book(
    stage: "OpenStage", lead: Callable[..., Path], size: tuple[int, int]
) -> None:
    book = lead(BOOK, "reels.abc")
    async with stage(None, size) as player:
        player.app.open_path(book)
        await player.until(lambda: player.room == "Shelf")
        await player.pilot.pause()
        shown = lines(player)
        assert shown[0] == "reels.abc: 2 tunes"
        assert "The Mooring Reel" in shown[1]
        assert "Rope and Bell" in shown[2]
        await player.press("down", "enter")
        await player.until(lambda: player.room == "Stand")
        await player.pilot.pause()
        assert "Rope and Bell" in player.line("song")
        await player.press("o")
        assert any("Rope and Bell" in line and "gone" not in line for line in lines(player))


async def test_a_book_shows_its_tunes_once_though_one_was_opened_before(
    stage: "OpenStage", lead: Callable[..., Path]
) -> None:
    book = lead(BOOK, "reels.abc")
    async with stage(None) as player:
        player.app.open_path(book)
        await player.until(lambda: player.rooms == ["Shelf", "Shelf"])
        await player.pilot.pause()
        await player.press("enter")
        await player.until(lambda: player.room == "Stand")
        player.app.open_path(book)
        await player.until(lambda: player.room == "Shelf")
        await player.pilot.pause()
        assert sum("The Mooring Reel" in line for line in lines(player)) == 1


async def test_a_song_whose_file_now_holds_another_is_not_on_the_shelf(
    stage: "OpenStage", lead: Callable[..., Path]
) -> None:
    for number, chords in enumerate(("C | F | G | C", "Am | Dm | E7 | Am", "Bb | Eb | F7 | Bb")):
        path = lead(f"title Number {number}\nmeter 4/4\n\nchords | {chords} |\n")
        async with stage(path):
            pass
    async with stage(None) as player:
        assert lines(player)[1].startswith("› Number 2")
        assert "Number 0" not in player.text
        assert "Number 1" not in player.text
