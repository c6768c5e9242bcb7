"""Voice: which key suits the singer; the keys pressed, and what is drawn."""

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st
from rich.cells import cell_len
from tests.tui.plain_rows import plain_rows

from chartwalk.files import open_song
from chartwalk.log import LogError, Store
from chartwalk.voice import CAUTION
from chartwalk_tui.actions import HELP, VOICE_SCREEN, key_names
from chartwalk_tui.screens.room import foot_keys
from chartwalk_tui.screens.voice import SIGNS, VOICE_SETTING, Voice
from chartwalk_tui.theme import ROLES
from chartwalk_tui.widgets.voice_rows import (
    Head,
    KeyRow,
    Scale,
    VoiceHead,
    draw_head,
    draw_key_row,
    draw_span,
)

if TYPE_CHECKING:
    from tests.tui.conftest import OpenStage, Player, Sql

SIZES = [(100, 30), (80, 24), (60, 16)]
SONG = "lanterns-at-low-tide"
# The song goes from D4 to E5 (bars 2 and 11), in G; its sheet is for a voice of just that range.
ONE_BAR = "title T\nmeter 4/4\n\nchords | C |\ntune | C4:2 C5:2 |\n"


async def enter(player: "Player", shift: int = 0) -> list[int]:
    """Open the Voice screen as the Stand does; return where the keys that are taken arrive."""
    taken: list[int] = []
    player.app.push_screen(Voice(player.stand.session.song.chart, shift, taken.append))
    await player.until(lambda: player.room == "Voice")
    await player.pilot.pause()
    return taken


def keys(player: "Player") -> list[str]:
    """The rows of the keys that are in sight."""
    return [row.strip() for row in player.part("list") if row.strip()]


async def range_typed(player: "Player", text: str) -> None:
    """Type a range."""
    await player.press("e")
    await player.type(text)
    await player.press("enter")


@pytest.mark.parametrize("size", SIZES)
async def test_all_that_matters_is_in_sight(stage: "OpenStage", size: tuple[int, int]) -> None:
    async with stage(SONG, size) as player:
        await enter(player)
        await range_typed(player, "A3 D5")
        assert player.line("song").startswith("Voice  Lanterns at Low Tide")
        assert player.line("song").endswith("G major")
        assert player.line("tune") == "tune   D4 (bar 2) to E5 (bar 11), mostly E4–C5"
        assert player.line("singer") == "voice  A3–D5  your own range"
        advice = " ".join(" ".join(player.part("advice")).split())
        assert advice == "Take it down a major second to F: your highest note becomes D5 (bar 11)."
        assert keys(player)[0].startswith("›   F major  1♭ down ")
        assert " C4–D5" in keys(player)[0]
        assert player.line("detail").startswith("Nothing strains; the tune sits near the middle")
        assert " ".join(" ".join(player.part("caution")).split()) == CAUTION
        assert player.line("foot").startswith("Enter take it   ? help   Esc back   e range")
        for row in player.rows:
            assert cell_len(row) <= size[0]


@pytest.mark.parametrize("size", SIZES)
async def test_every_key_can_be_reached(stage: "OpenStage", size: tuple[int, int]) -> None:
    async with stage(SONG, size) as player:
        await enter(player)
        seen = []
        for _ in range(12):
            (marked,) = (row for row in keys(player) if row.startswith("›"))
            seen.append(" ".join(marked.strip("›● ").split()[:2]))
            await player.press("down")
        assert len(set(seen)) == 12
        if size[1] >= 24:
            assert len(keys(player)) == 12, "and all of them are in sight at once"


async def test_enter_takes_the_key_and_goes_back(stage: "OpenStage") -> None:
    async with stage(SONG) as player:
        taken = await enter(player)
        await range_typed(player, "A3 D5")
        await player.press("enter")
        await player.until(lambda: player.room == "Stand")
        assert taken == [-2]


async def test_the_cursor_chooses_another_key(stage: "OpenStage") -> None:
    async with stage(SONG) as player:
        taken = await enter(player)
        await range_typed(player, "A3 D5")
        await player.press("down")
        assert keys(player)[1].startswith("›   D major  2♯ down a perfect fourth")
        detail = " ".join(" ".join(player.part("detail")).split())
        assert detail.endswith("Down a perfect fourth to D: your highest note becomes B4 (bar 11).")
        await player.press("enter")
        await player.until(lambda: player.room == "Stand")
        assert taken == [-5]


async def test_escape_takes_nothing(stage: "OpenStage") -> None:
    async with stage(SONG) as player:
        taken = await enter(player)
        await player.press("down", "escape")
        assert player.room == "Stand"
        assert taken == []


