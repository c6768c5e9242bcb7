"""The Symbol screen: one chord in full."""

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from chartwalk.midi import Ports

if TYPE_CHECKING:
    from tests.tui.conftest import OpenStage, Player

SIZES = [(100, 30), (80, 24), (60, 16)]
CHORDS = """\
title    One Lamp
meter    4/4
key      B minor
chords   | B-7#5 | C/E | N.C. | C13 | B-7#5 Em | C7alt |
"""


def lit(player: "Player") -> list[str]:
    """The names on the keys of the keyboard, white ones last."""
    text = " ".join(player.part("keyboard"))
    return [word for word in text.replace("█", " ").replace("▕", " ").split() if word != "C4"]


@pytest.mark.parametrize("size", SIZES)
async def test_the_symbol_is_taken_apart_line_by_line(
    stage: "OpenStage", lead: Callable[..., Path], size: tuple[int, int]
) -> None:
    async with stage(lead(CHORDS), size) as player:
        await player.press("c")
        assert player.room == "Symbol"
        assert "B-7♯5" in player.line("song")
        assert "B minor" in player.line("song")
        await player.press("up", "up", "up")
        for line in (
            "▶ B",
            "the root",
            "minor, so B D F♯",
        ):
            assert line in player.text
        await player.press("down", "down", "down")
        assert "▶ ♯5" in player.text
        assert "raise the fifth to F♯♯, the key G" in player.text
        assert "? help" in player.line("foot")


async def test_the_keyboard_lights_as_the_symbol_builds(
    stage: "OpenStage", lead: Callable[..., Path]
) -> None:
    async with stage(lead(CHORDS)) as player:
        await player.press("c")
        assert sorted(lit(player)) == ["A", "B", "D", "G"], "the whole chord, G for F♯♯"
        seen = []
        await player.press("up", "up", "up", "up", "up")
        for _ in range(4):
            seen.append(sorted(lit(player)))
            await player.press("down")
        assert seen == [["B"], ["B", "D", "F♯"], ["A", "B", "D", "F♯"], ["A", "B", "D", "G"]]


async def test_the_bass_is_the_last_piece(stage: "OpenStage", lead: Callable[..., Path]) -> None:
    async with stage(lead(CHORDS)) as player:
        await player.press("space", "c")
        assert "E in the bass, the 3rd of the chord" in player.text
        assert "over E, the 3rd" in player.text
        await player.press("up")
        assert "over E" not in " ".join(player.part("now"))


async def test_other_spellings_and_where_else(
    stage: "OpenStage", lead: Callable[..., Path]
) -> None:
    async with stage(lead(CHORDS)) as player:
        await player.press("c")
        assert "Bm7♯5" in player.line("also")
        assert player.line("bars") == "in this song  2 bars: 1 5"


async def test_neighbours_sound_and_say_what_moves(
    stage: "OpenStage", lead: Callable[..., Path]
) -> None:
    async with stage(lead(CHORDS)) as player:
        await player.press("c", "s")
        # B3 D4 G4 A4: the bass between C3 and B3, the rest close above it
        assert player.clock.struck == [(59, 62, 67, 69)]
        assert "Compare by ear" in player.text
        await player.press("down")
        assert "▶ Bm7" in player.text
        assert "G→F♯" in player.text
        await player.press("s")
        assert player.clock.struck[-1] == (59, 62, 66, 69)


async def test_what_is_usually_left_out_is_marked_and_not_sounded(
    stage: "OpenStage", lead: Callable[..., Path]
) -> None:
    async with stage(lead(CHORDS)) as player:
        await player.press("space", "space", "space", "s")
        assert "[F]" in " ".join(player.part("now"))
        keys = player.clock.struck[-1]
        assert 65 % 12 not in {key % 12 for key in keys}
        await player.press("c")
        assert "usually left out: F, the 11th" in player.text


async def test_alt_names_its_choice(stage: "OpenStage", lead: Callable[..., Path]) -> None:
    async with stage(lead(CHORDS)) as player:
        await player.press("end")
        shown = " ".join(player.part("now"))
        for degree in ("♭5?", "♯5?", "♭9?", "♯9?"):
            assert degree in shown
        await player.press("c")
        assert "choose G♭ or G♯ for the fifth and D♭ or D♯ for the 9th" in " ".join(
            player.text.split()
        )
        assert "C7(♯5,♯9)" in player.text


async def test_no_chord_has_nothing_to_sound(stage: "OpenStage", lead: Callable[..., Path]) -> None:
    async with stage(lead(CHORDS)) as player:
        await player.press("space", "space", "c")
        assert player.room == "Symbol"
        assert "no chord here; the tune goes on alone" in player.text
        await player.press("down", "up", "s", "escape")
        assert player.room == "Stand"


async def test_before_the_first_chord(stage: "OpenStage", lead: Callable[..., Path]) -> None:
    song = "title One Lamp\nmeter 4/4\ntune | C4:4 |\n"
    async with stage(lead(song)) as player:
        await player.press("c")
        assert player.room == "Stand"
        assert "No chord here yet" in player.message


@pytest.mark.parametrize("key", ["escape", "c"])
async def test_back_to_the_same_place(
    stage: "OpenStage", lead: Callable[..., Path], key: str
) -> None:
    async with stage(lead(CHORDS)) as player:
        await player.press("space", "space", "space", "c", "down", key)
        assert player.room == "Stand"
        assert "bar 4 · step 4" in player.line("where")


async def test_why_nothing_sounds(
    stage: "OpenStage", lead: Callable[..., Path], no_midi: Ports
) -> None:
    async with stage(lead(CHORDS), ports=no_midi) as player:
        await player.press("s")
        assert player.message.startswith("No sound.")
        await player.press("c", "s")
        assert player.message.startswith("No sound.")
