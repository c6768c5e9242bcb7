"""Other programs: killed while marking, and writing at the same time. Nothing is lost."""

import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

from chartwalk.log import Mark, Store

Spawn = Callable[..., "subprocess.Popen[str]"]


def _go(child: "subprocess.Popen[str]") -> None:
    assert child.stdin is not None
    child.stdin.write("go\n")
    child.stdin.flush()


def _read(child: "subprocess.Popen[str]") -> str:
    assert child.stdout is not None
    return child.stdout.readline().strip()


def _numbers(marks: list[Mark]) -> list[int]:
    return sorted(mark.bar for mark in marks)


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
    found = _numbers(store.marks("/killed"))
    assert found[:count] == list(range(count))
    assert found == list(range(len(found)))
    store.close()


def test_killed_again_and_again_in_one_log(spawn: Spawn, tmp_path: Path) -> None:
    told = []
    for life in range(3):
        child = spawn(tmp_path, f"life {life}", 10_000)
        _go(child)
        while _read(child) != "marked 3":
            pass
        child.kill()
        child.wait()
        told.append(4)
    store = Store.open(tmp_path)
    for life, count in enumerate(told):
        assert _numbers(store.marks(f"/life {life}"))[:count] == list(range(count))
    store.close()


def test_a_mark_is_seen_by_another_program_before_the_call_returns(
    spawn: Spawn, tmp_path: Path
) -> None:
    store = Store.open(tmp_path)
    child = spawn(tmp_path, "seen", 20)
    _go(child)
    for number in range(20):
        assert _read(child) == f"marked {number}"
        assert len(store.marks("/seen")) >= number + 1
    store.close()


@pytest.mark.parametrize("new", [False, True], ids=["a log in use", "a new log"])
def test_programs_that_open_and_write_at_once_lose_nothing(
    spawn: Spawn, tmp_path: Path, new: bool
) -> None:
    """In a new log one of them has to make the tables while the others wait."""
    if not new:
        Store.open(tmp_path).close()
    names = ["one", "two", "three", "four"]
    children = [spawn(tmp_path, name, 20) for name in names]
    for child in children:
        _go(child)
    for child in children:
        assert [_read(child) for _ in range(21)] == [*(f"marked {n}" for n in range(20)), "done"]
    store = Store.open(tmp_path)
    for name in names:
        assert _numbers(store.marks(f"/{name}")) == list(range(20))
    store.close()
