"""Logs of the first layout: kept whole beside the new one, and every mark carried over."""

import sqlite3
import time
from contextlib import closing
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from tests.log import planted
from tests.log.first_layout import write_first_layout

from chartwalk.log import Anchor, Kind, LogError, Store, database
from chartwalk.log.anchors import anchor_at
from chartwalk.log.database import FILE_NAME


@pytest.fixture
def old(tmp_path: Path) -> Path:
    """A folder with a log of the first layout."""
    write_first_layout(tmp_path)
    return tmp_path


def _dump(file: Path) -> list[str]:
    with closing(sqlite3.connect(file)) as connection:
        return list(connection.iterdump())


def test_songs_marks_and_settings_are_kept(old: Path) -> None:
    store = Store.open(old)
    assert [(song.title, song.path, song.prints) for song in store.songs()] == [
        ("B", "/gone/b.lead", ()),
        ("A", "/gone/a.lead", ()),
    ]
    b, a = (song.id for song in store.songs())
    marks = [
        (mark.song, mark.anchor, mark.bar, mark.pass_, mark.chord, mark.tempo)
        for mark in store.marks()
    ]
    fourth = Anchor("", "", "", 3, "4")
    assert marks == [
        (b, Anchor("", "", "", 0, "0"), 0, 1, "", 60.0),
        (a, Anchor("", "", "", 90, "91"), 90, 1, "C", 84.0),
        (a, fourth, 3, 1, "F", 84.0),
        (a, fourth, 3, 2, "F", 80.0),
    ]
    assert store.marks()[3].time == datetime(2024, 5, 6, 8, 1, 0, 500_000, tzinfo=UTC)
    assert {(mark.kind, mark.words, mark.came_from, mark.beat) for mark in store.marks()} == {
        (Kind.UNSAID, "", "", None)
    }
    assert all(mark.goal == mark.tempo for mark in store.marks())
    assert store.mark_counts(a) == {3: 2, 90: 1}
    assert store.setting("port") == "Piano 20:0"
    store.close()


def test_the_day_is_the_one_where_the_player_is(old: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    if not hasattr(time, "tzset"):
        pytest.skip("this system sets its time zone otherwise")
    monkeypatch.setenv("TZ", "Europe/Dublin")
    time.tzset()
    try:
        store = Store.open(old)
        assert store.marks()[0].day == date(2024, 5, 8), "half past midnight, in summer time"
        store.close()
    finally:
        monkeypatch.undo()
        time.tzset()


def test_the_old_file_is_kept_whole(old: Path) -> None:
    before = _dump(old / FILE_NAME)
    Store.open(old).close()
    copy = old / f"{FILE_NAME}.before-2"
    assert _dump(copy) == before
    assert _dump(old / FILE_NAME) != before


def test_a_copy_that_is_there_is_never_written_over(old: Path) -> None:
    copy = old / f"{FILE_NAME}.before-2"
    copy.write_text("the player's own")
    before = _dump(old / FILE_NAME)
    Store.open(old).close()
    assert copy.read_text() == "the player's own"
    assert _dump(old / f"{FILE_NAME}.before-2-2") == before


def test_a_new_log_needs_no_copy(tmp_path: Path) -> None:
    Store.open(tmp_path).close()
    Store.open(tmp_path).close()
    assert [file.name for file in tmp_path.iterdir()] == [FILE_NAME]


def test_a_log_that_can_not_be_copied_stays_as_it_is(
    old: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = _dump(old / FILE_NAME)

    def no_room(file: Path, version: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(database, "_keep_copy", no_room)
    with pytest.raises(LogError, match="no space left"):
        Store.open(old)
    assert _dump(old / FILE_NAME) == before


def test_two_copies_of_one_old_log_become_the_same_marks(tmp_path: Path) -> None:
    ids = []
    for name in ("one", "two"):
        write_first_layout(tmp_path / name)
        store = Store.open(tmp_path / name)
        ids.append([*(mark.id for mark in store.marks()), *(song.id for song in store.songs())])
        store.close()
    assert ids[0] == ids[1]
    assert len(set(ids[0])) == 6
    assert all(len(each) == 32 for each in ids[0])


def test_once_the_chart_is_opened_the_marks_hold_on_to_their_bars(old: Path) -> None:
    store = Store.open(old)
    sheet = planted.song()
    song = store.song(sheet)
    assert [mark.anchor for mark in store.marks(song.id)][1:] == [anchor_at(sheet.bars, 3)] * 2
    assert [mark.bar for mark in store.marks(song.id)] == [None, 3, 3], "there is no bar 91"
    store.song(planted.song(["Abm7", *planted.CHORDS]))
    assert [mark.bar for mark in store.marks(song.id)] == [None, 4, 4]
    assert store.mark_counts(song.id) == {4: 2}
    store.close()


def test_a_mark_goes_by_its_number_where_the_pickup_was_not_counted_before(old: Path) -> None:
    """Bars with other numbers than their places: the number is what the page has."""
    store = Store.open(old)
    numbers = ["0", "1", "2", "3", "4", "5"]
    prints = [f"{n:016x}" for n in range(6)]
    song = store.song_opened("/gone/a.lead", "A", prints, numbers)
    marks = store.marks(song.id)
    assert [mark.bar for mark in marks] == [None, 4, 4]
    assert marks[1].anchor == Anchor(prints[4], prints[3], prints[5], 4, "4")
    store.close()


def test_a_bar_that_comes_later_takes_its_marks(old: Path) -> None:
    """A chart half typed when it was opened: what has no bar yet waits for it."""
    store = Store.open(old)
    song = store.song(planted.song(planted.CHORDS[:3]))
    assert [mark.bar for mark in store.marks(song.id)] == [None, None, None]
    store.song(planted.song())
    assert [mark.bar for mark in store.marks(song.id)] == [None, 3, 3]
    store.close()
