"""`chartwalk songs`, `chartwalk ports`, and the command itself."""

import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from chartwalk.log import Store
from chartwalk.midi import NO_OUTPUT, Ports
from chartwalk_tui.commands import ports
from chartwalk_tui.demos import demo_songs

if TYPE_CHECKING:
    from tests.commands.conftest import Run


def test_the_demo_songs_are_listed_with_their_paths(run: "Run") -> None:
    done = run("songs")
    assert (done.status, done.err) == (0, "")
    assert done.lines[0] == "Demo songs"
    assert "  Lanterns at Low Tide" in done.lines
    assert [line.strip() for line in done.lines[2::2]] == [str(path) for path in demo_songs()]


def test_songs_as_json(run: "Run", home: Path) -> None:
    store = Store.open(home)
    store.song_opened("/music/own [A].lead", "Own [A]")
    store.close()
    done = run("songs", "--json")
    assert done.status == 0
    songs = done.json
    assert songs[0] == {"title": "Own [A]", "path": "/music/own [A].lead", "demo": False}
    assert all(list(song) == ["title", "path", "demo"] for song in songs)
    assert [song["demo"] for song in songs] == [False] + [True] * len(demo_songs())
    assert all(Path(song["path"]).is_file() for song in songs[1:])


def test_songs_opened_before_come_first(run: "Run", home: Path) -> None:
    store = Store.open(home)
    store.song_opened("/music/own.lead", "Own")
    store.close()
    assert run("songs").lines[:4] == ["Opened before", "  Own", "    /music/own.lead", "Demo songs"]


def test_songs_without_a_place_for_the_log(
    run: "Run", tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    blocked = tmp_path / "file"
    blocked.write_text("not a folder")
    monkeypatch.setenv("CHARTWALK_HOME", str(blocked))
    done = run("songs", "--json")
    assert done.status == 0
    assert len(done.json) == len(demo_songs())
    assert "can't be opened" in done.err


def test_looking_at_the_songs_makes_no_song_opened(run: "Run", home: Path) -> None:
    run("songs")
    store = Store.open(home)
    assert store.songs() == []
    store.close()


Seen = Callable[[Ports], None]


@pytest.fixture
def seen(monkeypatch: pytest.MonkeyPatch) -> Seen:
    """Let the computer have these ports."""

    def see(found: Ports) -> None:
        monkeypatch.setattr(ports, "output_ports", lambda: found)

    return see


def test_ports_are_listed(run: "Run", seen: Seen) -> None:
    seen(Ports(("Midi Through:0 14:0", "Piano:Piano MIDI 1 20:0", "Organ 24:0")))
    done = run("ports")
    assert (done.status, done.err) == (0, "")
    assert done.lines == [
        "Midi Through:0 14:0",
        "Piano:Piano MIDI 1 20:0  (the click sounds here)",
        "Organ 24:0",
    ]
    assert run("ports", "--json").json == {
        "outputs": ["Midi Through:0 14:0", "Piano:Piano MIDI 1 20:0", "Organ 24:0"],
        "default": "Piano:Piano MIDI 1 20:0",
        "problem": None,
    }


def test_no_ports_is_no_error_but_says_what_to_do(run: "Run", seen: Seen) -> None:
    seen(Ports(problem=NO_OUTPUT))
    done = run("ports")
    assert (done.status, done.out) == (0, "")
    assert done.err.splitlines() == [NO_OUTPUT]
    silent = run("ports", "--json")
    assert silent.json == {"outputs": [], "default": None, "problem": NO_OUTPUT}
    assert (silent.status, silent.err) == (0, "")


def test_ports_of_this_computer(command: "Run") -> None:
    done = command("ports", "--json")
    assert done.status == 0
    assert list(done.json) == ["outputs", "default", "problem"]
    assert done.json["outputs"] or done.json["problem"]


COMMANDS = ["check", "order", "spell", "songs", "ports"]


@pytest.mark.parametrize("name", COMMANDS)
def test_each_command_has_help(run: "Run", name: str) -> None:
    done = run(name, "--help")
    assert (done.status, done.err) == (0, "")
    assert f"usage: chartwalk {name}" in done.out
    assert "--json" in done.out


def test_the_help_names_commands_and_files(run: "Run") -> None:
    for flag in ("--help", "-h"):
        done = run(flag)
        assert (done.status, done.err) == (0, "")
        assert "usage: chartwalk" in done.out
        for word in (*COMMANDS, ".lead", ".musicxml", ".mxl", "--port"):
            assert word in done.out


@pytest.mark.parametrize(
    "words", [["--nonsense"], ["check", "--nonsense", "x"], ["songs", "extra"], ["a", "b"]]
)
def test_bad_usage(run: "Run", words: list[str]) -> None:
    done = run(*words)
    assert done.status == 2
    assert done.err.startswith("usage: chartwalk")
    assert done.out == ""


def test_a_file_that_can_not_be_opened_is_told_before_any_screen(
    run: "Run", tmp_path: Path
) -> None:
    missing = run(tmp_path / "missing.lead")
    assert missing.status == 1
    assert "no such file" in missing.err
    assert missing.out == ""
    garbage = tmp_path / "garbage.lead"
    garbage.write_bytes(b"\xff\xfe\x00")
    assert run(garbage).status == 1


@pytest.mark.parametrize(
    ("typed", "meant"),
    [("chek", "check"), ("chekc", "check"), ("port", "ports"), ("oder", "order")],
)
def test_a_mistyped_command_is_bad_usage_and_the_right_one_is_named(
    run: "Run", tmp_path: Path, monkeypatch: pytest.MonkeyPatch, typed: str, meant: str
) -> None:
    monkeypatch.chdir(tmp_path)
    done = run(typed)
    assert (done.status, done.out) == (2, "")
    usage, told = done.err.splitlines()
    assert usage.startswith("usage: chartwalk")
    assert told == (
        f"chartwalk: error: {typed!r} is no file and no command: did you mean {meant!r}?"
    )


def test_a_word_that_is_like_no_command_is_told_without_advice(
    run: "Run", tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    done = run("xylophone")
    assert (done.status, done.out) == (2, "")
    assert done.err.endswith("chartwalk: error: 'xylophone' is no file and no command\n")


def test_a_file_of_that_name_is_a_file(
    run: "Run", tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("chek").write_text("title T\n", encoding="utf-8")
    done = run("chek")
    assert done.status == 1
    assert ".musicxml" in done.err, "the endings that are read"
    missing = run("chek.lead")
    assert missing.status == 1
    assert "no such file" in missing.err


def test_as_a_process(command: "Run") -> None:
    assert command("--help").status == 0
    assert command("songs").lines[0] == "Demo songs"
    bad = command("missing.lead")
    assert (bad.status, bad.out) == (1, "")
    assert "Traceback" not in bad.err
    assert command("songs", "--nonsense").status == 2


def test_a_reader_that_leaves_early_is_no_error(chart: Path) -> None:
    process = subprocess.Popen(
        [sys.executable, "-m", "chartwalk_tui", "order", "--json", *[str(chart)] * 400],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )
    assert process.stdout is not None
    assert process.stderr is not None
    with process:
        process.stdout.read(10)
        process.stdout.close()
        assert b"Traceback" not in process.stderr.read()