async def test_the_sheet_names_the_singer_at_first(stage: "OpenStage") -> None:
    async with stage(SONG) as player:
        await enter(player)
        assert player.line("singer") == "voice  D4–E5  from the sheet"
        assert "Take it as written, in G" in player.text
        assert keys(player)[0].startswith("› ● G major")


async def test_n_goes_through_the_voices_and_round(stage: "OpenStage") -> None:
    async with stage(SONG) as player:
        await enter(player)
        seen = []
        for _ in range(7):
            await player.press("n")
            seen.append(player.line("singer").removeprefix("voice  "))
        handbook = "(New Harvard Dictionary of Music)"
        assert seen == [
            f"C4–A5  a trained soprano {handbook}", f"A3–F5  a trained mezzo {handbook}",
            f"F3–D5  a trained alto {handbook}", f"B2–G4  a trained tenor {handbook}",
            f"G2–E4  a trained baritone {handbook}", f"E2–C4  a trained bass {handbook}",
            "D4–E5  from the sheet",
        ]  # fmt: skip


async def test_a_man_is_told_that_he_sings_an_octave_below(stage: "OpenStage") -> None:
    async with stage(SONG) as player:
        await enter(player)
        await player.press(*"nnnnn")
        assert "Take it down a major second to F, sung an octave below what is written" in (
            " ".join(" ".join(player.part("advice")).split())
        )
        assert " C3–D4" in keys(player)[0]


async def test_notes_that_strain_are_flagged_with_their_bars(stage: "OpenStage") -> None:
    async with stage(SONG) as player:
        await enter(player)
        await range_typed(player, "A3 D5")
        (as_written,) = (row for row in keys(player) if "● G major" in row)
        assert as_written.endswith("D4–E5    E5 (bars 11, 15)")
        assert "┤━" in as_written, "the tune sticks out of the voice"
        await player.press(*["down"] * keys(player).index(as_written))
        assert player.line("detail").startswith("Strains: E5 (bars 11, 15);")


async def test_the_key_of_the_stand_is_marked(stage: "OpenStage") -> None:
    for shift, key in ((0, "G major"), (-3, "E major"), (9, "E major"), (6, "D♭ major")):
        async with stage(SONG) as player:
            await enter(player, shift)
            (marked,) = (row for row in keys(player) if "●" in row)
            assert f"● {key}" in marked


async def test_a_typed_range_is_kept_for_next_time(stage: "OpenStage", sql: "Sql") -> None:
    async with stage(SONG) as player:
        await enter(player)
        await range_typed(player, "a3-eb5")
        assert sql("SELECT value FROM setting WHERE name = 'voice'") == [("A3 Eb5",)]
    async with stage("first-lamp") as player:
        await enter(player)
        assert player.line("singer") == "voice  A3–E♭5  your own range"
        await player.press("n")
        assert player.line("singer") == "voice  C4–D5  from the sheet"
        await range_typed(player, "B3 C5")
        await player.press("n")
        assert player.line("singer") == "voice  C4–D5  from the sheet", "one range of one's own"


async def test_a_voice_of_the_handbook_is_kept_when_its_key_is_taken(
    stage: "OpenStage", sql: "Sql"
) -> None:
    async with stage(SONG) as player:
        await enter(player)
        await player.press("n", "n", "n")
        assert sql("SELECT value FROM setting WHERE name = 'voice'") == [], "not for looking"
        await player.press("enter")
        await player.until(lambda: player.room == "Stand")
        assert sql("SELECT value FROM setting WHERE name = 'voice'") == [("alto",)]
        await enter(player)
        assert player.line("singer").startswith("voice  F3–D5  a trained alto")
        await player.press("n")
        assert "a trained tenor" in player.line("singer")


async def test_taking_the_key_for_the_singer_of_the_sheet_leaves_what_was_kept(
    stage: "OpenStage", sql: "Sql"
) -> None:
    async with stage(SONG) as player:
        await enter(player)
        await range_typed(player, "A3 D5")
        await player.press("n", "enter")
        await player.until(lambda: player.room == "Stand")
        assert sql("SELECT value FROM setting WHERE name = 'voice'") == [("A3 D5",)]


@pytest.mark.parametrize("kept", ["", "viola", "A3", "D5 A3", "\x1b[31m"])
async def test_a_setting_that_can_not_be_read_is_left_alone(
    stage: "OpenStage", home: Path, kept: str
) -> None:
    store = Store.open(home)
    store.set(VOICE_SETTING, kept)
    async with stage(SONG, store=store) as player:
        await enter(player)
        assert player.line("singer") == "voice  D4–E5  from the sheet"


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("A3", "'A3' is no range: write the low and the high note, as in A3 D5."),
        ("H3 D5", "'H3' is no pitch: write a note name and an octave, such as F#4."),
        ("D5 A3", "the low note D5 lies above the high note A3."),
    ],
)
async def test_what_is_no_range_is_told(stage: "OpenStage", text: str, told: str) -> None:
    async with stage(SONG) as player:
        await enter(player)
        before = keys(player)
        await range_typed(player, text)
        assert player.message == told
        assert keys(player) == before


