"""`chartwalk convert`: a chart as another kind of file, in another key, plainer, in play order."""

import os
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from chartwalk.files import open_song
from chartwalk.leadfile import dumps

if TYPE_CHECKING:
    from tests.commands.conftest import Run

Lead = Callable[[str, str], Path]

MINOR = """title    Low Tide
key      D minor
meter    4/4

chords   | Dm9  | Gm7 C7 |
tune     | F4:4 | D4:4   |
"""


def symbols(path: Path) -> list[str]:
    return [change.symbol.text for bar in open_song(path).bars for change in bar.changes]


@pytest.mark.parametrize("ending", [".lead", ".musicxml", ".xml", ".mxl", ".MXL"])
def test_every_kind_of_file_holds_the_same_chart(
    run: "Run", chart: Path, tmp_path: Path, ending: str
) -> None:
    out = tmp_path / f"out{ending}"
    done = run("convert", chart, out)
    assert (done.status, done.err) == (0, "")
    assert done.lines == [f"{out}: Low [A] Tide, G major, 6 bars"]
    assert open_song(out).chart == open_song(chart).chart
    assert zipfile.is_zipfile(out) == (ending.lower() == ".mxl")


def test_a_lead_file_comes_back_to_the_letter(run: "Run", chart: Path, tmp_path: Path) -> None:
    xml, back = tmp_path / "a.musicxml", tmp_path / "b.lead"
    assert run("convert", chart, xml).status == 0
    assert run("convert", xml, back).status == 0
    assert back.read_text(encoding="utf-8") == dumps(open_song(chart).chart)


def test_as_json(run: "Run", chart: Path, tmp_path: Path) -> None:
    out = tmp_path / "out.musicxml"
    done = run("convert", "--json", chart, out, "--shift", "-2", "--depth", "plain")
    assert (done.status, done.err, len(done.lines)) == (0, "", 1)
    assert done.json == {
        "from": str(chart), "to": str(out), "title": "Low [A] Tide", "key": "F major",
        "depth": "plain", "bars": 6, "warnings": [],
    }  # fmt: skip
    assert symbols(out) == ["C", "F", "Bb", "Edim", "C", "F", "N.C."]


KEYS = [
    ("A major", "A major", "A"), ("A", "A major", "A"), ("a", "A major", "A"),
    ("F", "F major", "F"), ("Bb major", "Bb major", "Bb"), ("  e   major ", "E major", "E"),
    ("G", "G major", "G"), ("C#", "Db major", "Db"),
]  # fmt: skip


@pytest.mark.parametrize("case", KEYS, ids=lambda case: case[0])
def test_a_key_by_name(run: "Run", chart: Path, tmp_path: Path, case: tuple[str, str, str]) -> None:
    asked, key, tonic = case
    out = tmp_path / "out.lead"
    done = run("convert", "--json", chart, out, "--key", asked)
    assert done.status == 0
    assert done.json["key"] == key
    assert open_song(out).bars[0].key.ascii == key
    assert open_song(out).bars[1].changes[0].symbol.text == tonic


def test_a_key_that_is_read_more_easily_by_another_name(
    run: "Run", chart: Path, tmp_path: Path
) -> None:
    done = run("convert", chart, tmp_path / "out.lead", "--key", "C# major")
    assert done.status == 0
    assert done.err == "written in D♭ major, which sounds as C♯ major and is read more easily\n"


@pytest.mark.parametrize(("key", "lowest"), [("A", "A4"), ("F", "F4"), ("C", "C5"), ("D", "D4")])
def test_the_nearest_shift_is_taken(
    run: "Run", chart: Path, tmp_path: Path, key: str, lowest: str
) -> None:
    """The chart is in G and its second bar holds G4."""
    out = tmp_path / "out.lead"
    run("convert", chart, out, "--key", key)
    assert str(open_song(out).bars[1].tune[0].pitch) == lowest


@pytest.mark.parametrize("asked", ["E minor", "Em", "E", "e minor"])
def test_a_song_in_minor_stays_minor(run: "Run", lead: Lead, tmp_path: Path, asked: str) -> None:
    out = tmp_path / "out.lead"
    assert run("convert", lead("low.lead", MINOR), out, "--key", asked).status == 0
    assert symbols(out) == ["Em9", "Am7", "D7"]


def test_written_out_in_play_order(run: "Run", chart: Path, tmp_path: Path) -> None:
    out = tmp_path / "out.lead"
    done = run("convert", chart, out, "--unrolled", "--json")
    assert (done.status, done.json["bars"]) == (0, 8)
    song = open_song(out)
    assert [bar.number for bar in song.bars] == list("01234567")
    assert [section.name for section in song.chart.sections] == ["Verse", "Verse, 2nd time"]
    assert not any(bar.marks for bar in song.bars)


