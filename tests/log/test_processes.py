"""Other programs: killed while marking, and writing at the same time. Nothing is lost."""

import random
import subprocess
import time
from collections.abc import Callable
from pathlib import Path

import pytest
from tests.log.first_layout import write_first_layout

from chartwalk.log import Store

Spawn = Callable[..., "subprocess.Popen[str]"]


def _go(child: "subprocess.Popen[str]") -> None:
    assert child.stdin is not None
    child.stdin.write("go\n")
    child.stdin.flush()


def _read(child: "subprocess.Popen[str]") -> str:
    assert child.stdout is not None
    return child.stdout.readline().strip()


def _numbers(store: Store, path: str) -> list[int]:
    (song,) = [song.id for song in store.songs() if song.path == path]
    return sorted(mark.bar or 0 for mark in store.marks(song))


@pytest.mark.parametrize("count", [1, 2, 5, 17])
def test_a_program_killed_right_after_a_mark_loses_nothing(
    spawn: Spawn, tmp_path: Path, count: int
) -> None:
    child = spawn(tmp_path, "killed", 10_000)
    _go(child)
    for number in range(count):
        assert _read(child) == f"marked {number}"
    child.kill()
    child.wait()
    store = Store.open(tmp_path)
    found = _numbers(store, "/killed")
    assert found[:count] == list(range(count))
    assert found == list(range(len(found)))
    store.close()


def test_killed_again_and_again_at_any_moment(spawn: Spawn, tmp_path: Path) -> None:
    """Whatever was told to be written is there, in a log that goes on from life to life."""
    chance = random.Random(7)
    told: dict[str, list[str]] = {}
    for life in range(12):
        child = spawn(tmp_path, f"life {life}", 10_000)
        _go(child)
        assert _read(child) == "marked 0"
        time.sleep(chance.random() * 0.05)
        child.kill()
        assert child.stdout is not None
        told[f"/life {life}"] = ["marked 0", *child.stdout.read().splitlines()]
        child.wait()
    store = Store.open(tmp_path)
    assert store.notice == ""
    for path, lines in told.items():
        whole = sum(line == f"marked {number}" for number, line in enumerate(lines))
        found = _numbers(store, path)
        assert whole >= 1
        assert found == list(range(len(found)))
        assert whole <= len(found) <= whole + 1, "one more at most was written but not yet told"
        counts = {song.path: song.id for song in store.songs()}
        assert sum(store.mark_counts(counts[path]).values()) == len(found)
    store.close()


def test_a_mark_is_seen_by_another_program_before_the_call_returns(
    spawn: Spawn, tmp_path: Path
) -> None:
    store = Store.open(tmp_path)
    child = spawn(tmp_path, "seen", 20)
    _go(child)
    for number in range(20):
        assert _read(child) == f"marked {number}"
        assert len(_numbers(store, "/seen")) >= number + 1
    store.close()


def _nothing(folder: Path) -> None:
    """Leave the folder empty."""


def _empty_log(folder: Path) -> None:
    Store.open(folder).close()


@pytest.mark.parametrize("prepare", [_nothing, _empty_log, write_first_layout])
def test_programs_that_open_and_write_at_once_lose_nothing(
    spawn: Spawn, tmp_path: Path, prepare: Callable[[Path], None]
) -> None:
    """In a new or an old log one of them has to make the tables while the others wait."""
    prepare(tmp_path)
    names = ["one", "two", "three", "four"]
    children = [spawn(tmp_path, name, 20) for name in names]
    for child in children:
        _go(child)
    for child in children:
        assert [_read(child) for _ in range(21)] == [*(f"marked {n}" for n in range(20)), "done"]
    store = Store.open(tmp_path)
    for name in names:
        assert _numbers(store, f"/{name}") == list(range(20))
    store.close()
    copies = [file for file in tmp_path.iterdir() if "before" in file.name]
    assert len(copies) == (prepare is write_first_layout), "an old log is copied once"
