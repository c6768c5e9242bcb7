"""The song in another key and at another depth, numerals under its chords, a bass that walks."""

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from chartwalk.analysis.analyst import Analyst
from chartwalk.analysis.question import NumeralQuestion, Question

if TYPE_CHECKING:
    from tests.tui.conftest import OpenStage, Player

SIZES = [(100, 30), (80, 24), (60, 16)]
SONG = "lanterns-at-low-tide"  # G major; bar 1 is G D/F♯, bar 2 Em7 G/D
WALL = "light-on-the-long-wall"  # its bars are crowded
RUN = """\
title    Rope and Lamp
meter    4/4
key      C major
tempo    60
chords   | Cmaj7 Dm7/G | G13sus4 C6 | F#m7b5 Bb9 | Am7 D7 |
"""


class Teacher:
    """A worker that knows the numerals of a few triads and one key, at once."""

    NUMERALS = {"G4": "I", "D4": "V", "E4": "vi", "A4": "II"}  # noqa: RUF012

    def __init__(self, key: str = "G major") -> None:
        self.tonic, self.mode = key.split()

    def wait_until_ready(self) -> None:
        """Be ready."""

    def ask(self, questions: Sequence[Question]) -> list[Any]:
        return [self._answer(question) for question in questions]

    def end(self) -> None:
        """Nothing runs."""

    def close(self) -> None:
        """Nothing runs."""

    def _answer(self, question: Question) -> object:
        if isinstance(question, NumeralQuestion):
            return self.NUMERALS.get(question.triad[0], "")
        keys = [(tonic, mode) for tonic in "CDEFGAB" for mode in ("major", "minor")]
        return [(t, m, 0.9 if (t, m) == (self.tonic, self.mode) else 0.1) for t, m in keys]


async def hears(player: "Player", condition: Callable[[], object]) -> None:
    """Wait until something is true, looking now and then for what has been found out."""

    def heard() -> object:
        player.app.hear()
        return condition()

    await player.until(heard)


@pytest.mark.parametrize("size", SIZES)
async def test_the_key_goes_up_and_down_and_the_place_is_kept(
    stage: "OpenStage", size: tuple[int, int]
) -> None:
    async with stage(SONG, size) as player:
        await player.press("space", "space", "down")
        before = player.rows
        await player.press("full_stop", "full_stop")
        assert "A major" in player.line("song")
        assert player.message == "A major: up a major second."
        assert "bar 2 · step 3" in player.line("where")
        assert "over E, the 5th" in player.text, "A/E, the second chord of the bar"
        await player.press("comma", "comma")
        assert "G major" in player.line("song")
        assert player.message == "G major, as written."
        player.stand.hush()
        await player.pilot.pause()
        assert player.rows == before, "there and back"


async def test_no_key_is_farther_than_an_octave(stage: "OpenStage") -> None:
    async with stage(SONG) as player:
        await player.press(*["full_stop"] * 13)
        assert player.message == "G major: up an octave."
        assert "12 up" in player.line("song")


@pytest.mark.parametrize("size", SIZES)
async def test_depths_follow_each_other(
    stage: "OpenStage", lead: Callable[..., Path], size: tuple[int, int]
) -> None:
    async with stage(lead(RUN), size) as player:
        await player.press("d", "d")
        assert "plain" in player.line("song")
        assert player.message.startswith("Plain:")
        assert "5th" in player.text
        assert "7th" not in player.text
        await player.press("d")
        assert player.message == "All chords as written."


async def test_plain_has_no_figures_and_no_slash(
    stage: "OpenStage", lead: Callable[..., Path]
) -> None:
    async with stage(lead(RUN)) as player:
        await player.press("d", "d")
        bars = [bar.strip("▌ ") for bar in player.part("road")[1].split("│")]
        assert bars == ["C Dm", "G C", "F♯dim B♭", "Am D"]
        await player.press("down")
        assert "over" not in " ".join(player.part("now"))


