"""The Stand: the keys that walk the song, and what the player sees of it."""

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from chartwalk.files import open_song

if TYPE_CHECKING:
    from tests.tui.conftest import OpenStage

SIZES = [(100, 30), (80, 24), (60, 16)]
SONG = "lanterns-at-low-tide"  # 24 bars, 30 steps; bar 0 is a pickup, bars 1 to 8 are repeated


@pytest.mark.parametrize("size", SIZES)
async def test_the_stand_shows_the_song_from_top_to_bottom(
    stage: "OpenStage", size: tuple[int, int]
) -> None:
    async with stage(SONG, size) as player:
        await player.press("space")
        assert len(player.rows) == size[1]
        assert player.line("song").startswith("Lanterns at Low Tide")
        assert "G major" in player.line("song")
        assert "4/4" in player.line("song")
        assert "tempo 84" in player.line("song")
        assert player.line("where").startswith("Verse · bar 1 · step 2 of 30")
        assert player.line("where").endswith("in 8 bars: repeat, 2nd time")
        assert player.text.count("root") == 1
        if size == (60, 16):
            assert player.line("next") == "D/F♯  on beat 3"
        else:
            assert player.line("next") == "coming on beat 3"
            assert sum(bool(set(row) & set("█▌▀▄")) for row in player.part("next")) >= 3
        assert "C4" in player.part("keyboard")[-1]
        beats = player.line("bar").replace("─", " ").replace("│", " │ ").split()
        assert beats == ["1", "2", "3", "4", "│", "1", "2", "3", "4"], "the next bar is beside it"
        assert any("lan-" in row for row in player.part("bar"))
        assert player.line("road").startswith("▌1")
        assert "? help" in player.line("foot")


@pytest.mark.parametrize("size", SIZES)
async def test_next_bar(stage: "OpenStage", size: tuple[int, int]) -> None:
    async with stage(SONG, size) as player:
        await player.press("space")
        assert "bar 1 · step 2 of 30" in player.line("where")
        assert "lan-" in player.text
        await player.press("right")
        assert "bar 2 · step 3 of 30" in player.line("where")
        assert "long" in player.text
        assert player.line("road").startswith("▌2")
        await player.press("pagedown")
        assert "bar 3 · step 4 of 30" in player.line("where")


@pytest.mark.parametrize("size", SIZES)
async def test_one_bar_back(stage: "OpenStage", size: tuple[int, int]) -> None:
    async with stage(SONG, size) as player:
        await player.press("space", "space", "left")
        assert "bar 1 · step 2 of 30" in player.line("where")
        await player.press("pageup")
        assert "Verse · pickup · step 1 of 30" in player.line("where")
        await player.press("left", "pageup")
        assert "Verse · pickup · step 1 of 30" in player.line("where"), "it stays at the start"


@pytest.mark.parametrize("size", SIZES)
async def test_changes_down_and_up(stage: "OpenStage", size: tuple[int, int]) -> None:
    async with stage(SONG, size) as player:
        await player.press("space")
        first = player.part("now")
        await player.press("down")
        assert "bar 1 · step 2" in player.line("where"), "the second chord of the same bar"
        assert player.part("now") != first
        assert "over F♯, the 3rd" in player.text or "over F♯" in player.text
        await player.press("down")
        assert "bar 2 · step 3" in player.line("where")
        await player.press("up", "up")
        assert "bar 1 · step 2" in player.line("where")
        assert player.part("now") == first


@pytest.mark.parametrize("size", SIZES)
async def test_home_and_end(stage: "OpenStage", size: tuple[int, int]) -> None:
    async with stage(SONG, size) as player:
        await player.press("end")
        assert "bar 23 · step 30 of 30" in player.line("where")
        assert player.line("where").endswith("last bar")
        assert "no more changes" in player.text
        assert "end" in player.part("road")[0]
        await player.press("space")
        assert "step 30 of 30" in player.line("where"), "there is nothing behind the end"
        await player.press("home")
        assert "Verse · pickup · step 1 of 30" in player.line("where")


@pytest.mark.parametrize("size", SIZES)
async def test_go_to_a_bar(stage: "OpenStage", size: tuple[int, int]) -> None:
    async with stage(SONG, size) as player:
        await player.press("g")
        assert "go to bar" in player.text
        await player.type("12")
        await player.press("enter")
        assert "Chorus · bar 12 " in player.line("where")


