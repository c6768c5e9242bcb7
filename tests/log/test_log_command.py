"""`chartwalk log`: listing marks, writing the log out, taking another one in."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from tests.log import planted

from chartwalk.log import Kind, Store
from chartwalk.log.database import FILE_NAME
from chartwalk_tui.cli import main

Run = Callable[..., tuple[int, str, str]]


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder for the player's data."""
    folder = tmp_path / "home"
    monkeypatch.setenv("CHARTWALK_HOME", str(folder))
    return folder


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str]) -> Run:
    """Run the command; return its status, what it printed and what it complained of."""

    def call(*words: object) -> tuple[int, str, str]:
        try:
            status = main(["log", *map(str, words)])
        except SystemExit as stop:
            status = stop.code if isinstance(stop.code, int) else 1
        printed = capsys.readouterr()
        return status, printed.out, printed.err

    return call


@pytest.fixture
def marks(home: Path) -> list[str]:
    """A log with three marks; return their ids, the latest first."""
    store = Store.open(home)
    sheet = planted.song(title="Low [A] Tide")
    song = store.song(sheet).id
    made = [planted.mark(song, sheet, index, after=index) for index in range(3)]
    for mark in made:
        store.mark(mark)
    store.amend(made[2].id, kind=Kind.CHORD, words="the third")
    store.close()
    return [mark.id for mark in reversed(made)]


def test_marks_are_listed_the_latest_first(run: Run, marks: list[str]) -> None:
    status, out, err = run("list")
    assert (status, err) == (0, "")
    assert out.splitlines() == [
        "2024-05-06  Low [A] Tide, bar 3, E♭maj9/G, chord, the third, tempo 80",
        "2024-05-06  Low [A] Tide, bar 2, E♭maj9/G, tempo 80",
        "2024-05-06  Low [A] Tide, bar 1, E♭maj9/G, tempo 80",
    ]
    assert len(run("list", "--limit", 2)[1].splitlines()) == 2
    assert len(run("list", "--limit", 0)[1].splitlines()) == 3


@pytest.mark.parametrize("words", [("list", "--json"), ("--json", "list")])
def test_marks_as_json(run: Run, marks: list[str], words: tuple[str, ...]) -> None:
    status, out, err = run(*words)
    assert (status, err) == (0, "")
    listed = json.loads(out)
    assert [mark["id"] for mark in listed] == marks
    assert listed[0] == {
        "id": marks[0], "title": "Low [A] Tide", "path": "/gone/a.lead", "bar": "3", "pass": 1,
        "beat": "5/2", "came_from": "Cm7", "chord": "E♭maj9/G", "kind": "chord",
        "words": "the third", "tempo": 80.5, "goal": 96.0, "day": "2024-05-06",
        "time": "2024-05-06T07:08:11.123456+00:00",
    }  # fmt: skip


def test_an_empty_log(run: Run) -> None:
    assert run("list") == (0, "No marks yet.\n", "")
    assert run("list", "--json") == (0, "[]\n", "")


def test_titles_can_not_steer_the_terminal(run: Run, home: Path) -> None:
    store = Store.open(home)
    planted.plant(store, "/gone/x", "Steer\x1b[2Jing", 0, "1")
    store.close()
    assert "Steer·[2Jing, bar 1" in run("list")[1]


def test_out_on_one_machine_and_in_on_another(
    run: Run, marks: list[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = tmp_path / "mine.jsonl"
    assert run("export", file) == (0, f"{file}: the log is written\n", "")
    monkeypatch.setenv("CHARTWALK_HOME", str(tmp_path / "other"))
    status, out, err = run("import", file)
    assert (status, err) == (0, "")
    assert out == f"{file}: new in the log: songs 1, runs 0, passes 0, marks 3\n"
    assert [mark["id"] for mark in json.loads(run("list", "--json")[1])] == marks
    assert json.loads(run("import", file, "--json")[1]) == {
        "from": str(file), "songs": 0, "runs": 0, "passes": 0, "marks": 0,
    }  # fmt: skip


def test_a_table(run: Run, marks: list[str], tmp_path: Path) -> None:
    file = tmp_path / "table.CSV"
    status, out, _ = run("--json", "export", file)
    assert (status, json.loads(out)) == (0, {"to": str(file)})
    assert len(file.read_text("utf-8").splitlines()) == 4


def test_a_file_that_is_there_is_written_over_only_by_force(
    run: Run, marks: list[str], tmp_path: Path
) -> None:
    file = tmp_path / "mine.jsonl"
    file.write_text("precious")
    status, out, err = run("export", file)
    assert (status, out) == (1, "")
    assert "--force" in err
    assert file.read_text() == "precious"
    assert run("export", file, "--force")[0] == 0
    assert len(file.read_text("utf-8").splitlines()) == 5


def test_bad_lines_are_all_told(run: Run, tmp_path: Path) -> None:
    file = tmp_path / "bad.jsonl"
    file.write_text('{"record": "log", "layout": 1}\nnonsense\n{"record": "unmarked", "id": 5}\n')
    status, out, err = run("import", file)
    assert (status, out) == (1, "")
    first, second = err.splitlines()
    assert first.startswith(f"{file}:2 no JSON")
    assert second == f"{file}:3 id wants 32 hex digits, not 5"


@pytest.mark.parametrize(
    "words",
    [(), ("nonsense",), ("export",), ("import",), ("list", "extra"), ("list", "--limit", "x")],
)
def test_bad_usage(run: Run, words: tuple[str, ...]) -> None:
    status, out, err = run(*words)
    assert (status, out) == (2, "")
    assert err.startswith("usage: chartwalk log")


def test_a_kind_of_file_that_is_not_written(run: Run, tmp_path: Path) -> None:
    status, out, err = run("export", tmp_path / "log.xml")
    assert (status, out) == (2, "")
    assert ".jsonl or .csv" in err


def test_a_file_that_is_not_there(run: Run, tmp_path: Path) -> None:
    status, out, err = run("import", tmp_path / "log.csv")
    assert (status, out) == (1, "")
    assert "a table does not hold the whole log; export that log as .jsonl" in err
    status, out, err = run("import", tmp_path / "none.jsonl")
    assert (status, out) == (1, "")
    assert "can't be read" in err
    assert len(err.splitlines()) == 1


def test_a_log_that_can_not_be_opened(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "file").write_text("no folder")
    monkeypatch.setenv("CHARTWALK_HOME", str(tmp_path / "file"))
    status, out, err = run("list")
    assert (status, out) == (1, "")
    assert "can't be opened" in err


def test_a_damaged_log_is_told(run: Run, home: Path) -> None:
    home.mkdir()
    (home / FILE_NAME).write_bytes(b"rubbish" * 1000)
    status, out, err = run("list")
    assert (status, out) == (0, "No marks yet.\n")
    assert "damaged" in err
    assert len(err.splitlines()) == 1
