"""Logs that can't be opened, read or written: one line for the player, never a crash."""

import signal
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest
from tests.log import planted

from chartwalk.log import Kind, LogError, Store
from chartwalk.log.database import FILE_NAME

PATIENCE = 60.0


def _line(call: Callable[[], object]) -> str:
    """Make a call that is refused, and return what the player is told."""
    with pytest.raises(LogError) as caught:
        call()
    line = str(caught.value)
    assert line.strip() == line
    assert line
    assert "\n" not in line
    assert "Errno" not in line
    assert line.count("/data") <= 1, "the file is named once"
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


def test_an_empty_file_becomes_a_log(tmp_path: Path) -> None:
    (tmp_path / FILE_NAME).touch()
    store = Store.open(tmp_path)
    store.song(planted.song())
    assert store.notice == ""
    store.close()


def test_a_log_of_a_newer_version_is_refused_and_left_alone(tmp_path: Path) -> None:
    store = Store.open(tmp_path)
    song = store.song(planted.song())
    store.close()
    with closing(sqlite3.connect(tmp_path / FILE_NAME)) as connection:
        (version,) = connection.execute("PRAGMA user_version").fetchone()
        connection.execute(f"PRAGMA user_version = {version + 1}")
    before = (tmp_path / FILE_NAME).read_bytes()
    line = _line(lambda: Store.open(tmp_path))
    assert "newer" in line
    assert "update" in line
    assert (tmp_path / FILE_NAME).read_bytes() == before
    with closing(sqlite3.connect(tmp_path / FILE_NAME)) as connection:
        connection.execute(f"PRAGMA user_version = {version}")
    store = Store.open(tmp_path)
    assert store.songs() == [song]
    store.close()


def test_a_log_that_another_program_keeps_locked(tmp_path: Path) -> None:
    store = Store.open(tmp_path)
    sheet = planted.song()
    song = store.song(sheet).id
    first, second, third = (planted.mark(song, sheet, after=n) for n in range(3))
    store.mark(first)
    with closing(sqlite3.connect(tmp_path / FILE_NAME, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        assert store.marks() == [first]  # reading goes on
        _line(lambda: store.mark(second))
        other.execute("COMMIT")
    store.mark(third)
    assert store.marks() == [third, first]
    store.close()


def test_a_log_that_was_closed(tmp_path: Path) -> None:
    store = Store.open(tmp_path)
    sheet = planted.song()
    song = store.song(sheet).id
    run = planted.run(song)
    store.close()
    calls: list[Callable[[], object]] = [
        lambda: store.song(sheet),
        lambda: store.mark(planted.mark(song, sheet)),
        lambda: store.unmark("0" * 32),
        lambda: store.amend("0" * 32, kind=Kind.CHORD),
        store.marks,
        store.songs,
        store.passes,
        store.runs,
        lambda: store.mark_counts(song),
        lambda: store.run_started(run),
        lambda: store.run_ended(run.id, 5.0),
        lambda: store.write_pass(planted.played(song, sheet, run.id)),
        lambda: store.setting("port"),
        lambda: store.set("port", "x"),
        lambda: store.set("port", None),
        lambda: store.song_setting(song, "depth"),
        lambda: store.set_for_song(song, "depth", "lean"),
    ]
    for call in calls:
        _line(call)


def test_what_belongs_to_nothing_is_refused(store: Store) -> None:
    sheet = planted.song()
    song = store.song(sheet).id
    strange = "f" * 32
    assert "could not be written" in _line(lambda: store.mark(planted.mark(strange, sheet)))
    assert "could not be written" in _line(lambda: store.mark(planted.mark("", sheet)))
    _line(lambda: store.run_started(planted.run(strange)))
    _line(lambda: store.write_pass(planted.played(song, sheet, strange)))
    _line(lambda: store.set_for_song(strange, "depth", "lean"))
    assert (store.marks(), store.runs(), store.passes()) == ([], [], [])


def test_the_same_id_twice_is_refused(store: Store) -> None:
    sheet = planted.song()
    mark = planted.mark(store.song(sheet).id, sheet)
    store.mark(mark)
    _line(lambda: store.mark(mark))
    assert store.marks() == [mark]
    assert store.mark_counts(mark.song) == {0: 1}


def test_a_time_in_the_file_that_is_none(store: Store) -> None:
    sheet = planted.song()
    store.mark(planted.mark(store.song(sheet).id, sheet))
    store.database.connection.execute("UPDATE mark SET time = 'soon'")
    _line(store.marks)


@pytest.mark.skipif(sys.platform == "win32", reason="file names are bytes elsewhere only")
def test_a_song_whose_name_is_not_utf_8(store: Store) -> None:
    """Such names come from old disks; the song is kept or refused with a line, never a crash."""
    path = b"/songs/caf\xe9.lead".decode("utf-8", "surrogateescape")
    record = store.song(planted.song(path=path))
    assert record.path.endswith("caf\\udce9.lead")
    _line(lambda: store.song_opened(path, "Café"))


FILL = """
import resource, signal, sys
from pathlib import Path
from chartwalk.log import LogError, Store
from tests.log import planted

store = Store.open(Path(sys.argv[1]))
sheet = planted.song()
song = store.song(sheet).id
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
resource.setrlimit(resource.RLIMIT_FSIZE, (300_000, 300_000))
kept = 0
try:
    for number in range(5000):
        store.mark(planted.mark(song, sheet, 3, words=f"{number} {'x' * 3000}"))
        kept += 1
except LogError as error:
    print(kept)
    print(str(error).count("\\n"), error)
print(len(store.marks()), store.mark_counts(song)[3])
"""


@pytest.mark.skipif(not hasattr(signal, "SIGXFSZ"), reason="no limit on the size of files here")
def test_a_disk_that_is_full(tmp_path: Path) -> None:
    """What was told to be written is there; what was refused is not; reading goes on."""
    answer = subprocess.run(
        [sys.executable, "-c", FILL, str(tmp_path)],
        cwd=Path(__file__).parents[2],
        stdout=subprocess.PIPE,
        text=True,
        timeout=PATIENCE,
        check=True,
    ).stdout.splitlines()
    kept, line, read = int(answer[0]), answer[1], answer[2]
    assert kept > 0
    assert line.startswith("0 the mark could not be written: ")
    assert read == f"{kept} {kept}"
    store = Store.open(tmp_path)
    assert [int(each.words.split()[0]) for each in store.marks()] == list(range(kept))[::-1]
    store.close()


def test_a_log_that_has_no_more_room_takes_marks_again_when_it_has(store: Store) -> None:
    sheet = planted.song()
    song = store.song(sheet).id
    connection = store.database.connection
    (pages,) = connection.execute("PRAGMA page_count").fetchone()
    connection.execute(f"PRAGMA max_page_count = {pages}")
    assert "full" in _line(lambda: store.mark(planted.mark(song, sheet, words="x" * 20_000)))
    assert store.marks() == []
    connection.execute("PRAGMA max_page_count = 1000000")
    mark = planted.mark(song, sheet, words="x" * 20_000)
    store.mark(mark)
    assert store.marks() == [mark]
