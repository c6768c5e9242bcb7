"""The Road screen: the whole song on one page, and the path through it."""

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st
from rich.cells import cell_len
from tests.tui.plain_rows import plain_rows

from chartwalk.files import open_song
from chartwalk.mode import Mode
from chartwalk.practice import Session
from chartwalk_tui.actions import ROAD_SCREEN
from chartwalk_tui.app import ChartwalkApp
from chartwalk_tui.screens.road import Road
from chartwalk_tui.theme import ROLES
from chartwalk_tui.views.road_page import page_bars
from chartwalk_tui.widgets import road_page
from chartwalk_tui.widgets.drawing import Row
from chartwalk_tui.widgets.road_page import PageBar, PageView, Visit, draw_page, systems

if TYPE_CHECKING:
    from tests.tui.conftest import OpenStage, Player

Lead = Callable[..., Path]

SIZES = [(100, 30), (80, 24), (60, 16)]
# 1 2 3 4, again 1 2, 2nd ending 5, 6 7, back to the segno: 2, 2nd ending 5, to the coda: 9.
SHEET = """\
title    One [Lamp]
meter    4/4
key      C major
section  Verse [A]
road     |     | segno | 1.     |       | 2., to coda |
chords   |: C  | F G   | Am     | Dm7  :| Em          |
section  Bridge
road     |      | ds al coda |    |
chords   | Bb   | G7         | N.C. |
section  Coda
road     | coda |
chords   | C6   |
"""


def page(player: "Player") -> list[str]:
    return player.part("road-page")


def cursor(player: "Player") -> tuple[str, str]:
    """The number and the pass under the cursor."""
    rows = [row[row.index("▌") + 1 :].split() for row in page(player) if "▌" in row]
    assert len(rows) == 3, "the cursor marks the three rows of one bar"
    now = next(word for word in rows[2] if word.startswith("["))
    return rows[0][0], now.strip("[]")


@pytest.mark.parametrize("size", SIZES)
async def test_the_page_shows_the_whole_song_as_written(
    stage: "OpenStage", lead: Lead, size: tuple[int, int]
) -> None:
    async with stage(lead(SHEET), size) as player:
        await player.press("w")
        assert player.room == "Road"
        assert "One [Lamp]" in player.line("song")
        assert "9 bars, 12 as played" in player.line("song")
        shown = set()
        for _ in range(4):
            shown |= {row.rstrip("▲▼ ") for row in page(player)}
            await player.press("down")
        text = "\n".join(shown)
        for number in "123456789":
            assert any(row.strip("▌ ").startswith(number) or f" {number}" in row for row in shown)
        for part in (
            "Verse [A]", "Bridge", "Coda", "|:C", "F G", "Am", "Dm7", ":|", "Em", "B♭", "G7", "C6",
            "segno", "┌1.──", "┌2.", "To Coda", "coda", "N.C.", "not played",
        ):  # fmt: skip
            assert part in text, part
        assert ("D.S. al Coda" in text) or ("ds al coda" in text)
        assert "? help" in player.line("foot")
        assert "Enter go there" in player.line("foot")


async def test_passes_and_jumps_are_drawn_at_each_bar(stage: "OpenStage", lead: Lead) -> None:
    async with stage(lead(SHEET), (100, 30)) as player:
        await player.press("w", "end")
        text = "\n".join(page(player))
        # By hand from the order in the sheet's comment.
        assert " 1 2    " in text  # bar 1
        assert "1 2→5 3→5" in text  # bar 2
        assert "1→1" in text  # bar 4
        assert "2 3→9" in text  # bar 5
        assert "1→2" in text  # bar 7
        assert "not played" in text  # bar 8
        assert "[1→end]" in text  # bar 9


async def test_the_cursor_walks_the_play_order(stage: "OpenStage", lead: Lead) -> None:
    async with stage(lead(SHEET)) as player:
        await player.press("w")
        seen = [cursor(player)]
        for _ in range(12):
            await player.press("right")
            seen.append(cursor(player))
        assert seen == [
            ("1", "1"), ("2", "1"), ("3", "1"), ("4", "1→1"), ("1", "2"), ("2", "2→5"), ("5", "2"),
            ("6", "1"), ("7", "1→2"), ("2", "3→5"), ("5", "3→9"), ("9", "1→end"), ("9", "1→end"),
        ]  # fmt: skip
        await player.press("left", "pageup")
        assert cursor(player) == ("2", "3→5")
        await player.press("space", "pagedown", "home")
        assert cursor(player) == ("1", "1")


