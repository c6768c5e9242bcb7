"""The log: marks, songs and settings, in a real file and read from outside."""

import sqlite3
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from chartwalk.log import Mark, Store
from chartwalk.log.store import FILE_NAME

MakeMark = Callable[..., Mark]

START = datetime(2024, 5, 6, 7, 8, 9, tzinfo=UTC)


class Hours:
    """A clock that is an hour later each time it is read."""

    def __init__(self) -> None:
        self.count = 0

    def __call__(self) -> datetime:
        self.count += 1
        return START + timedelta(hours=self.count)


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    opened = Store.open(tmp_path, Hours())
    yield opened
    opened.close()


def _rows(folder: Path, query: str) -> list[tuple[object, ...]]:
    """Ask the file over a connection of its own."""
    connection = sqlite3.connect(folder / FILE_NAME)
    try:
        return connection.execute(query).fetchall()
    finally:
        connection.close()


def test_a_new_log_is_empty(store: Store) -> None:
    assert store.marks() == []
    assert store.songs() == []
    assert store.setting("port") is None


def test_folders_are_made(tmp_path: Path) -> None:
    folder = tmp_path / "a" / "b c" / "数据"
    Store.open(folder).close()
    assert (folder / FILE_NAME).is_file()


def test_a_mark_is_in_the_file_before_the_call_returns(
    store: Store, tmp_path: Path, mark: MakeMark
) -> None:
    for number in range(5):
        store.mark(mark(number))
        assert _rows(tmp_path, "SELECT count(*), max(bar) FROM mark") == [(number + 1, number)]


def test_a_mark_is_read_as_it_was_written(store: Store, tmp_path: Path, mark: MakeMark) -> None:
    written = mark(3, "/träume/夜 🎹.lead", "Träume & 'Nächte' \"夜\" 🎹")
    store.mark(written)
    assert store.marks() == [written]
    second = Store.open(tmp_path)
    assert second.marks() == [written]
    second.close()


def test_marks_come_latest_first_and_by_song(store: Store, mark: MakeMark) -> None:
    a, b, c = mark(1, "/a", "A"), mark(3, "/b", "B"), mark(2, "/a", "A")
    for each in (a, b, c):
        store.mark(each)
    assert store.marks() == [b, c, a]
    assert store.marks("/a") == [c, a]
    assert store.marks("/b") == [b]
    assert store.marks("/none") == []


def test_marks_of_one_moment_come_latest_written_first(store: Store, mark: MakeMark) -> None:
    same = [mark(0, "/a", "A"), mark(0, "/b", "B"), mark(0, "/c", "C")]
    for each in same:
        store.mark(each)
    assert store.marks() == same[::-1]


def test_whole_seconds_and_fractions_are_in_order(store: Store, mark: MakeMark) -> None:
    times = [START + timedelta(microseconds=part) for part in (0, 1, 500_000, 999_999, 1_000_000)]
    base = mark()
    marks = [
        Mark(base.path, base.title, place, "1", 1, "", 60.0, time)
        for place, time in enumerate(times)
    ]
    for each in (marks[2], marks[0], marks[4], marks[1], marks[3]):
        store.mark(each)
    assert store.marks() == marks[::-1]


def test_the_same_mark_twice_is_two_marks(store: Store, mark: MakeMark) -> None:
    store.mark(mark())
    store.mark(mark())
    assert len(store.marks()) == 2


def test_a_mark_without_a_chord(store: Store) -> None:
    written = Mark("/a", "A", 0, "0", 2, "", 60.0, START)
    store.mark(written)
    assert store.marks() == [written]


def test_songs_come_latest_opened_first(store: Store) -> None:
    store.song_opened("/a", "A")
    store.song_opened("/b", "夜 & Tag")
    store.song_opened("/c", "C")
    store.song_opened("/a", "A again")
    found = [(song.path, song.title) for song in store.songs()]
    assert found == [("/a", "A again"), ("/c", "C"), ("/b", "夜 & Tag")]
    assert [song.opened for song in store.songs()] == [
        START + timedelta(hours=hours) for hours in (4, 3, 2)
    ]


