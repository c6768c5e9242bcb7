"""Damaged logs: set aside under a name of their own, never written over, and a new one begun."""

import shutil
import sqlite3
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

import pytest
from tests.log import planted

from chartwalk.log import LogError, Store, damage
from chartwalk.log.database import FILE_NAME

TODAY = datetime(2025, 7, 1, 12, tzinfo=UTC)
ASIDE = "log.damaged-2025-07-01.sqlite"


def _open(folder: Path) -> Store:
    return Store.open(folder, now=lambda: TODAY)


def _filled(folder: Path, marks: int = 300) -> Path:
    """Write a log of some pages."""
    store = Store.open(folder)
    sheet = planted.song()
    song = store.song(sheet).id
    for number in range(marks):
        store.mark(planted.mark(song, sheet, number % 20, words="x" * 100))
    store.close()
    return folder / FILE_NAME


def _spoil(file: Path, start: int = 4096) -> bytes:
    """Write rubbish over all pages but the first ones; return the whole file."""
    content = bytearray(file.read_bytes())
    content[start:] = b"\xa5" * (len(content) - start)
    file.write_bytes(content)
    return bytes(content)


@pytest.mark.parametrize(
    "content", [b"garbage " * 1000, b"SQLite format 3\x00" + b"\xff" * 4080], ids=len
)
def test_a_file_that_is_no_log_is_set_aside_as_it_was(tmp_path: Path, content: bytes) -> None:
    (tmp_path / FILE_NAME).write_bytes(content)
    store = _open(tmp_path)
    assert (tmp_path / ASIDE).read_bytes() == content
    assert str(tmp_path / ASIDE) in store.notice
    assert "\n" not in store.notice
    assert store.songs() == []
    store.song(planted.song())
    store.close()
    again = _open(tmp_path)
    assert (again.notice, len(again.songs())) == ("", 1)
    again.close()


def test_a_log_that_is_damaged_inside_is_set_aside_as_it_was(tmp_path: Path) -> None:
    content = _spoil(_filled(tmp_path))
    store = _open(tmp_path)
    assert ASIDE in store.notice
    assert (tmp_path / ASIDE).read_bytes() == content
    assert store.marks() == []
    store.close()


def test_a_log_that_was_cut_short_is_set_aside(tmp_path: Path) -> None:
    file = _filled(tmp_path)
    content = file.read_bytes()[: file.stat().st_size // 2]
    file.write_bytes(content)
    _open(tmp_path).close()
    assert (tmp_path / ASIDE).read_bytes() == content


def test_two_on_one_day_are_both_kept(tmp_path: Path) -> None:
    for content in (b"first rubbish", b"second rubbish"):
        (tmp_path / FILE_NAME).write_bytes(content * 100)
        _open(tmp_path).close()
    assert (tmp_path / ASIDE).read_bytes() == b"first rubbish" * 100
    assert (tmp_path / f"{ASIDE}-2").read_bytes() == b"second rubbish" * 100


def test_what_a_killed_program_left_behind_goes_along(tmp_path: Path) -> None:
    """Whoever rescues the marks needs the write-ahead log as well."""
    source, folder = tmp_path / "a", tmp_path / "b"
    store = Store.open(source)
    sheet = planted.song()
    song = store.song(sheet).id
    store.database.connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    store.mark(planted.mark(song, sheet))
    shutil.copytree(source, folder)
    store.close()
    (folder / FILE_NAME).write_bytes(b"rubbish" * 1000)
    left = (folder / f"{FILE_NAME}-wal").read_bytes()
    assert left
    _open(folder).close()
    assert (folder / f"{ASIDE}-wal").read_bytes() == left


def test_a_sound_log_that_a_killed_program_left_is_opened_with_all_marks(tmp_path: Path) -> None:
    source, folder = tmp_path / "a", tmp_path / "b"
    store = Store.open(source)
    sheet = planted.song()
    mark = planted.mark(store.song(sheet).id, sheet)
    store.mark(mark)
    shutil.copytree(source, folder)  # as after a power cut: nothing was closed
    store.close()
    again = _open(folder)
    assert (again.marks(), again.notice) == ([mark], "")
    again.close()


def test_a_large_log_is_not_read_through_at_every_start(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Its damage is told when it is met, and the next start sets it aside."""
    file = _filled(tmp_path)
    monkeypatch.setattr(damage, "SMALL", 1000)
    content = _spoil(file, start=file.stat().st_size // 4096 // 2 * 4096)  # past the tables' names
    store = _open(tmp_path)
    assert store.notice == ""
    with pytest.raises(LogError):
        store.marks()
    store.close()
    assert (tmp_path / f"{FILE_NAME}.doubt").exists()
    again = _open(tmp_path)
    assert ASIDE in again.notice
    assert not (tmp_path / f"{FILE_NAME}.doubt").exists()
    again.close()
    assert (tmp_path / ASIDE).read_bytes() == content


def test_damage_that_is_met_at_the_start_sets_a_large_log_aside_at_once(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = _filled(tmp_path)
    monkeypatch.setattr(damage, "SMALL", 1000)
    content = _spoil(file)
    store = _open(tmp_path)
    assert ASIDE in store.notice
    assert store.marks() == []
    store.close()
    assert (tmp_path / ASIDE).read_bytes() == content


def test_a_doubt_that_was_wrong_is_forgotten(tmp_path: Path) -> None:
    _filled(tmp_path)
    (tmp_path / f"{FILE_NAME}.doubt").touch()
    store = _open(tmp_path)
    assert (store.notice, len(store.marks())) == ("", 300)
    assert not (tmp_path / f"{FILE_NAME}.doubt").exists()
    store.close()


def test_another_programs_tables_are_refused_and_left_alone(tmp_path: Path) -> None:
    with closing(sqlite3.connect(tmp_path / FILE_NAME)) as connection:
        connection.execute("CREATE TABLE song (anything TEXT)")
    before = (tmp_path / FILE_NAME).read_bytes()
    with pytest.raises(LogError):
        _open(tmp_path)
    assert [file.name for file in tmp_path.iterdir() if "damaged" in file.name] == []
    with closing(sqlite3.connect(tmp_path / FILE_NAME)) as connection:
        tables = connection.execute("SELECT name FROM sqlite_schema").fetchall()
    assert tables == [("song",)]
    assert len(before) == (tmp_path / FILE_NAME).stat().st_size