async def test_the_road_ahead_is_told_in_words(stage: "OpenStage", lead: Lead) -> None:
    async with stage(lead(SHEET)) as player:
        await player.press("w", "right", "right", "right")
        assert player.line("path").startswith("Verse [A] 1-4, then again 1-2, 2nd ending 5, Bridge")
        assert "bar 4 · step 4 of 12" in player.line("where")
        assert "next: repeat, 2nd time" in player.line("where")
        await player.press("end")
        assert player.line("path") == "to the coda: 9, the end"


@pytest.mark.parametrize("key", ["escape", "w"])
async def test_going_back_moves_nothing(stage: "OpenStage", lead: Lead, key: str) -> None:
    async with stage(lead(SHEET)) as player:
        await player.press("space", "w", "right", "down", "end", key)
        assert player.room == "Stand"
        assert player.stand.session.step == 1


async def test_enter_takes_the_step_to_the_stand(stage: "OpenStage", lead: Lead) -> None:
    async with stage(lead(SHEET)) as player:
        await player.press("space", "w", *["right"] * 8, "enter")
        assert player.room == "Stand"
        assert player.stand.session.step == 9
        assert "3rd time · bar 2 · step 10 of 12" in player.line("where")
        await player.press("w")
        assert cursor(player) == ("2", "3→5"), "the Road opens where the Stand is"


async def test_where_the_stand_is_stays_marked(stage: "OpenStage", lead: Lead) -> None:
    async with stage(lead(SHEET)) as player:
        await player.press("w")
        assert page(player)[1].startswith("▌1 ●")
        await player.press("right", "right")
        assert page(player)[1].startswith(" 1 ●")
        assert sum(row.count("●") for row in page(player)) == 1


async def test_up_and_down_go_by_system_and_stay_in_the_column(
    stage: "OpenStage", lead: Lead
) -> None:
    async with stage(lead(SHEET), (60, 16)) as player:
        await player.press("w", "right")
        seen = []
        for key in ("down", "down", "down", "down", "up", "up", "up", "up"):
            await player.press(key)
            seen.append(cursor(player)[0])
        # 1 2 3 4 / 5 / 6 7 8 / 9
        assert seen == ["5", "6", "9", "9", "6", "5", "1", "1"]


async def test_crossing_keeps_near_the_pass(stage: "OpenStage") -> None:
    async with stage("cafe-on-the-quay", (80, 24)) as player:
        await player.press("w", "end")
        for _ in range(11):
            await player.press("left")
        assert cursor(player) == ("13", "3")
        await player.press("up")
        assert cursor(player) == ("9", "3"), "not the bar of another pass"
        await player.press("home", *["right"] * 4, "down")
        assert cursor(player) == ("9", "1")


async def test_a_system_that_is_never_played_is_passed_over(stage: "OpenStage", lead: Lead) -> None:
    sheet = "title T\nmeter 4/4\n\n" + "\n\n".join(
        f"section {name}\n{rows}"
        for name, rows in (
            ("A", "road | fine | dc al fine |\nchords | C | F |"),
            ("B", "chords | G | G |"),
        )
    )
    async with stage(lead(sheet)) as player:
        await player.press("w", "down")
        assert cursor(player) == ("1", "1")
        assert "\n".join(page(player)).count("not played") == 2


async def test_the_song_as_it_is_arranged(stage: "OpenStage", lead: Lead) -> None:
    async with stage(lead(SHEET)) as player:
        await player.press("full_stop", "full_stop", "d", "d", "w")
        text = "\n".join(page(player))
        assert "▌:D " in text
        assert "G A" in text
        assert "Em " in text, "plain: Dm7 up a tone, without its figure"
        assert "Em7" not in text