async def test_go_to_a_bar_can_be_left(stage: "OpenStage") -> None:
    async with stage(SONG) as player:
        await player.press("space", "g")
        await player.type("12")
        await player.press("escape")
        assert player.room == "Stand"
        assert "bar 1 " in player.line("where")
        await player.press("g", "enter")
        assert player.room == "Stand"
        assert "bar 1 " in player.line("where"), "no number, no move"


@pytest.mark.parametrize("size", [(100, 30), (60, 16)])
async def test_a_bar_that_is_not_there_is_told(stage: "OpenStage", size: tuple[int, int]) -> None:
    async with stage(SONG, size) as player:
        await player.press("space", "g")
        await player.type("99")
        await player.press("enter")
        assert "No bar 99: the bars go from 1 to 23, the pickup is 0." in player.text
        assert "bar 1 " in player.line("where")


async def test_going_to_a_bar_takes_the_next_pass_ahead(stage: "OpenStage") -> None:
    async with stage(SONG) as player:
        await player.press(*["space"] * 5, "g", "3", "enter")
        assert "2nd time · bar 3 · step 12 of 30" in player.line("where")


async def test_the_words_follow_the_pass(stage: "OpenStage") -> None:
    async with stage(SONG) as player:
        await player.press("space")
        assert "lan-" in player.text
        assert "terns" in player.text
        await player.press(*["space"] * 8)
        assert "2nd time · bar 1 · step 10" in player.line("where")
        assert "moth-" in player.text
        assert "lan-" not in player.text


async def test_the_jump_is_counted_down(stage: "OpenStage") -> None:
    async with stage(SONG) as player:
        await player.press(*["space"] * 7)
        assert player.line("where").endswith("in 2 bars: repeat, 2nd time")
        await player.press("space")
        assert player.line("where").endswith("next: repeat, 2nd time")
        assert "»1" in player.part("road")[0], "the road shows where the jump leads"


async def test_the_key_signature_is_told_in_words_where_there_is_room(stage: "OpenStage") -> None:
    async with stage(SONG, (80, 24)) as player:
        assert "G major (1 sharp: F♯)" in player.line("song")
        await player.resize(60, 16)
        assert "G major 1♯" in player.line("song")


async def test_a_key_without_sharps_or_flats_has_no_gap_in_its_line(stage: "OpenStage") -> None:
    async with stage("first-lamp", (60, 16)) as player:
        assert "C major · 4/4" in player.line("song")


async def test_resizing_reflows(stage: "OpenStage") -> None:
    async with stage(SONG, (100, 30)) as player:
        await player.press("space")
        wide = player.part("now")
        for size, shown in [((60, 16), 5), ((140, 45), 14), ((80, 24), 8), ((100, 30), 10)]:
            await player.resize(*size)
            assert len(player.rows) == size[1]
            assert "bar 1 · step 2 of 30" in player.line("where")
            assert "? help" in player.rows[-1]
            bars = sum(sign in "▌│»" for sign in player.line("road"))
            assert bars == shown, "as many bars as there is room for"
        assert player.part("now") == wide


async def test_a_larger_terminal_has_larger_letters(stage: "OpenStage") -> None:
    async with stage(SONG, (80, 24)) as player:
        await player.press("space")
        ink = []
        for size in [(60, 16), (80, 24), (100, 30), (160, 50)]:
            await player.resize(*size)
            ink.append(sum(bool(set(row) & set("█▛▜▙▟▀▄")) for row in player.part("now")))
        assert ink == sorted(ink)
        assert ink[0] >= 4
        assert ink[-1] > ink[0]


async def test_a_very_small_terminal_does_no_harm(stage: "OpenStage") -> None:
    async with stage(SONG, (80, 24)) as player:
        for size in [(20, 5), (1, 1), (10, 40), (250, 70)]:
            await player.resize(*size)
            await player.press("space", "m", "left")
        await player.resize(80, 24)
        assert "Verse · pickup · step 1 of 30" in player.line("where")


@pytest.mark.parametrize("size", [(100, 30), (60, 16)])
async def test_names_that_look_like_markup_are_shown_whole(
    stage: "OpenStage", lead: Callable[..., Path], size: tuple[int, int]
) -> None:
    chart = lead(
        "title [A] Blue [/]\nkey C major\nmeter 4/4\n\nsection [Verse]\n"
        "chords | C7[b9] | Am7 |\ntune | C4:4 | A4:4 |\nwords | [la] | [b]low |\n"
    )
    async with stage(chart, size) as player:
        assert player.line("song").startswith("[A] Blue [/]")
        assert player.line("where").startswith("[Verse] · bar 1")
        assert any("[la]" in row for row in player.part("bar"))
        await player.press("m")
        assert "Marked bar 1, C7[♭9]" in player.text or "Marked bar 1, C7[b9]" in player.text
        await player.press("t")
        assert "[A] Blue [/]" in player.text
        assert "C7[♭9]" in player.text
        await player.press("escape", "o")
        assert "[A] Blue [/]" in player.text