async def test_the_question_can_be_left(stage: "OpenStage", sql: "Sql") -> None:
    async with stage(SONG) as player:
        await enter(player)
        before = player.rows
        for way in (("escape",), ("enter",), ("space", "enter"), ("C", "4", "escape")):
            await player.press("e")
            assert "low and high note, as in A3 D5:" in player.text
            await player.press(*way)
            assert player.room == "Voice"
            assert player.rows == before
        assert sql("SELECT value FROM setting WHERE name = 'voice'") == []


async def test_a_disk_that_refuses_is_told_and_the_keys_are_ranked_all_the_same(
    stage: "OpenStage", monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*_: object) -> None:
        raise LogError("the setting could not be written: disk full")

    async with stage(SONG) as player:
        taken = await enter(player)
        monkeypatch.setattr(player.app.store, "set", refuse)
        await range_typed(player, "A3 D5")
        assert player.message == "the setting could not be written: disk full."
        assert keys(player)[0].startswith("›   F major")
        await player.press("enter")
        await player.until(lambda: taken == [-2])


async def test_without_a_singer_it_asks_whose_voice_it_is(
    stage: "OpenStage", lead: Callable[..., Path]
) -> None:
    async with stage(lead(ONE_BAR), (60, 16)) as player:
        taken = await enter(player)
        assert player.line("singer") == "voice  not known yet"
        assert keys(player)[0] == "Whose voice is it?"
        await player.press("enter", "down")
        assert (player.room, taken) == ("Voice", [])
        await player.press("n")
        assert player.line("singer").startswith("voice  C4–A5  a trained soprano")
        assert len(keys(player)) >= 6


@pytest.mark.parametrize("words", [(), ("n",)])
async def test_a_sheet_without_a_tune_is_told(
    stage: "OpenStage", lead: Callable[..., Path], words: tuple[str, ...]
) -> None:
    bare = lead("title Bare [b]\nmeter 4/4\n\nchords | C | F |\n")
    async with stage(bare, (60, 16)) as player:
        taken = await enter(player)
        await player.press(*words)
        assert player.line("song").startswith("Voice  Bare [b]")
        assert player.line("tune") == "tune   no tune to judge by"
        assert keys(player)[0] == "This sheet has chords alone, so no key can be judged."
        await player.press("enter")
        assert (player.room, taken) == ("Voice", [])


async def test_bars_are_data_and_never_markup(
    stage: "OpenStage", lead: Callable[..., Path]
) -> None:
    odd = lead(
        "title T\nmeter 4/4\nvoice C4 C5\n\nroad | bar [b] | bar [/] |\ntune | C4:4 | C6:4 |\n"
    )
    async with stage(odd) as player:
        await enter(player)
        assert "(bar [/])" in " ".join(player.part("advice"))
        assert "C6 (bar [/])" in player.text
        assert "C4 (bar [b]) to C6 (bar [/])" in player.line("tune")


async def test_another_size_keeps_the_cursor(stage: "OpenStage") -> None:
    async with stage(SONG) as player:
        taken = await enter(player)
        await player.press("down", "down", "down")
        (marked,) = (row.split()[1] for row in keys(player) if row.startswith("›"))
        for size in (*SIZES, (200, 60), (40, 10), (100, 30)):
            await player.resize(*size)
            assert [row.split()[1] for row in keys(player) if row.startswith("›")] == [marked]
        await player.press("enter")
        assert len(taken) == 1


async def test_help_explains_the_drawing(stage: "OpenStage") -> None:
    async with stage(SONG, (100, 50)) as player:
        await enter(player)
        await player.press("question_mark")
        text = player.squeezed
        for action in VOICE_SCREEN:
            assert f"{key_names(action)} {action.help}" in text
        for sign, meaning in SIGNS:
            assert f"{sign.strip('▄')} {meaning}".strip() in text
        assert "no note out of range" in text
        assert "New Harvard Dictionary of Music" in text


async def test_the_list_of_commands_takes_a_key_too(stage: "OpenStage") -> None:
    async with stage(SONG) as player:
        taken = await enter(player)
        await player.press("ctrl+p")
        await player.type("under the cursor")
        await player.sees("take the key under the cursor to the Stand")
        await player.press("enter")
        await player.until(lambda: taken == [0])