async def test_trouble_marks_stand_at_their_bars(stage: "OpenStage", lead: Lead) -> None:
    async with stage(lead(SHEET)) as player:
        await player.press("space", "m", "m", "w", "w")
        assert any("2 ● ×× segno" in row for row in page(player))
        assert "×2" in player.line("where")


async def test_a_run_stops_when_the_page_opens(stage: "OpenStage", lead: Lead) -> None:
    async with stage(lead(SHEET)) as player:
        await player.press("r", "w")
        assert player.room == "Road"
        assert not player.clock.running
        assert "count-in" not in player.line("where")
        await player.press("escape")
        assert player.stand.session.mode is Mode.STOPPED


async def test_the_help_explains_the_signs(stage: "OpenStage", lead: Lead) -> None:
    async with stage(lead(SHEET), (100, 50)) as player:
        await player.press("w", "question_mark")
        assert "the bar the Stand is on" in player.squeezed
        assert "after the 2nd time the road goes on in bar 21" in player.squeezed


async def test_resizing_keeps_the_cursor_in_sight(stage: "OpenStage") -> None:
    async with stage("cafe-on-the-quay", (100, 30)) as player:
        await player.press("w", "end")
        for size in ((60, 16), (150, 45), (40, 12), (80, 24)):
            await player.resize(*size)
            assert cursor(player) == ("48", "1→end")


@pytest.mark.parametrize("size", SIZES)
async def test_the_cursor_is_in_sight_at_every_step(
    stage: "OpenStage", size: tuple[int, int]
) -> None:
    async with stage("lamp-on-the-step", size) as player:
        song = player.stand.session.song
        await player.press("w")
        for step in song.steps:
            number, pass_ = cursor(player)
            assert number == song.bars[step.bar].number
            assert pass_.partition("→")[0] == str(step.pass_)
            await player.press("right")


def test_every_action_of_the_screen_has_a_method() -> None:
    for action in ROAD_SCREEN:
        owner, _, name = action.name.rpartition(".")
        holder = ChartwalkApp if owner == "app" else Road
        assert callable(getattr(holder, f"action_{name}", None)), action


# The drawing


def bars(*cells: str) -> tuple[PageBar, ...]:
    """Bars of one pass: a number, ``p`` for a pickup, ``s`` for the start of a section."""
    return tuple(
        PageBar(
            cell.strip("ps"), "C", (Visit(step, "1"),), begins="s" in cell, pickup="p" in cell,
            section="A" if "s" in cell else "",
        )
        for step, cell in enumerate(cells)
    )  # fmt: skip


@pytest.mark.parametrize(
    ("cells", "width", "expected"),
    [
        ("1 2 3 4 5 6", 60, [4, 2]),
        ("1 2 3 4 5 6", 100, [4, 2]),
        ("1 2 3 4 5 6 7 8 9", 150, [8, 1]),
        ("1 2 3", 30, [2, 1]),
        ("1 2 3", 20, [1, 1, 1]),
        ("p0 1 2 3 4 5", 60, [5, 1]),
        ("s1 2 3 4 5 s6 7", 60, [4, 1, 2]),
        ("p0 s1 2 3 4 s5", 60, [1, 4, 1]),
        ("1 2 3 4 p4 5 6 7 8", 60, [5, 4]),
    ],
)
def test_systems(cells: str, width: int, expected: list[int]) -> None:
    rows = systems(bars(*cells.split()), width)
    assert [len(row) for row in rows] == expected
    assert [index for row in rows for index in row] == list(range(len(cells.split())))


def test_a_system_as_rows() -> None:
    written = (
        PageBar("1", "C", (Visit(0, "1"), Visit(4, "2")), begins=True, section="Verse", opens=True),
        PageBar("2", "F G", (Visit(1, "1"), Visit(5, "2", "5")), before="segno", marks=2),
        PageBar("3", "Am", (Visit(2, "1"),), ending="1.", bracket=True, news="3/4"),
        PageBar("4", "D", (Visit(3, "1", "1"),), bracket=True, hook=True, line=":|", after="Fine"),
    )
    rows = plain_rows(draw_page(PageView(written, 5, 1, 0), 60, 4))
    cells = [  # fourteen columns a bar
        (" 1 ●          ", "▌2 ×× segno   ", " 3 3/4 ┌1.────", " 4 ───── Fine┐"),
        ("|:C           ", "▌F G          ", "│Am           ", "│D          :|"),
        (" 1 2          ", "▌1 [2→5]      ", " 1            ", " 1→1"),
    ]
    assert rows == [f" Verse {'─' * 52}", *map("".join, cells)]