async def test_a_chord_with_brackets_stands_on_the_road(
    stage: "OpenStage", lead: Callable[..., Path]
) -> None:
    chart = lead("title T\nmeter 4/4\n\nchords | F | C7[b9] | N.C. |\n")
    async with stage(chart, (100, 30)) as player:
        assert "C7[♭9]" in player.part("road")[1]
        await player.press("down")
        assert "C7[♭9]" in player.part("bar")[1]
        assert "N.C." in player.part("road")[1]


async def test_wide_letters_keep_their_columns(
    stage: "OpenStage", lead: Callable[..., Path]
) -> None:
    chart = lead(
        "title 港の灯り\nmeter 4/4\n\nsection 夜\nchords | C |\n"
        "tune | C4:1 D4:1 E4:1 F4:1 |\nwords | み なと の 灯 |\n"
    )
    async with stage(chart, (80, 24)) as player:
        assert player.line("song").startswith("港の灯り")
        assert player.line("where").startswith("夜 · bar 1")
        words = next(row for row in player.part("bar") if "なと" in row)
        assert words.split() == ["み", "なと", "の", "灯"]


async def test_a_chart_of_two_thousand_bars_opens_and_steps(
    stage: "OpenStage", lead: Callable[..., Path]
) -> None:
    systems = "\n\n".join("chords | C | Am7 | Dm7 | G7[b9] |" for _ in range(500))
    async with stage(lead(f"title Long\nmeter 4/4\n\n{systems}\n")) as player:
        assert "bar 1 · step 1 of 2000" in player.line("where")
        await player.press("space", "down")
        assert "step 3 of 2000" in player.line("where")
        await player.press("g", "1", "9", "9", "9", "enter", "space")
        assert "bar 2000 · step 2000 of 2000" in player.line("where")
        await player.press("up", "m", "r", "r")
        assert player.clock.running
        await player.press("home")
        assert "step 1 of 2000" in player.line("where")


async def test_a_chart_of_chords_alone_is_enough(
    stage: "OpenStage", lead: Callable[..., Path]
) -> None:
    async with stage(lead("title T\nmeter 3/4\n\nchords | C | F |\n"), (80, 24)) as player:
        beats = player.line("bar").replace("─", " ").replace("│", " │ ").split()
        assert beats == ["1", "2", "3", "│", "1", "2", "3"]
        await player.press("r", "r", "m", "end", "home")
        assert "bar 1 ×1 · step 1 of 2" in player.line("where")


async def test_the_bar_under_way_and_the_next_one_stand_side_by_side(stage: "OpenStage") -> None:
    for size in SIZES:
        async with stage(SONG, size) as player:
            await player.press("g", "8", "enter")
            words = player.part("bar")[-1]
            here, _, coming = words.partition("│")
            assert here.split() == ["tide.", "My"], size
            assert coming.split()[0] == "moth-", "the next bar, over the jump"
            await player.press("end")
            assert "│" not in player.line("bar"), "nothing comes after the last bar"


async def test_where_we_are_tells_trouble_in_the_colour_of_marks(stage: "OpenStage") -> None:
    async with stage(SONG) as player:
        await player.press("space", "m")
        row = player.app.screen._compositor.render_strips()[player.region("where").y]
        inked = {span.text: span.style for span in row if span.text.strip() and span.style}
        assert inked[" ×1"].color != inked[" · step 2 of 30"].color
        road = player.app.screen._compositor.render_strips()[player.region("road").y]
        signs = {span.style.color for span in road if "×" in span.text and span.style}
        assert signs == {inked[" ×1"].color}, "as on the road, on both passes"