def test_actions_are_bound_and_ordered() -> None:
    for action in VOICE_SCREEN:
        owner, _, name = action.name.rpartition(".")
        assert owner == "app" or callable(getattr(Voice, f"action_{name}"))
        assert not action.help.endswith(".")
    ranks = [action.rank for action in VOICE_SCREEN if action.rank]
    assert len(set(ranks)) == len(ranks) == len(foot_keys(VOICE_SCREEN))
    assert sum(rank < HELP.rank for rank in ranks) <= 2
    bound = {key for binding in Voice.BINDINGS for key in binding.key.split(",")}  # type: ignore[union-attr]
    assert {key for action in VOICE_SCREEN for key in action.keys} - bound == {"enter"}


async def test_demo_songs_open(stage: "OpenStage", demo: Callable[[str], Path]) -> None:
    for path in sorted(demo(SONG).parent.glob("*.lead")):
        async with stage(open_song(path), (80, 24)) as player:
            await enter(player)
            assert player.line("singer").endswith("from the sheet")
            assert "Take it" in player.text


# What is drawn, as rows of text

SCALE = Scale(55, 75, (57, 71))


def text_of(row: list[tuple[str, str]]) -> str:
    return "".join(text for text, _ in row)


def test_a_tune_inside_the_voice_and_where_it_sits() -> None:
    # 21 columns, one a semitone: the voice from column 2 to 16, the tune from 4 to 14.
    row = draw_span((59, 69), (61, 66), SCALE, 21)
    assert text_of(row) == "  ├─━━▄▄▄▄▄▄━━━─┤    "


def test_a_tune_that_sticks_out_on_both_sides() -> None:
    row = draw_span((55, 75), (56, 72), SCALE, 21)
    assert text_of(row) == "━▄├▄▄▄▄▄▄▄▄▄▄▄▄▄┤▄━━━"
    assert {role for text, role in row if "━" in text} == {"mark"}


def test_a_voice_of_one_note() -> None:
    assert text_of(draw_span((60, 60), (60, 60), Scale(60, 60, (60, 60)), 15)).strip() == "┤"


ROW = KeyRow(
    "B♭ minor", "5♭", "down an augmented fourth", "down TT", "B♭3–D♭5", (58, 73), (60, 70),
    "D♭5 (bars 1, 2, 3)", "D♭5",
)  # fmt: skip


@pytest.mark.parametrize(
    ("width", "shown", "hidden"),
    [(120, "down an augmented fourth", "down TT"), (75, "down TT", "augmented")],
)
def test_the_interval_gives_way_where_there_is_little_room(
    width: int, shown: str, hidden: str
) -> None:
    text = text_of(draw_key_row(ROW, SCALE, width))
    assert shown in text
    assert hidden not in text
    assert text.endswith(" D♭5 (bars 1, 2, 3)")


def test_the_bars_give_way_before_the_notes_that_strain() -> None:
    assert text_of(draw_key_row(ROW, SCALE, 55)).endswith(" D♭5")


def test_the_ends_of_the_voice_stand_over_the_drawing() -> None:
    for width in (55, 75, 95):
        head = text_of(draw_head(Head(SCALE, ("A3", "B4")), width))
        row = text_of(draw_key_row(ROW, SCALE, width))
        assert head.index("A3") == row.index("├")
        assert abs(head.index("B4") - row.index("┤")) <= 1
        assert head.index("sung") == row.index("B♭3–")


TEXTS = st.text(st.characters(exclude_categories=["C", "Z", "M"]), max_size=30) | st.sampled_from(
    ["", "[A]", "港の灯り", "F♯♯5 (bars 1, 2)"]
)
MIDI = st.integers(-20, 140)


@settings(max_examples=60, phases=(Phase.explicit, Phase.generate, Phase.shrink))
@given(
    st.tuples(TEXTS, TEXTS, TEXTS, TEXTS, TEXTS, TEXTS, TEXTS),
    st.lists(MIDI, min_size=6, max_size=6).map(sorted),
    st.booleans(),
    st.integers(1, 250),
)
def test_rows_fit_with_any_text_at_any_width(
    texts: tuple[str, ...], ends: list[int], here: bool, width: int
) -> None:
    key, signature, move, short, sung, strain, strain_short = texts
    scale = Scale(ends[0], ends[-1], (ends[1], ends[4]))
    row = KeyRow(
        key, signature, move, short, sung, (ends[0], ends[5]), (ends[2], ends[3]), strain,
        strain_short, here,
    )  # fmt: skip
    drawn = [draw_key_row(row, scale, width), *VoiceHead().draw(Head(scale, (key, sung)), width, 1)]
    for line, text in zip(drawn, plain_rows(drawn), strict=True):
        assert cell_len(text) <= width
        assert {role for _, role in line} <= set(ROLES)