REFUSED = [
    (
        ["out.pdf"],
        2,
        "is no kind that is written; what is: .lead, .musicxml, .xml, .mxl, .mid, .midi",
    ),
    (["out.lead", "--tempo", "72"], 2, "--tempo is for MIDI files: .lead keeps the tempos"),
    (["out.mid", "--tempo", "0"], 2, "a tempo is 1 to 999 beats a minute: 0"),
    (["out.mid", "--tempo", "60.5"], 2, "--tempo: a whole number is wanted, not '60.5'"),
    (["out"], 2, "a file without an ending is no kind that is written"),
    (["out.lead", "--shift", "13"], 2, "at most 12 semitones, not 13"),
    (["out.lead", "--key", "H"], 2, "'H major' is no key"),
    (["out.lead", "--key", ""], 2, "is no key"),
    (["out.lead", "--key", "G# major"], 2, "needs more than 7 sharps or flats"),
    (
        ["out.lead", "--key", "Em"],
        2,
        "the song is in G major, which no shift turns minor: E major?",
    ),
    (["out.lead", "--key", "E", "--shift", "1"], 2, "not allowed with"),
    (["out.lead", "--depth", "deep"], 2, "invalid choice"),
    (["missing/out.lead"], 1, "can't be written: no such file or directory"),
]


@pytest.mark.parametrize("case", REFUSED, ids=lambda case: " ".join(case[0]))
def test_refused(run: "Run", chart: Path, tmp_path: Path, case: tuple[list[str], int, str]) -> None:
    (out, *more), status, message = case
    before = sorted(tmp_path.iterdir())
    done = run("convert", chart, tmp_path / out, *more)
    assert (done.status, done.out) == (status, "")
    assert message in done.err
    assert sorted(tmp_path.iterdir()) == before


def test_a_file_with_problems_is_refused_with_all_of_them(
    run: "Run", lead: Lead, tmp_path: Path
) -> None:
    bad = lead("bad.lead", "title T\nmeter 4/4\n\nchords | C7zz | Hb |\n")
    done = run("convert", bad, tmp_path / "out.lead")
    assert (done.status, len(done.err.splitlines())) == (1, 2)
    assert not (tmp_path / "out.lead").exists()


def test_a_file_that_is_there_is_kept(run: "Run", chart: Path, tmp_path: Path) -> None:
    out = tmp_path / "out.lead"
    out.write_text("mine")
    done = run("convert", chart, out)
    assert (done.status, done.err) == (
        1, f"chartwalk convert: {out} is there already: --force writes over it\n",
    )  # fmt: skip
    assert out.read_text() == "mine"
    assert run("convert", chart, out, "--force").status == 0
    assert open_song(out).chart == open_song(chart).chart


@pytest.mark.parametrize("way", ["itself", "link", "hard link", "another path"])
def test_its_own_input_is_never_written_over(
    run: "Run", chart: Path, tmp_path: Path, way: str
) -> None:
    out = tmp_path / "same.lead"
    if way == "itself":
        out = chart
    elif way == "link":
        out.symlink_to(chart)
    elif way == "hard link":
        os.link(chart, out)
    else:
        (tmp_path / "folder").mkdir()
        out = tmp_path / "folder" / ".." / chart.name
    before = chart.read_text(encoding="utf-8")
    done = run("convert", chart, out, "--force", "--key", "A")
    assert (done.status, "is the file it reads" in done.err) == (2, True)
    assert chart.read_text(encoding="utf-8") == before


def test_what_the_file_can_not_hold_is_said(run: "Run", lead: Lead, tmp_path: Path) -> None:
    deep = lead("deep.lead", "title Deep\nmeter 4/4\n\nchords | C |\ntune | C-1:4 |\n")
    out = tmp_path / "deep.musicxml"
    done = run("convert", deep, out)
    assert done.status == 0
    assert done.err == f"{out} bar 1: MusicXML has no C-1: written as C0\n"
    again = run("convert", "--json", deep, out, "--force")
    assert again.json["warnings"] == [
        {"line": None, "column": None, "bar": "1", "message": "MusicXML has no C-1: written as C0"}
    ]


def test_what_the_reader_mended_is_said(run: "Run", tmp_path: Path) -> None:
    xml = tmp_path / "bare.musicxml"
    note = "<note><rest/><duration>4</duration></note>"
    xml.write_text(
        f"<score-partwise><part-list/><part id='P1'><measure number='1'>{note}</measure></part>"
        "</score-partwise>"
    )
    done = run("convert", xml, tmp_path / "bare.lead")
    assert done.status == 0
    assert "there is no meter: 4/4 is assumed" in done.err


def test_as_a_player_runs_it(command: "Run", chart: Path, tmp_path: Path) -> None:
    out = tmp_path / "out.mxl"
    done = command("convert", chart, out, "--key", "A", "--unrolled")
    assert (done.status, done.err) == (0, "")
    assert open_song(out).bars[0].key.ascii == "A major"