@pytest.mark.parametrize("size", [(100, 30), (60, 16)])
async def test_what_the_reader_had_to_mend_is_told(
    stage: "OpenStage", tmp_path: Path, size: tuple[int, int]
) -> None:
    sheet = tmp_path / "own.musicxml"
    sheet.write_text(MENDED, encoding="utf-8")
    first = open_song(sheet).warnings[0].message
    async with stage(sheet, size) as player:
        wide = size[0] >= 100
        expected = f"1 notice about this file{f': {first}' if wide else ''}. ? lists all."
        assert player.message == expected
        await player.press("question_mark", "end")
        await player.until(lambda: "Pain is a sign to stop" in player.text)
        assert player.squeezed.count(first) == 1


async def test_notices_are_counted(stage: "OpenStage", tmp_path: Path) -> None:
    sheet = tmp_path / "own.musicxml"
    sheet.write_text(MENDED.replace("<kind>major</kind>", "<kind>odd</kind>"), encoding="utf-8")
    count = len(open_song(sheet).warnings)
    assert count == 2
    async with stage(sheet, (80, 24)) as player:
        assert player.message == "2 notices about this file. ? lists all."
        await player.resize(100, 120)
        await player.press("question_mark")
        for warning in open_song(sheet).warnings:
            assert f" bar {warning.bar}: {warning.message} " in player.squeezed


async def test_a_file_without_notices_says_nothing(stage: "OpenStage") -> None:
    async with stage(SONG) as player:
        assert player.message == ""


@pytest.mark.parametrize(
    "title", ["L’été\u00a0!", "港の\u3000灯り", "نمی\u200cدانم"], ids=["fixed", "wide", "joiner"]
)
async def test_letters_and_spaces_of_any_script_are_no_control_characters(
    stage: "OpenStage", lead: Callable[..., Path], title: str
) -> None:
    async with stage(lead(f"title {title}\nmeter 4/4\n\nchords | C |\n")) as player:
        assert "·" not in player.line("song").partition(" major")[0]


STEERING = "Steer\x1b[2Jing \x9b31m\x07"


async def test_what_would_steer_the_terminal_is_shown_as_a_dot(
    stage: "OpenStage", lead: Callable[..., Path]
) -> None:
    song = open_song(lead("title T\nmeter 4/4\n\nchords | C | F |\n"))
    object.__setattr__(song.chart, "title", STEERING)  # no reader lets this through
    async with stage(song) as player:
        assert player.line("song").startswith("Steer·[2Jing ·31m·")
        strips = player.app.screen._compositor.render_strips()
        assert "".join(strip.text for strip in strips).isprintable()


MENDED = """<?xml version="1.0" encoding="UTF-8"?>
<score-partwise version="4.0">
  <work><work-title>Mended</work-title></work>
  <part-list><score-part id="P1"><part-name>Tune</part-name></score-part></part-list>
  <part id="P1">
    <measure number="1">
      <barline location="left"><repeat direction="forward"/></barline>
      <attributes><divisions>1</divisions><time><beats>4</beats><beat-type>4</beat-type></time>
      </attributes>
      <harmony><root><root-step>C</root-step></root><kind>major</kind></harmony>
      <note><pitch><step>C</step><octave>4</octave></pitch><duration>4</duration></note>
    </measure>
    <measure number="2">
      <note><pitch><step>D</step><octave>4</octave></pitch><duration>4</duration></note>
    </measure>
  </part>
</score-partwise>
"""


async def test_what_is_told_while_a_screen_comes_up_is_told_once_it_is_there(
    stage: "OpenStage", demo: Callable[[str], Path]
) -> None:
    async with stage("first-lamp") as player:
        player.app.open(open_song(demo("seven-buoys")))
        player.app.say("The piano is back.")
        player.app.hear()
        player.app._pass_on_news()
        await player.sees("The piano is back.")
        assert player.line("song").startswith("Seven Buoys")
        await player.press("o")
        player.app.say("The piano is gone.")
        await player.sees("The piano is gone.")


@pytest.mark.parametrize("key", ["s", "a"])
async def test_where_no_chord_sounds_that_is_told(
    stage: "OpenStage", lead: Callable[..., Path], key: str
) -> None:
    path = lead("title T\nmeter 4/4\n\nroad | pickup | |\nchords | | N.C. |\ntune | G4:1 | r:4 |\n")
    async with stage(path) as player:
        await player.press(key)
        assert "No chord in the pickup." in player.text
        await player.press("space", key)
        assert "No chord here; the tune goes on alone." in player.text
        assert not player.clock.struck


async def test_a_tick_after_the_last_screen_has_gone_is_no_trouble(stage: "OpenStage") -> None:
    async with stage("first-lamp") as player:
        app = player.app
    assert not app.screen_stack
    app.hear()
