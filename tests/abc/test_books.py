"""Tunebooks and files: which tunes there are, how one is named, what is refused."""

from pathlib import Path

import pytest

from chartwalk import abc
from chartwalk.files import open_song
from chartwalk.problems import ChartError

BOOK = """%abc
M:3/4
L:1/4
U:T=!segno!

Free text with a | in it.

X:4
T:Ebb Tide
K:C
CDE|

Between tunes.

X:12
T:Flow Tide
T:The Slack
M:4/4
K:G
F4|

X:4
K:D
F3|

X:
T:No Number
K:F
B3|
"""


@pytest.fixture
def book(tmp_path: Path) -> Path:
    path = tmp_path / "harbour.abc"
    path.write_text(BOOK, encoding="utf-8")
    return path


def test_the_tunes_of_a_book(book: Path) -> None:
    assert abc.tunes(book) == [
        (4, "Ebb Tide"),
        (12, "Flow Tide"),
        (13, "harbour 13"),
        (14, "No Number"),
    ]


@pytest.mark.parametrize(
    ("number", "title", "note"),
    [
        (4, "Ebb Tide", "C4"),
        (12, "Flow Tide", "F♯4"),
        (13, "harbour 13", "F♯4"),
        (14, "No Number", "B♭4"),
    ],
)
def test_one_tune_of_a_book(book: Path, number: int, title: str, note: str) -> None:
    for reading in (abc.read(book, number), abc.read(Path(f"{book}#{number}"))):
        chart = reading.chart
        assert chart.title == title
        assert str(chart.bars[0].tune[0].pitch) == note
        assert not reading.warnings


def test_fields_of_the_file_hold_for_every_tune(book: Path) -> None:
    """Section 2.2.2; a tune's own fields go before."""
    meters = [str(abc.read(book, number).chart.bars[0].meter) for number in (4, 12, 13)]
    assert meters == ["3/4", "4/4", "3/4"]


def test_a_book_without_a_number_opens_its_first_tune(book: Path) -> None:
    reading = abc.read(book)
    assert reading.chart.title == "Ebb Tide"
    assert [w.message for w in reading.warnings] == [
        "the first of 4 tunes: open another as FILE#NUMBER"
    ]


def test_the_song_of_a_tune_keeps_its_name(book: Path) -> None:
    song = open_song(Path(f"{book}#12"))
    assert song.path == Path(f"{book}#12")
    assert song.identity.endswith("harbour.abc#12")
    assert song.chart.title == "Flow Tide"
    assert open_song(book).chart.title == "Ebb Tide"


def test_a_file_may_have_such_a_name_itself(tmp_path: Path) -> None:
    path = tmp_path / "tide.abc#2"
    path.write_text("X:1\nT:Itself\nK:C\nC4|", encoding="utf-8")
    assert open_song(path).chart.title == "Itself"


def test_a_number_that_is_not_there(book: Path) -> None:
    with pytest.raises(ChartError) as caught:
        open_song(Path(f"{book}#5"))
    assert str(caught.value) == f"{book}:1:1 no tune 5: there are 4, from 4 to 14"


def test_a_tune_without_a_title_has_the_name_of_its_file(tmp_path: Path) -> None:
    path = tmp_path / "ebb\ttide\x1b.abc"
    path.write_text("X:3\nK:C\nC4|\n\nX:4\nK:C\nD4|")
    assert open_song(path).chart.title == "ebb tide 3"
    assert abc.tunes(path) == [(3, "ebb tide 3"), (4, "ebb tide 4")]


def test_a_book_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(ChartError, match="can't be opened: no such file"):
        open_song(tmp_path / "none.abc#3")


REFUSED = [
    ("", "1:1 no tune: it begins with X:1 and its music follows the K: field"),
    ("Some text.\n| C | G |", "1:1 no tune: it begins with X:1 and its music follows the K: field"),
    ("\nX:1\nT:Ebb\nM:4/4\n", "2:1 no K: field: the music of a tune begins after its key"),
    ("X:1\nT:Ebb\nK:C\n", "1:1 this tune has no notes: write music after the K: field"),
    ("X:1\nK:C\n|:|]\n", "1:1 this tune has no notes: write music after the K: field"),
]


@pytest.mark.parametrize(("text", "problem"), REFUSED)
def test_what_is_refused(tmp_path: Path, text: str, problem: str) -> None:
    path = tmp_path / "x.abc"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(ChartError) as caught:
        open_song(path)
    assert str(caught.value) == f"{path}:{problem}"


def test_a_file_too_large(tmp_path: Path) -> None:
    path = tmp_path / "x.abc"
    with path.open("wb") as file:
        file.truncate(100 * 1024 * 1024)
    with pytest.raises(ChartError, match="larger than 32 MB"):
        open_song(path)


def test_a_tune_without_a_number_at_all() -> None:
    """Section 2.3.1: a fragment."""
    reading = abc.loads("T:Ebb\nM:4/4\nL:1/4\nK:C\nCDEF|", "x.abc")
    assert reading.chart.title == "Ebb"
    assert [w.message for w in reading.warnings] == ["no X: field: the file is read as one tune"]


def test_music_after_an_empty_line_is_told() -> None:
    """Section 2.2.4: an empty line ends a tune."""
    reading = abc.loads("X:1\nK:C\n\nC8|\n\nfree text\nD8|\n")
    assert len(reading.chart.bars) == 1
    assert [(w.line, w.message) for w in reading.warnings] == [
        (7, "music after an empty line is no part of the tune")
    ]


@pytest.mark.parametrize(
    ("data", "title"),
    [
        ("X:1\nT:Ébb\nK:C\nC8|".encode(), "Ébb"),
        ("\ufeffX:1\nT:Ébb\nK:C\nC8|".encode(), "Ébb"),
        ("X:1\nT:Ébb\nK:C\nC8|".encode("latin-1"), "Ébb"),
        ("%%abc-charset iso-8859-2\nX:1\nT:Łódź\nK:C\nC8|".encode("iso-8859-2"), "Łódź"),
        (b"X:1\r\nT:Ebb\r\nK:C\r\nC8|\r\n", "Ebb"),
        (b"X:1\rT:Ebb\rK:C\rC8|\r", "Ebb"),
        (rb"X:1" + b"\n" + rb"T:\'Ebb &amp; Fl\"ow 100\% % so" + b"\nK:C\nC8|", "Ébb & Flöw 100%"),
    ],
)
def test_text_of_all_kinds(tmp_path: Path, data: bytes, title: str) -> None:
    """Sections 2.2.4, 3.1.17 and 8.2."""
    path = tmp_path / "x.abc"
    path.write_bytes(data)
    reading = abc.read(path)
    assert reading.chart.title == title
    assert len(reading.chart.bars) == 1


def test_typeset_text_is_passed_over() -> None:
    reading = abc.loads("X:1\nK:C\n%%begintext\nC | D | E\n%%endtext\nC8|")
    assert len(reading.chart.bars) == 1
