"""Files on a disk: their bytes, and roads that can't be walked."""

from collections.abc import Callable
from pathlib import Path

import pytest

from chartwalk.files import open_song
from chartwalk.problems import ChartError

Refused = Callable[[Path], list[str]]

HEAD = "title T\nmeter 4/4\n\n"
# Rows from line 4 on, places, what the message names.
ROADS = [
    ("road | | ds |\nchords | C | D |", ["4:10"], ["D.S. without a segno"]),
    ("road | |  dc al fine |\nchords | C | D |", ["4:11"], ["D.C. al Fine without a Fine"]),
    ("chords | C |: D |", ["4:15"], ["never closed", ":|"]),
    ("chords | C |\n\nroad | |\nchords |: D |", ["6:8"], ["never closed"]),
    ("road | segno | segno | ds |\nchords | C | D | E |", ["4:16"], ["a second segno"]),
    ("road | | 2. |\nchords | C | D |", ["4:10"], ["2.", "outside a repeat"]),
    (
        "road | ds | coda |\nchords | C | D |\n\nchords | E |: F |",
        ["4:8", "7:15"],
        ["segno", "never closed"],
    ),
    ("chords | C |\n\nroad | | 1. | 3. |\nchords |: C | D :| E |", ["6:10"], ["pass 2"]),
]


@pytest.fixture
def refused() -> Refused:
    """Open a song that can't be opened; give its problems without the path of the folder."""

    def problems(path: Path) -> list[str]:
        with pytest.raises(ChartError) as caught:
            open_song(path)
        assert all(problem.file == str(path) for problem in caught.value.problems)
        return [str(problem).removeprefix(str(path)) for problem in caught.value.problems]

    return problems


def test_a_song_from_a_file(tmp_path: Path) -> None:
    path = tmp_path / "T.LEAD"
    path.write_bytes(b"\xef\xbb\xbf" + HEAD.replace("\n", "\r\n").encode() + b"chords | C |\r\n")
    song = open_song(path)
    assert (song.chart.title, len(song.steps), song.path) == ("T", 1, path)
    assert song.warnings == ()


def test_old_line_ends(tmp_path: Path) -> None:
    path = tmp_path / "x.lead"
    path.write_bytes(b"title T\rmeter 4/4\r\rchords | C |\r\rchords | D |\r")
    assert len(open_song(path).bars) == 2


@pytest.mark.parametrize(("rows", "places", "named"), ROADS)
def test_roads_that_can_not_be_walked(
    tmp_path: Path, refused: Refused, rows: str, places: list[str], named: list[str]
) -> None:
    path = tmp_path / "x.lead"
    path.write_text(HEAD + rows, encoding="utf-8")
    found = refused(path)
    assert [problem.split()[0].removeprefix(":") for problem in found] == places
    assert all(any(text in problem for problem in found) for text in named), found


def test_a_song_that_is_never_played(tmp_path: Path, refused: Refused) -> None:
    path = tmp_path / "x.lead"
    path.write_text(HEAD + "road | 0x |\nchords |: C :|", encoding="utf-8")
    (problem,) = refused(path)
    assert "0 times" in problem


@pytest.mark.parametrize(
    ("before", "place"),
    [
        ("", "1:1"),
        ("title T\nmeter 4/4\n", "3:1"),
        ("title T\nmeter 4/4\nwords | ", "3:9"),
        ("title T\r\nmeter 4/4\r\nwords | ", "3:9"),
        ("title T\nmeter 4/4\nwords | été ", "3:13"),  # the column counts characters
        ("title Ä 夜\nwords | ", "2:9"),
    ],
)
@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
def test_bytes_that_are_not_utf_8(
    tmp_path: Path, refused: Refused, before: str, place: str, mark: bytes
) -> None:
    path = tmp_path / "x.lead"
    path.write_bytes(mark + before.encode() + "süß |\n".encode("latin-1")[1:])
    (problem,) = refused(path)
    assert problem.startswith(f":{place} ")
    assert "UTF-8" in problem


def test_a_file_in_utf_16(tmp_path: Path, refused: Refused) -> None:
    path = tmp_path / "x.lead"
    path.write_bytes("title T\nmeter 4/4\nchords | C |\n".encode("utf-16"))
    (problem,) = refused(path)
    assert problem.startswith(":1:1 ")
    assert "UTF-8" in problem


def test_a_missing_file(tmp_path: Path, refused: Refused) -> None:
    (problem,) = refused(tmp_path / "none.lead")
    assert problem == " can't be opened: no such file or directory"


@pytest.mark.parametrize("name", ["folder.lead", "folder.musicxml", "folder.mxl"])
def test_a_folder(tmp_path: Path, refused: Refused, name: str) -> None:
    (tmp_path / name).mkdir()
    (problem,) = refused(tmp_path / name)
    assert "is a directory" in problem.lower()


@pytest.mark.parametrize(
    ("name", "found"), [("x.pdf", ".pdf"), ("x", "without an ending"), ("x.lead.bak", ".bak")]
)
def test_a_file_of_another_kind(tmp_path: Path, refused: Refused, name: str, found: str) -> None:
    path = tmp_path / name
    path.write_text(HEAD + "chords | C |", encoding="utf-8")
    (problem,) = refused(path)
    assert found in problem
    assert all(ending in problem for ending in (".lead", ".musicxml", ".mxl"))


def test_an_empty_file(tmp_path: Path, refused: Refused) -> None:
    path = tmp_path / "x.lead"
    path.write_bytes(b"")
    (problem,) = refused(path)
    assert problem.startswith(":1:1 ")


def test_a_file_that_is_far_too_large(tmp_path: Path) -> None:
    path = tmp_path / "huge.lead"
    with path.open("wb") as file:
        file.truncate(100 * 2**20)
    with pytest.raises(ChartError, match="at most 4 MB"):
        open_song(path)