def test_many_passes_show_those_around_the_cursor() -> None:
    bar = PageBar("1", "C", tuple(Visit(n, str(n + 1), "1") for n in range(99)))
    row = plain_rows(draw_page(PageView((bar,), 49, 0, 0), 30, 3))[2]
    assert "[50→1]" in row
    assert row.count("…") == 2
    assert cell_len(row) <= 28


def test_a_long_song_draws_what_is_in_sight(monkeypatch: pytest.MonkeyPatch) -> None:
    drawn: list[range] = []
    system = road_page._system

    def counted(value: PageView, row: range, width: int) -> Iterator[Row]:
        drawn.append(row)
        return system(value, row, width)

    monkeypatch.setattr(road_page, "_system", counted)
    many = bars(*map(str, range(10_000)))
    draw_page(PageView(many, 5000, 5000, 0), 80, 24)
    assert len(drawn) == 8


TEXTS = st.sampled_from(
    ["", "[A]", "C7[b9]", "港の灯り", "e\u0301", "D.S. al Coda", "a" * 90, "12"]
)
VISITS = st.lists(st.builds(Visit, st.integers(0, 30), TEXTS, TEXTS), max_size=9).map(tuple)
BARS = st.builds(
    PageBar, TEXTS, TEXTS, VISITS, st.booleans(), TEXTS, TEXTS, TEXTS, TEXTS, TEXTS, st.booleans(),
    st.booleans(), st.booleans(), TEXTS, TEXTS, st.integers(0, 200), st.booleans(),
)  # fmt: skip


@settings(max_examples=80, phases=(Phase.explicit, Phase.generate, Phase.shrink))
@given(st.lists(BARS, max_size=30).map(tuple), st.integers(0, 30), st.integers(1, 200),
       st.integers(1, 60), st.integers(0, 30))  # fmt: skip
def test_any_page_fits(
    page: tuple[PageBar, ...], step: int, width: int, height: int, bar: int
) -> None:
    picture = draw_page(PageView(page, step, bar, 0), width, height)
    assert len(picture) <= height
    for row, text in zip(picture, plain_rows(picture), strict=True):
        assert cell_len(text) <= width
        assert {role for _, role in row} <= set(ROLES), "a role without a colour"


@given(st.integers(1, 60), st.integers(4, 40), st.integers(13, 160), st.data())
def test_the_system_of_the_cursor_is_always_in_sight(
    count: int, height: int, width: int, data: st.DataObject
) -> None:
    starts = data.draw(st.sets(st.integers(0, count - 1)))
    page = bars(*(f"s{n}" if n in starts else str(n) for n in range(count)))
    bar = data.draw(st.integers(0, count - 1))
    rows = plain_rows(draw_page(PageView(page, bar, bar, 0), width, height))
    assert sum("▌" in row for row in rows) == 3


def test_the_bars_of_a_song(demo: Callable[[str], Path]) -> None:
    session = Session(open_song(demo("cafe-on-the-quay")))
    page = page_bars(session, {4: 2})
    assert len(page) == 48
    assert [bar.number for bar in page if bar.begins] == ["1", "5", "25", "41"]
    fifth, sixteenth, last = page[4], page[15], page[47]
    assert (fifth.before, fifth.opens, fifth.marks, fifth.section) == ("segno", True, 2, "Verse")
    assert (sixteenth.after, sixteenth.short) == ("To Coda", "to coda")
    assert [(v.label, v.to) for v in sixteenth.visits] == [("1", ""), ("2", "21"), ("3", "41")]
    assert [bar.number for bar in page if bar.bracket] == [str(n) for n in range(17, 25)]
    assert [bar.ending for bar in page if bar.ending] == ["1.", "2."]
    assert [bar.number for bar in page if bar.hook] == ["20"]
    assert (page[19].line, last.line, page[0].line) == (":|", "▐", "")
    assert [v.to for v in last.visits] == ["end"]
