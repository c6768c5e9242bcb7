"""Logs that can't be opened, read or written: one line for the player, never a crash."""

import signal
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

import pytest

from chartwalk.log import LogError, Mark, Store
from chartwalk.log.store import FILE_NAME

MakeMark = Callable[..., Mark]

PATIENCE = 60.0


def _line(call: Callable[[], object]) -> str:
    """Make a call that is refused, and return what the player is told."""
    with pytest.raises(LogError) as caught:
        call()
    line = str(caught.value)
    assert line.strip() == line
    assert line
    assert "\n" not in line
    return line


def test_a_folder_that_takes_no_files(unwritable: Path) -> None:
    assert str(unwritable) in _line(lambda: Store.open(unwritable))


def test_a_folder_that_can_not_be_made(unwritable: Path) -> None:
    assert str(unwritable) in _line(lambda: Store.open(unwritable / "chartwalk"))


def test_a_folder_that_is_a_file(tmp_path: Path) -> None:
    file = tmp_path / "data"
    file.write_text("not a folder", encoding="utf-8")
    assert str(file) in _line(lambda: Store.open(file))
    assert str(file) in _line(lambda: Store.open(file / "deeper"))
    assert file.read_text(encoding="utf-8") == "not a folder"


def test_a_log_that_is_a_folder(tmp_path: Path) -> None:
    (tmp_path / FILE_NAME).mkdir()
    assert FILE_NAME in _line(lambda: Store.open(tmp_path))


@pytest.mark.parametrize(
    "content", [b"garbage " * 1000, b"SQLite format 3\x00" + b"\xff" * 4080], ids=len
)
def test_a_log_that_is_no_log_is_refused_and_left_alone(tmp_path: Path, content: bytes) -> None:
    file = tmp_path / FILE_NAME
    file.write_bytes(content)
    assert FILE_NAME in _line(lambda: Store.open(tmp_path))
    assert file.read_bytes() == content


def test_a_log_that_is_damaged_inside(tmp_path: Path, mark: MakeMark) -> None:
    store = Store.open(tmp_path)
    for number in range(200):
        store.mark(mark(number, f"/{'long' * 50}/{number}"))
    store.close()
    file = tmp_path / FILE_NAME
    content = bytearray(file.read_bytes())
    content[4096:] = b"\xa5" * (len(content) - 4096)
    file.write_bytes(content)

    def use() -> None:
        damaged = Store.open(tmp_path)
        try:
            damaged.marks()
        finally:
            damaged.close()

    _line(use)


def test_an_empty_file_becomes_a_log(tmp_path: Path, mark: MakeMark) -> None:
    (tmp_path / FILE_NAME).touch()
    store = Store.open(tmp_path)
    store.mark(mark())
    store.close()


def test_a_log_of_a_newer_version_is_refused_and_left_alone(tmp_path: Path, mark: MakeMark) -> None:
    store = Store.open(tmp_path)
    store.mark(mark())
    store.close()
    with closing(sqlite3.connect(tmp_path / FILE_NAME)) as connection:
        (version,) = connection.execute("PRAGMA user_version").fetchone()
        connection.execute(f"PRAGMA user_version = {version + 1}")
    line = _line(lambda: Store.open(tmp_path))
    assert "newer" in line
    assert "update" in line
    with closing(sqlite3.connect(tmp_path / FILE_NAME)) as connection:
        assert connection.execute("PRAGMA user_version").fetchone() == (version + 1,)
        connection.execute(f"PRAGMA user_version = {version}")
    store = Store.open(tmp_path)
    assert store.marks() == [mark()]
    store.close()


def test_a_log_that_another_program_keeps_locked(tmp_path: Path, mark: MakeMark) -> None:
    store = Store.open(tmp_path)
    store.mark(mark())
    with closing(sqlite3.connect(tmp_path / FILE_NAME, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        assert store.marks() == [mark()]  # reading goes on
        _line(lambda: store.mark(mark(1)))
        other.execute("COMMIT")
    store.mark(mark(2))
    assert store.marks() == [mark(2), mark()]
    store.close()


def test_a_log_that_was_closed(tmp_path: Path, mark: MakeMark) -> None:
    store = Store.open(tmp_path)
    store.close()
    calls: list[Callable[[], object]] = [
        lambda: store.mark(mark()),
        store.marks,
        store.songs,
        lambda: store.setting("port"),
        lambda: store.set("port", "x"),
        lambda: store.set("port", None),
        lambda: store.song_opened("/a", "A"),
    ]
    for call in calls:
        _line(call)


@pytest.mark.skipif(sys.platform == "win32", reason="file names are bytes elsewhere only")
def test_a_song_whose_name_is_not_utf_8(tmp_path: Path) -> None:
    """Such names come from old disks; the mark is kept or refused with a line, never a crash."""
    path = b"/songs/caf\xe9.lead".decode("utf-8", "surrogateescape")
    store = Store.open(tmp_path)
    written = Mark(path, "Café", 0, "1", 1, "C", 80.0, datetime.now(UTC))
    try:
        store.mark(written)
        store.song_opened(path, "Café")
    except LogError as error:
        line = str(error)
    else:
        assert store.marks(path) == [written]
        line = "kept"
    assert "\n" not in line
    store.close()


FILL = """
import resource, signal, sys
from datetime import UTC, datetime
from pathlib import Path
from chartwalk.log import LogError, Mark, Store

store = Store.open(Path(sys.argv[1]))
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
resource.setrlimit(resource.RLIMIT_FSIZE, (300_000, 300_000))
kept = 0
try:
    for number in range(5000):
        store.mark(Mark("/a", "A" * 1000, number, "1" * 2000, 1, "C", 80.0, datetime.now(UTC)))
        kept += 1
except LogError as error:
    print(kept)
    print(str(error).count("\\n"), error)
"""


@pytest.mark.skipif(not hasattr(signal, "SIGXFSZ"), reason="no limit on the size of files here")
def test_a_disk_that_is_full(tmp_path: Path) -> None:
    """What was told to be written is there; what was refused is not."""
    answer = subprocess.run(
        [sys.executable, "-c", FILL, str(tmp_path)],
        stdout=subprocess.PIPE,
        text=True,
        timeout=PATIENCE,
        check=True,
    ).stdout.splitlines()
    kept, line = int(answer[0]), answer[1]
    assert kept > 0
    assert line.startswith("0 the mark could not be written: ")
    store = Store.open(tmp_path)
    assert [each.bar for each in store.marks()] == list(range(kept))[::-1]
    store.close()