def test_a_song_that_is_marked_is_among_the_songs_once(store: Store, mark: MakeMark) -> None:
    store.mark(mark(0, "/a", "A"))
    store.song_opened("/a", "A")
    store.mark(mark(1, "/a", "A"))
    assert [song.path for song in store.songs()] == ["/a"]
    assert len(store.marks("/a")) == 2


def test_settings(store: Store, tmp_path: Path) -> None:
    store.set("port", "Piano 20:0")
    store.set("größe", "夜")
    store.set("empty", "")
    store.set("port", "Orgel ♭")
    second = Store.open(tmp_path)
    names = ("port", "größe", "empty", "none")
    assert [second.setting(name) for name in names] == ["Orgel ♭", "夜", "", None]
    second.set("port", None)
    second.set("none", None)
    second.close()
    assert store.setting("port") is None
    assert store.setting("größe") == "夜"


def test_times_are_in_utc(store: Store, tmp_path: Path, mark: MakeMark) -> None:
    store.mark(mark())
    store.song_opened("/b", "B")
    assert {each.time.tzinfo for each in store.marks()} == {UTC}
    assert all(song.opened.utcoffset() == timedelta(0) for song in store.songs())
    for table, column in (("mark", "time"), ("song", "opened")):
        for (text,) in _rows(tmp_path, f"SELECT {column} FROM {table}"):
            assert str(text).endswith("+00:00")


def test_without_a_clock_songs_are_opened_now(tmp_path: Path) -> None:
    before = datetime.now(UTC)
    opened = Store.open(tmp_path)
    opened.song_opened("/a", "A")
    (song,) = opened.songs()
    opened.close()
    assert before <= song.opened <= datetime.now(UTC)
    assert song.opened.utcoffset() == timedelta(0)


def test_opening_again_changes_nothing(tmp_path: Path, mark: MakeMark) -> None:
    first = Store.open(tmp_path)
    first.mark(mark())
    first.close()
    before = [
        _rows(tmp_path, query) for query in ("PRAGMA user_version", "SELECT * FROM sqlite_schema")
    ]
    for _ in range(3):
        again = Store.open(tmp_path)
        assert again.marks() == [mark()]
        again.close()
    after = [
        _rows(tmp_path, query) for query in ("PRAGMA user_version", "SELECT * FROM sqlite_schema")
    ]
    assert after == before
    assert before[0] != [(0,)]


def test_two_logs_are_open_at_once(tmp_path: Path, mark: MakeMark) -> None:
    first, second = Store.open(tmp_path), Store.open(tmp_path)
    first.mark(mark(1))
    second.mark(mark(2))
    assert first.marks() == second.marks() == [mark(2), mark(1)]
    first.close()
    second.mark(mark(3))
    assert len(second.marks()) == 3
    second.close()


def test_a_log_in_memory(tmp_path: Path, mark: MakeMark) -> None:
    store = Store.in_memory(Hours())
    store.mark(mark())
    store.song_opened("/b", "B")
    store.set("port", "Piano")
    assert store.marks() == [mark()]
    assert len(store.songs()) == 2
    assert store.setting("port") == "Piano"
    store.close()
    assert list(tmp_path.iterdir()) == []


def test_a_mark_is_synced_to_the_disk(tmp_path: Path) -> None:
    # SQLite: synchronous FULL is 2; the write-ahead log is synced at every commit only then.
    store = Store.open(tmp_path)
    asked = {name: store._db.execute(f"PRAGMA {name}").fetchone()[0]
             for name in ("journal_mode", "synchronous", "foreign_keys")}  # fmt: skip
    store.close()
    assert asked == {"journal_mode": "wal", "synchronous": 2, "foreign_keys": 1}
