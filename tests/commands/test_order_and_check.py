"""`chartwalk order` and `chartwalk check`: what is played when, and what is wrong."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from tests.commands.conftest import Run

Lead = Callable[[str, str], Path]
SHEET = """<?xml version="1.0" encoding="UTF-8"?>
<score-partwise version="4.0">
  <work><work-title>{title}</work-title></work>
  <part-list><score-part id="P1"><part-name>Tune</part-name></score-part></part-list>
  <part id="P1">
    <measure number="1">
      <attributes><divisions>1</divisions><time><beats>4</beats><beat-type>4</beat-type></time>
      </attributes>
      <note><pitch><step>C</step><octave>4</octave></pitch><duration>4</duration></note>
    </measure>
  </part>
</score-partwise>
"""
BROKEN = "title Broken\nmeter 4/4\n\nroad | 1. | |\nchords | C7zz | Hm |\n"


def test_the_order_in_words(run: "Run", chart: Path) -> None:
    done = run("order", chart)
    assert (done.status, done.err) == (0, "")
    assert done.lines == [
        "Low [A] Tide: 6 bars, 8 steps",
        "  Verse pickup and 1-3, again 1-2, 2nd ending 4, 5",
    ]


def test_a_long_road_is_wrapped_between_its_stretches(run: "Run", lead: Lead) -> None:
    long = lead("long.lead", "title Long\nmeter 4/4\n\nroad | 30x |\nchords |: C :|\n")
    done = run("order", long)
    assert done.lines[0] == "Long: 1 bar, 30 steps"
    assert len(done.lines) > 2
    assert all(line.startswith("  ") and len(line) <= 78 for line in done.lines[1:])
    assert all(line.endswith(",") for line in done.lines[1:-1])
    said = " ".join(line.strip() for line in done.lines[1:]).split(", ")
    assert said[:3] == ["1", "again 1", "3rd time 1"]
    assert said[-1] == "30th time 1"
    assert len(said) == 30


def test_a_name_longer_than_the_line_stays_whole(run: "Run", lead: Lead) -> None:
    name = "a very long name of a section " * 4
    long = lead("long.lead", f"title Long\nmeter 4/4\n\nsection {name}\nchords | C |\n")
    assert run("order", long).lines[1] == f"  {name}1"


def test_signs_and_bars_that_are_passed_by_are_told(run: "Run", lead: Lead) -> None:
    sheet = lead(
        "by.lead",
        "title T\nmeter 4/4\n\nroad | | 1., 3x | 2., fine | dc al fine, coda | |\n"
        "chords | C | D :| E | F | G |\n",
    )
    done = run("check", sheet)
    assert done.status == 0
    assert [line.removeprefix(f"{sheet}:") for line in done.err.splitlines()] == [
        "4:10 3x is not followed: the endings decide, and they make 2 times",
        "4:30 a Coda that no jump leads to: the D.C. al Fine does not say al Coda",
        "4:49 bar 5 is never played: the road passes by",
    ]


def test_the_order_as_json(run: "Run", chart: Path) -> None:
    done = run("order", "--json", chart)
    assert (done.status, done.err) == (0, "")
    found = done.json
    assert list(found) == ["file", "title", "steps"]
    assert found["file"] == str(chart)
    assert found["title"] == "Low [A] Tide"
    steps = found["steps"]
    assert all(list(step) == ["index", "bar", "section", "pass", "why"] for step in steps)
    assert [step["index"] for step in steps] == [0, 1, 2, 3, 1, 2, 4, 5]
    assert [step["bar"] for step in steps] == ["0", "1", "2", "3", "1", "2", "4", "5"]
    assert [step["pass"] for step in steps] == [1, 1, 1, 1, 2, 2, 2, 1]
    assert {step["section"] for step in steps} == {"Verse"}
    assert [step["why"] for step in steps] == [
        None, None, None, None, "repeat, 2nd time", None, "2nd ending", None,
    ]  # fmt: skip


def test_two_files_are_two_lines_of_json(run: "Run", chart: Path, lead: Lead) -> None:
    other = lead("other.lead", "title Other\nmeter 3/4\n\nchords | C | F |\n")
    done = run("order", "--json", chart, other)
    assert done.status == 0
    assert [json.loads(line)["title"] for line in done.lines] == ["Low [A] Tide", "Other"]


def test_a_bad_file_does_not_hide_the_good_one(run: "Run", chart: Path, lead: Lead) -> None:
    bad = lead("bad.lead", BROKEN)
    done = run("order", "--json", bad, chart)
    assert done.status == 1
    assert [json.loads(line)["file"] for line in done.lines] == [str(chart)]
    assert str(bad) in done.err


def test_a_sound_file(run: "Run", chart: Path) -> None:
    done = run("check", chart)
    assert (done.status, done.err) == (0, "")
    assert done.lines == [f"{chart}: sound, 6 bars, 8 steps"]


def test_a_sound_file_as_json(run: "Run", chart: Path) -> None:
    done = run("check", "--json", chart)
    assert done.status == 0
    assert done.json == [{"file": str(chart), "problems": [], "warnings": []}]


def test_every_problem_is_told_with_its_place(run: "Run", lead: Lead) -> None:
    bad = lead("bad.lead", BROKEN)
    done = run("check", bad)
    assert done.status == 1
    assert done.out == ""
    told = done.err.splitlines()
    assert len(told) == 3, "not just the first"
    assert told[0].startswith(f"{bad}:4:8 ")
    assert "ending" in told[0], "the road is checked beside chords that can't be read"
    assert told[1].startswith(f"{bad}:5:12 ")
    assert "C7zz" in told[1]
    assert told[2].startswith(f"{bad}:5:17 ")
    assert "Hm" in told[2]


def test_problems_as_json(run: "Run", lead: Lead, chart: Path) -> None:
    bad = lead("bad.lead", BROKEN)
    done = run("check", "--json", chart, bad)
    assert done.status == 1
    sound, broken = done.json
    assert sound["problems"] == []
    assert broken["file"] == str(bad)
    assert [(p["line"], p["column"]) for p in broken["problems"]] == [(4, 8), (5, 12), (5, 17)]
    assert all(list(p) == ["line", "column", "bar", "message"] for p in broken["problems"])
    assert broken["warnings"] == []


def test_control_characters_are_refused_with_their_places(run: "Run", lead: Lead) -> None:
    bad = lead(
        "bad.lead",
        "title Red\x1b[31m Tide\nmeter 4/4\n\nchords | C | F |\ntune | C4:4 | D4:4 |\n"
        "words | oh\x9b | la\x07 |\n",
    )
    done = run("check", bad)
    assert (done.status, done.out) == (1, "")
    assert [line.partition(" ")[0] for line in done.err.splitlines()] == [
        f"{bad}:1:10", f"{bad}:6:11", f"{bad}:6:17",
    ]  # fmt: skip
    for shown, line in zip(("'\\x1b'", "'\\x9b'", "'\\x07'"), done.err.splitlines(), strict=True):
        assert line.endswith(f"a control character ({shown}) is no text: take it out")
    assert done.err.replace("\n", "").isprintable(), "and are not printed themselves"
    (report,) = run("check", "--json", bad).json
    places = [(problem["line"], problem["column"]) for problem in report["problems"]]
    assert places == [(1, 10), (6, 11), (6, 17)]


def test_tabs_and_line_ends_of_every_kind_are_no_control_characters(
    run: "Run", tmp_path: Path
) -> None:
    path = tmp_path / "tabs.lead"
    path.write_bytes(b"title\tTabs\r\nmeter\t4/4\r\n\r\nchords\t| C\t| F\t|\r\n")
    done = run("check", path)
    assert (done.status, done.err) == (0, "")


def test_a_title_of_a_notation_program_is_read_without_control_characters(
    run: "Run", tmp_path: Path
) -> None:
    path = tmp_path / "tide.musicxml"
    path.write_text(SHEET.format(title="Red\x9b31m Tide"), encoding="utf-8")
    done = run("order", "--json", path)
    assert done.status == 0
    assert done.json["title"] == "Red 31m Tide"


def test_a_road_that_can_not_be_walked(run: "Run", lead: Lead) -> None:
    bad = lead("road.lead", "title R\nmeter 4/4\n\nroad | | ds |\nchords | C | F |\n")
    for words in (["check"], ["order"], ["check", "--json"], ["order", "--json"]):
        done = run(*words, bad)
        assert done.status == 1
        assert "segno" in done.out + done.err


@pytest.mark.parametrize("json_too", [[], ["--json"]])
@pytest.mark.parametrize("name", ["check", "order"])
class TestWhatIsNoChart:
    def told(self, run: "Run", name: str, json_too: list[str], path: Path) -> str:
        done = run(name, *json_too, path)
        assert done.status == 1
        words = done.out + done.err
        assert path.name in words
        assert "Traceback" not in words
        if json_too and name == "check":
            (report,) = done.json
            assert report["problems"]
            assert done.err == ""
        else:
            assert done.out == ""
            assert len(done.err.splitlines()) >= 1
        return words

    def test_a_missing_file(
        self, run: "Run", tmp_path: Path, name: str, json_too: list[str]
    ) -> None:
        assert "no such file" in self.told(run, name, json_too, tmp_path / "missing.lead")

    @pytest.mark.parametrize("folder", ["songs", "songs.lead", "songs.musicxml", "songs.mxl"])
    def test_a_folder(
        self, run: "Run", tmp_path: Path, name: str, json_too: list[str], folder: str
    ) -> None:
        path = tmp_path / folder
        path.mkdir()
        self.told(run, name, json_too, path)

    @pytest.mark.parametrize("file", [f"x{end}" for end in (".lead", ".musicxml", ".xml", ".MXL")])
    @pytest.mark.parametrize(
        "data",
        [b"", b"\x00\xff\xfe garbage \x80", b"PK\x03\x04 broken", b"<score-partwise>", b"\n"],
    )
    def test_garbage(
        self, run: "Run", tmp_path: Path, name: str, json_too: list[str], *, file: str, data: bytes
    ) -> None:
        path = tmp_path / file
        path.write_bytes(data)
        self.told(run, name, json_too, path)

    @pytest.mark.parametrize("file", ["song.pdf", "song", "song.lead.txt", ".lead"])
    def test_an_unknown_ending(
        self, run: "Run", tmp_path: Path, name: str, json_too: list[str], file: str
    ) -> None:
        path = tmp_path / file
        path.write_text("title X\n", encoding="utf-8")
        words = self.told(run, name, json_too, path)
        assert ".lead" in words
        assert ".musicxml" in words


@pytest.mark.parametrize("name", ["check", "order"])
def test_no_file_is_bad_usage(run: "Run", name: str) -> None:
    done = run(name)
    assert done.status == 2
    assert "FILE" in done.err


def test_as_processes(command: "Run", chart: Path, lead: Lead, tmp_path: Path) -> None:
    assert command("check", chart).status == 0
    bad = command("check", lead("bad.lead", BROKEN), tmp_path / "missing.lead", tmp_path)
    assert bad.status == 1
    assert "Traceback" not in bad.err
    assert len(bad.err.splitlines()) == 5
    order = command("order", "--json", chart, chart)
    assert order.status == 0
    assert len(order.lines) == 2
    assert command("order").status == 2
