"""On every step of the demo songs what is drawn fits the screens that are promised."""

from pathlib import Path

import pytest
from rich.cells import cell_len
from tests.tui.plain_rows import plain_rows

from chartwalk.files import open_song
from chartwalk.practice import Session
from chartwalk_tui import views
from chartwalk_tui.demos import demo_songs
from chartwalk_tui.widgets.bar_grid import draw_bar
from chartwalk_tui.widgets.chord_next import draw_next
from chartwalk_tui.widgets.chord_now import ChordNowView
from chartwalk_tui.widgets.drawing import Picture
from chartwalk_tui.widgets.text_line import TextLine

# Of each terminal: the sizes of the chord now, the chord next, the bar and the lines.
SIZES = {
    "100x30": ((57, 11), (38, 11), (98, 4), (100, 1)),
    "80x24": ((45, 9), (30, 9), (78, 4), (80, 1)),
    "60x16": ((33, 6), (22, 6), (58, 3), (60, 1)),
}


def cut(picture: Picture, width: int, height: int) -> list[str]:
    """Find the rows that stick out of their place."""
    rows = plain_rows(picture)
    return [row for row in rows if cell_len(row) > width] + rows[height:]


def sessions(path: Path) -> list[Session]:
    """Every chord of every step."""
    session = Session(open_song(path))
    found = [session]
    while (session := session.next_change()) != found[-1]:
        found.append(session)
    return found


@pytest.mark.parametrize("terminal", SIZES)
@pytest.mark.parametrize("path", demo_songs(), ids=lambda path: path.stem)
class TestDemo:
    def test_the_chord_now_is_whole(self, path: Path, terminal: str) -> None:
        size = SIZES[terminal][0]
        for session in sessions(path):
            assert not cut(ChordNowView().draw(views.chord_now(session), *size), *size)

    def test_the_chord_next_is_whole(self, path: Path, terminal: str) -> None:
        size = SIZES[terminal][1]
        for session in sessions(path):
            value = views.chord_next(session)
            picture = draw_next(value, *size)
            assert not cut(picture, *size)
            rows = plain_rows(picture)
            symbol = value.letters.root + value.letters.suffix + value.letters.bass
            large = any(set(row) & set("█▌▀▄") for row in rows)
            assert large or any(symbol in row for row in rows), "the symbol was cut"

    def test_the_bar_is_whole(self, path: Path, terminal: str) -> None:
        size = SIZES[terminal][2]
        for session in sessions(path):
            assert not cut(draw_bar(views.bar_view(session), *size), *size)

    def test_the_song_line_is_whole(self, path: Path, terminal: str) -> None:
        size = SIZES[terminal][3]
        for session in sessions(path):
            picture = TextLine().draw(views.song_line(session), *size)
            assert not cut(picture, *size)
            assert "…" not in plain_rows(picture)[0]

    def test_where_we_are_says_section_pass_bar_and_step(self, path: Path, terminal: str) -> None:
        size = SIZES[terminal][3]
        for session in sessions(path):
            (row,) = plain_rows(TextLine().draw(views.where_line(session), *size))
            section = session.song.section_names[session.here.bar]
            assert section in row
            number = session.bar.number
            assert f" · {'pickup' if number == '0' else f'bar {number}'} ·" in row
            assert f"step {session.step + 1}" in row or terminal == "60x16"
