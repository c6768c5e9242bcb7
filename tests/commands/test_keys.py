"""`chartwalk keys`: the twelve keys of a sheet, ranked for a singer."""

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from tests.commands.conftest import Run

Lead = Callable[[str, str], Path]

# Only E holds G4 to E♭5 between E4 and C5.
TUNE = """title    Low [A] Tide
key      G major
meter    4/4

chords   | G    |      |         |
tune     | G4:4 | G4:4 | Eb5:3 r:1 |
"""
SUNG = TUNE.replace("meter", "voice    G4 Eb5\nmeter")


@pytest.fixture
def tune(lead: Lead) -> Path:
    """A sheet with a tune and without a singer."""
    return lead("tide.lead", TUNE)


def test_the_keys_as_json(run: "Run", tune: Path) -> None:
    done = run("keys", "--json", tune, "--low", "E4", "--high", "C5")
    assert (done.status, done.err) == (0, "")
    assert len(done.lines) == 1, "one object"
    found = done.json
    assert list(found) == ["file", "title", "range", "voice", "advice", "keys"]
    assert (found["file"], found["title"]) == (str(tune), "Low [A] Tide")
    assert found["range"] == {
        "low": {"bar": "1", "note": "G4"},
        "high": {"bar": "3", "note": "Eb5"},
        "mostly": ["G4", "Eb5"],
    }
    assert found["voice"] == {"low": "E4", "high": "C5", "origin": "as given"}
    assert found["advice"] == "down a minor third to E: your highest note becomes C5 (bar 3)"
    assert len(found["keys"]) == 12
    assert found["keys"][0] == {
        "key": "E major", "shift": -3, "interval": "down a minor third", "octave": 0,
        "low": "E4", "high": "C5", "strain": [], "accidentals": 4,
    }  # fmt: skip
    (as_written,) = (key for key in found["keys"] if key["shift"] == 0)
    assert as_written["strain"] == [{"bar": "3", "note": "Eb5"}]
    assert as_written["interval"] == "as written"


def test_the_keys_as_a_table(run: "Run", tune: Path) -> None:
    done = run("keys", tune, "--low", "e4", "--high", "c5")
    assert (done.status, done.err) == (0, "")
    assert done.lines[:4] == [
        "Low [A] Tide: from G4 (bar 1) to E♭5 (bar 3), mostly G4–E♭5",
        "the voice: E4–C5 (as given)",
        "take it down a minor third to E: your highest note becomes C5 (bar 3)",
        "",
    ]
    assert "hoarse" in done.lines[-1], "the caution"
    rows = [line.split() for line in done.lines[4:-2]]
    assert len(rows) == 12
    assert rows[0] == ["E", "major", "4♯", "down", "a", "minor", "third", "E4–C5"]
    (as_written,) = (row for row in rows if row[0] == "G")
    assert as_written[3:] == ["as", "written", "G4–E♭5", "strains:", "E♭5", "(bar", "3)"]
    assert len({line.index("–") for line in done.lines[4:-2]}) <= 2, "in columns"


def test_a_voice_of_the_handbook(run: "Run", tune: Path) -> None:
    # New Harvard Dictionary of Music, as the Yale library gives it: alto F3 to D5.
    found = run("keys", "--json", tune, "--voice", "alto").json
    assert found["voice"] == {
        "low": "F3", "high": "D5", "origin": "alto, New Harvard Dictionary of Music",
    }  # fmt: skip
    assert "alto, New Harvard Dictionary of Music" in run("keys", tune, "--voice", "alto").out


def test_a_man_sings_an_octave_below(run: "Run", tune: Path) -> None:
    found = run("keys", "--json", tune, "--voice", "baritone").json
    assert found["keys"][0]["octave"] == -1
    assert "an octave below what is written" in found["advice"]
    (line, *_) = run("keys", tune, "--voice", "baritone").lines[4:]
    assert line.endswith(", an octave below")


def test_the_singer_of_the_sheet_where_none_is_named(run: "Run", lead: Lead) -> None:
    sung = lead("sung.lead", SUNG)
    found = run("keys", "--json", sung).json
    assert found["voice"] == {"low": "G4", "high": "Eb5", "origin": "from the sheet"}
    assert found["keys"][0]["shift"] == 0
    other = run("keys", "--json", sung, "--low", "E4", "--high", "C5").json
    assert other["keys"][0]["shift"] == -3, "who is named goes before"


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ([], "whose voice? Give --low and --high"),
        (["--low", "A3"], "--low and --high belong together"),
        (["--high", "D5"], "--low and --high belong together"),
        (["--low", "D5", "--high", "A3"], "the low note D5 lies above the high note A3"),
        (["--low", "H3", "--high", "D5"], "'H3' is no pitch"),
        (["--low", "", "--high", "D5"], "is no range"),
        (["--low", "A3", "--high", "D99"], "beyond the piano"),
        (["--voice", "viola"], "viola"),
        (["--voice", "alto", "--low", "A3", "--high", "D5"], "not both"),
    ],
)
@pytest.mark.parametrize("json_too", [[], ["--json"]])
def test_bad_usage(
    run: "Run", tune: Path, words: list[str], told: str, json_too: list[str]
) -> None:
    done = run("keys", tune, *words, *json_too)
    assert (done.status, done.out) == (2, "")
    assert told in done.err


def test_no_file_is_bad_usage(run: "Run") -> None:
    done = run("keys", "--voice", "alto")
    assert done.status == 2
    assert "FILE" in done.err


@pytest.mark.parametrize("json_too", [[], ["--json"]])
def test_a_sheet_without_a_tune_is_told(run: "Run", lead: Lead, json_too: list[str]) -> None:
    bare = lead("bare.lead", "title Bare\nmeter 4/4\n\nchords | C | F |\n")
    done = run("keys", bare, "--voice", "alto", *json_too)
    assert (done.status, done.out) == (1, "")
    assert done.err == f"{bare}: no tune to judge by: the sheet has none\n"


def test_bad_files_are_told_with_their_places(run: "Run", lead: Lead, tmp_path: Path) -> None:
    bad = lead("bad.lead", "title Bad\nmeter 4/4\n\nchords | Hm |\n")
    for words in ((bad,), (bad, "--voice", "alto"), (bad, "--json", "--voice", "alto")):
        done = run("keys", *words)
        assert (done.status, done.out) == (1, "")
        assert done.err.startswith(f"{bad}:4:10 ")
    missing = run("keys", tmp_path / "missing.lead", "--voice", "alto")
    assert missing.status == 1
    assert "no such file" in missing.err


def test_as_a_process(command: "Run", tune: Path) -> None:
    done = command("keys", tune, "--low", "E4", "--high", "C5")
    assert (done.status, done.err) == (0, "")
    assert done.lines[2].startswith("take it down a minor third to E")
    assert command("keys", tune).status == 2
    narrow = command("keys", tune, "--voice", "alto", PYTHONIOENCODING="ascii", PYTHONUTF8="0")
    assert (narrow.status, narrow.err) == (0, ""), "an output that knows no sharps does no harm"