async def test_lean_tells_what_it_leaves_out(stage: "OpenStage") -> None:
    async with stage(WALL) as player:
        await player.press("space", "space", "space", "space", "d")
        assert player.message.startswith("Lean: ")
        assert "left out" in player.message
        spared = [
            f"[{change.symbol}]" for bar in player.stand.session.song.spared for change in bar
        ]
        assert spared
        await player.press("home")
        shown = ""
        for _ in player.stand.session.song.steps:
            shown += " ".join(player.part("bar"))
            await player.press("space")
        assert all(symbol in shown for symbol in spared)


async def test_depth_and_key_change_in_the_middle_of_a_run(
    stage: "OpenStage", lead: Callable[..., Path]
) -> None:
    async with stage(lead(RUN)) as player:
        await player.press("r")
        player.clock.stand_at(2, 3)  # after the count-in: bar 2, beat 4
        await player.sees("bar 2 · step 2")
        await player.press("d", "d", "full_stop", "comma", "comma")
        assert player.clock.running
        assert player.clock.stops == 0
        assert "B major" in player.line("song")
        assert "plain" in player.line("song")
        assert player.stand.session.now.symbol is not None
        assert player.stand.session.now.symbol.display == "B"
        player.clock.stand_at(3, 0)
        await player.sees("bar 3 · step 3")


async def test_numerals_under_the_chords(stage: "OpenStage") -> None:
    async with stage(SONG, analyst=lambda: Analyst(Teacher)) as player:
        await player.press("space", "n")
        await hears(player, lambda: "V" in player.part("bar")[2].split())
        assert player.part("bar")[2].split()[:2] == ["I", "V"]
        await player.press("full_stop")
        await player.press("comma", "n")
        assert "I" not in player.part("bar")[2].split()


async def test_the_numeral_on_the_symbol_screen(stage: "OpenStage") -> None:
    async with stage(SONG, analyst=lambda: Analyst(Teacher)) as player:
        await player.press("space", "c")
        await hears(player, lambda: "I in G major" in player.line("song"))


async def test_a_key_in_doubt_is_said_to_be_a_guess(
    stage: "OpenStage", lead: Callable[..., Path]
) -> None:
    chart = RUN.replace("key      C major\n", "")
    async with stage(
        lead(chart), (100, 30), analyst=lambda: Analyst(lambda: Teacher("G major"))
    ) as player:
        await hears(player, lambda: player.message)
        assert player.message == (
            "The sheet names no key; it sounds like G major. That is a guess."
        )
        assert "C major (G major?)" in player.line("song")
        await player.press("full_stop", "full_stop")
        assert "D major (A major?)" in player.line("song")


async def test_a_key_that_is_contradicted_is_said_to_be_in_doubt(
    stage: "OpenStage", lead: Callable[..., Path]
) -> None:
    teacher = Teacher("G major")
    async with stage(lead(RUN), analyst=lambda: Analyst(lambda: teacher)) as player:
        await hears(player, lambda: player.message)
        assert player.message == (
            "The sheet says C major; tune and chords sound like G major. That is a guess."
        )
        assert "C major (G major?)" in player.line("song")


async def test_a_sheet_without_a_key_in_minor(
    stage: "OpenStage", lead: Callable[..., Path]
) -> None:
    # The relative key contradicts no signature; but where none was written it is the better name.
    chart = RUN.replace("key      C major\n", "")
    teacher = Teacher("A minor")
    async with stage(lead(chart), analyst=lambda: Analyst(lambda: teacher)) as player:
        await hears(player, lambda: player.message)
        assert "it sounds like A minor" in player.message


async def test_a_key_that_agrees_is_left_alone(stage: "OpenStage") -> None:
    async with stage(SONG, analyst=lambda: Analyst(lambda: Teacher("G major"))) as player:
        await player.press("space", "n")
        await hears(player, lambda: "I" in player.part("bar")[2].split())
        assert "?" not in player.line("song")
        assert player.message == ""


async def test_numerals_without_music21(stage: "OpenStage") -> None:
    async with stage(SONG) as player:
        await player.press("n")
        assert "not available" in player.message


async def test_a_bass_that_walks_is_named(stage: "OpenStage") -> None:
    # Bars 1 and 2 are G D/F♯ Em7 G/D C: the bass goes down by step from G.
    async with stage(SONG) as player:
        await player.press("space")
        assert any(row.startswith("bass  walks G F♯ E D C") for row in player.part("next"))
