"""New charts, the player's editor, files that change, and files with problems on the Stand."""

import os
import sys
from collections.abc import Callable
from contextlib import nullcontext
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from chartwalk_tui.app import ChartwalkApp

if TYPE_CHECKING:
    from tests.tui.conftest import OpenStage

GOOD = "title    Half a Lamp\nmeter    4/4\n\nchords   | G | D | Em | C |\n"
BAD = "title    Half a Lamp\nmeter    4/4\n\nchords   | G | D7zz | Em | C |\n"


@pytest.fixture
def editor(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Callable[..., Path]:
    """An editor that writes one text after the other into the file it is given."""
    monkeypatch.setattr(ChartwalkApp, "suspend", lambda _: nullcontext())
    monkeypatch.delenv("VISUAL", raising=False)

    def writing(*texts: str) -> Path:
        queue = tmp_path / "queue"
        queue.mkdir()
        for number, text in enumerate(texts):
            (queue / f"{number}.txt").write_text(text, encoding="utf-8")
        script = tmp_path / "editor.py"
        script.write_text(
            "import sys\nfrom pathlib import Path\n"
            f"queue = sorted(Path({str(queue)!r}).iterdir())\n"
            "chart = Path(sys.argv[1])\n"
            f"Path({str(tmp_path / 'seen.txt')!r}).write_text(chart.read_text())\n"
            "if queue:\n    chart.write_text(queue[0].read_text())\n    queue[0].unlink()\n",
            encoding="utf-8",
        )
        monkeypatch.setenv("EDITOR", f"{sys.executable} {script}")
        return tmp_path / "seen.txt"

    return writing


async def test_a_new_chart_from_the_shelf(
    stage: "OpenStage", editor: Callable[..., Path], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    seen = editor()
    monkeypatch.chdir(tmp_path)
    async with stage() as player:
        await player.press("n")
        await player.type("Half a Lamp")
        await player.press("enter")
        await player.until(lambda: player.room == "Stand")
        assert "Half a Lamp" in player.line("song")
        assert "title    Half a Lamp" in seen.read_text(encoding="utf-8")
        assert (tmp_path / "half-a-lamp.lead").is_file()


async def test_a_title_that_is_taken(
    stage: "OpenStage", editor: Callable[..., Path], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    editor()
    monkeypatch.chdir(tmp_path)
    (tmp_path / "half-a-lamp.lead").write_text(GOOD, encoding="utf-8")
    async with stage() as player:
        await player.press("n")
        await player.type("Half a Lamp")
        await player.press("enter")
        assert "half-a-lamp.lead already" in player.message
        assert (tmp_path / "half-a-lamp.lead").read_text(encoding="utf-8") == GOOD


async def test_problems_stand_beside_the_lines_until_it_is_right(
    stage: "OpenStage", editor: Callable[..., Path], lead: Callable[..., Path]
) -> None:
    editor(BAD, GOOD)
    async with stage(lead(GOOD)) as player:
        await player.press("e")
        await player.sees("4 chords   | G | D7zz | Em | C |")
        rows = player.rows
        place = next(index for index, row in enumerate(rows) if "D7zz | Em" in row)
        assert rows[place + 1].index("▲") == rows[place].index("zz")
        assert "chord 'D7zz'" in rows[place + 2]
        await player.press("e")
        await player.until(lambda: player.room == "Stand")
        assert player.part("road")[1].split("│")[1].strip() == "D"


async def test_going_on_with_what_can_be_read(
    stage: "OpenStage", editor: Callable[..., Path], lead: Callable[..., Path]
) -> None:
    editor(BAD)
    async with stage(lead(GOOD)) as player:
        await player.press("space", "e")
        await player.sees("D7zz")
        await player.press("escape")
        await player.until(lambda: player.room == "Stand")
        await player.sees("▌2 !")
        assert "bar 2" in player.line("where"), "the place is kept"


async def test_no_editor(
    stage: "OpenStage", lead: Callable[..., Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(ChartwalkApp, "suspend", lambda _: nullcontext())
    monkeypatch.setenv("EDITOR", "no-such-editor-anywhere")
    monkeypatch.delenv("VISUAL", raising=False)
    async with stage(lead(GOOD)) as player:
        await player.press("e")
        assert "can't be started" in player.message
        monkeypatch.delenv("EDITOR")
        monkeypatch.setenv("PATH", "")
        await player.press("e")
        assert "set EDITOR" in player.message


async def test_a_file_that_changes_is_read_again_and_the_place_is_kept(
    stage: "OpenStage", lead: Callable[..., Path]
) -> None:
    path = lead(GOOD)
    async with stage(path) as player:
        await player.press("space", "space", "full_stop", "full_stop")
        path.write_text(GOOD.replace("Em | C", "Em7 | C").replace("| G |", "| G | G |"))
        os.utime(path, ns=(1, 1))
        player.app.hear()
        await player.until(lambda: "read again" in player.message)
        assert "bar 3" in player.line("where")
        assert "D major" in player.line("song"), "the key that was chosen stays"


async def test_a_file_that_gets_worse_keeps_the_song(
    stage: "OpenStage", lead: Callable[..., Path]
) -> None:
    path = lead(GOOD)
    async with stage(path) as player:
        path.write_text("no chart at all\n")
        os.utime(path, ns=(1, 1))
        player.app.hear()
        await player.until(lambda: "can't be read" in player.message)
        assert "Half a Lamp" in player.line("song")


async def test_a_run_goes_on_before_the_file_is_read_again(
    stage: "OpenStage", lead: Callable[..., Path]
) -> None:
    path = lead(GOOD)
    async with stage(path) as player:
        await player.press("r")
        path.write_text(GOOD.replace("| D |", "| D7 |"))
        os.utime(path, ns=(1, 1))
        player.app.hear()
        assert player.clock.running
        await player.press("r")
        player.app.hear()
        await player.until(lambda: "read again" in player.message)


@pytest.mark.parametrize("size", [(100, 30), (80, 24), (60, 16)])
async def test_a_chart_with_problems_opens_with_its_bars_flagged(
    stage: "OpenStage", lead: Callable[..., Path], size: tuple[int, int]
) -> None:
    async with stage(None, size) as player:
        player.app.open_path(lead(BAD))
        await player.until(lambda: player.room == "Stand")
        await player.pilot.pause()
        assert player.message.startswith("1 problem in this file, ! flags the bars")
        await player.press("space")
        assert "! chord 'D7zz'" in player.line("where") or "! chord" in player.line("where")
        assert "2 !" in player.line("road")
        await player.press("question_mark")
        assert "zz" in player.app.screen._body.plain  # type: ignore[attr-defined]


async def test_a_hymn_goes_on_with_the_next_verse(
    stage: "OpenStage", lead: Callable[..., Path]
) -> None:
    hymn = (
        "title Lamp\nmeter 4/4\n\nchords | G | D |\ntune | G4:4 | A4:4 |\n"
        "words | one | lit |\nwords 2 | two | glow |\n"
    )
    async with stage(lead(hymn)) as player:
        assert "play it 2 times" in player.message
        assert "round 1 of 2" in player.line("where")
        await player.press("space")
        assert player.line("where").endswith("last bar, then round 2")
        await player.press("space")
        assert "round 2 of 2 · bar 1" in player.line("where")
        assert "two" in player.text


async def test_an_editor_that_can_not_be_understood(
    stage: "OpenStage", lead: Callable[..., Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv("VISUAL", raising=False)
    monkeypatch.setenv("EDITOR", "nano's")
    async with stage(lead(GOOD)) as player:
        await player.press("e")
        await player.until(lambda: "can't be understood" in player.message)


async def test_key_depth_and_place_are_kept_over_an_edit(
    stage: "OpenStage", editor: Callable[..., Path], lead: Callable[..., Path]
) -> None:
    editor(GOOD.replace("Em | C", "Em7 | C"))
    async with stage(lead(GOOD)) as player:
        await player.press("space", "space", "full_stop", "full_stop", "d", "e")
        await player.until(lambda: "read again" in player.message)
        assert "bar 3" in player.line("where")
        assert "D major" in player.line("song")
        assert "lean" in player.line("song")
        assert player.stand.session.now.symbol is not None
        assert player.stand.session.now.symbol.display == "F♯m7"
