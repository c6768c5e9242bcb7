"""The log: songs, marks, passes and settings, in a real file and read from outside."""

import sqlite3
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

from tests.log import planted
from tests.log.planted import START

from chartwalk.log import Kind, Store, new_id
from chartwalk.log.database import FILE_NAME


def _rows(folder: Path, query: str) -> list[tuple[object, ...]]:
    """Ask the file over a connection of its own."""
    connection = sqlite3.connect(folder / FILE_NAME)
    try:
        return connection.execute(query).fetchall()
    finally:
        connection.close()


def test_a_new_log_is_empty(store: Store) -> None:
    assert (store.marks(), store.songs(), store.passes(), store.runs()) == ([], [], [], [])
    assert store.setting("port") is None
    assert store.mark_counts(new_id()) == {}


def test_folders_are_made(tmp_path: Path) -> None:
    folder = tmp_path / "a" / "b c" / "数据"
    Store.open(folder).close()
    assert (folder / FILE_NAME).is_file()


def test_a_mark_is_in_the_file_before_the_call_returns(store: Store, tmp_path: Path) -> None:
    sheet = planted.song()
    song = store.song(sheet).id
    for number in range(5):
        store.mark(planted.mark(song, sheet, number))
        assert _rows(tmp_path, "SELECT count(*) FROM mark") == [(number + 1,)]


def test_a_mark_is_read_as_it_was_written(store: Store, tmp_path: Path) -> None:
    sheet = planted.song(title="Träume & 'Nächte' \"夜\" 🎹", path="/gone/träume/夜 🎹.lead")
    song = store.song(sheet)
    assert (song.title, song.path) == (sheet.chart.title, sheet.identity)
    written = planted.mark(song.id, sheet, 3, words="die Terz, 夜", kind=Kind.HANDS)
    bare = planted.mark(song.id, sheet, 0, -1, beat=None, chord="", came_from="")
    store.mark(written)
    store.mark(bare)
    assert store.marks() == [written, bare]
    second = Store.open(tmp_path)
    assert second.marks() == [written, bare]
    second.close()


def test_marks_come_latest_first_by_song_and_at_most_so_many(store: Store) -> None:
    one, two = planted.song(), planted.song(planted.CHORDS[::-1], "B", "/gone/b.lead")
    a, b = store.song(one).id, store.song(two).id
    first, third, second = (
        planted.mark(a, one, 1, 1), planted.mark(b, two, 3, 3), planted.mark(a, one, 2, 2),
    )  # fmt: skip
    for each in (first, third, second):
        store.mark(each)
    assert store.marks() == [third, second, first]
    assert store.marks(a) == [second, first]
    assert store.marks(b) == [third]
    assert store.marks(new_id()) == []
    assert store.marks(limit=2) == [third, second]
    assert store.marks(a, limit=1) == [second]


def test_marks_of_one_moment_come_latest_written_first(store: Store) -> None:
    sheet = planted.song()
    song = store.song(sheet).id
    same = [planted.mark(song, sheet, index) for index in (4, 0, 2)]
    for each in same:
        store.mark(each)
    assert store.marks() == same[::-1]


def test_whole_seconds_and_fractions_are_in_order(store: Store) -> None:
    sheet = planted.song()
    song = store.song(sheet).id
    start = datetime(2024, 5, 6, 7, 8, 9, tzinfo=UTC)
    marks = [
        planted.mark(song, sheet, time=start + timedelta(microseconds=part))
        for part in (0, 1, 500_000, 999_999, 1_000_000)
    ]
    for place in (2, 0, 4, 1, 3):
        store.mark(marks[place])
    assert store.marks() == marks[::-1]


def test_a_mark_that_was_taken_back_is_gone(store: Store) -> None:
    sheet = planted.song()
    song = store.song(sheet).id
    kept, back = planted.mark(song, sheet, 2), planted.mark(song, sheet, 2)
    store.mark(kept)
    store.mark(back)
    assert store.mark_counts(song) == {2: 2}
    store.unmark(back.id)
    store.unmark(back.id)
    assert store.marks() == [kept]
    assert store.mark_counts(song) == {2: 1}
    store.unmark(kept.id)
    assert store.mark_counts(song) == {}


def test_more_can_be_said_about_a_mark(store: Store) -> None:
    sheet = planted.song()
    mark = planted.mark(store.song(sheet).id, sheet)
    store.mark(mark)
    store.amend(mark.id, kind=Kind.JUMP)
    assert store.marks() == [replace(mark, kind=Kind.JUMP)]
    store.amend(mark.id, words="to the coda")
    assert store.marks() == [replace(mark, kind=Kind.JUMP, words="to the coda")]
    store.amend(mark.id, kind=Kind.UNSAID, words="")
    assert store.marks() == [mark]


def test_the_counts_of_a_songs_bars(store: Store) -> None:
    one, two = planted.song(), planted.song(planted.CHORDS[::-1], "B", "/gone/b.lead")
    a, b = store.song(one).id, store.song(two).id
    for index in (3, 3, 5, 3):
        store.mark(planted.mark(a, one, index))
    store.mark(planted.mark(b, two, 3))
    assert store.mark_counts(a) == {3: 3, 5: 1}
    assert store.mark_counts(b) == {3: 1}


def test_runs_and_passes_are_read_as_they_were_written(store: Store, tmp_path: Path) -> None:
    sheet = planted.song()
    song = store.song(sheet).id
    run = planted.run(song, kind="drill")
    store.run_started(run)
    first = planted.played(song, sheet, run.id, (2, 5))
    second = planted.played(
        song, sheet, run.id, (4, 4), clean=False, whole=False, hands="", depth="lean", kind="drill",
        time=START + timedelta(seconds=9),
    )  # fmt: skip
    store.write_pass(first)
    assert _rows(tmp_path, "SELECT count(*) FROM pass") == [(1,)]
    store.write_pass(second)
    store.run_ended(run.id, 62.5)
    assert store.passes() == store.passes(song) == [second, first]
    assert store.passes(limit=1) == [second]
    assert store.runs() == store.runs(song) == [replace(run, seconds=62.5)]
    store.run_ended(run.id, 30.0)
    assert store.runs() == [replace(run, seconds=62.5)], "never shorter"


def test_songs_come_latest_opened_first(store: Store) -> None:
    a = store.song(planted.song())
    b = store.song_opened("/gone/b", "夜 & Tag")
    again = store.song(planted.song(title="A again"))
    assert again == replace(a, title="A again", opened=again.opened)
    assert store.songs() == [again, b]


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


def test_choices_are_kept_for_each_song(store: Store, tmp_path: Path) -> None:
    a = store.song(planted.song()).id
    b = store.song_opened("/gone/b", "B").id
    store.set_for_song(a, "shift", "-2")
    store.set_for_song(b, "shift", "3")
    store.set_for_song(a, "depth", "lean")
    store.set_for_song(a, "shift", "-3")
    second = Store.open(tmp_path)
    assert second.song_setting(a, "shift") == "-3"
    assert second.song_setting(b, "shift") == "3"
    assert second.song_setting(b, "depth") is None
    second.set_for_song(a, "depth", None)
    second.close()
    assert store.song_setting(a, "depth") is None
    assert store.setting("shift") is None


def test_a_choice_holds_though_the_clock_went_back(tmp_path: Path) -> None:
    late, early = Store.open(tmp_path), Store.open(tmp_path, lambda: START - timedelta(days=900))
    song = late.song(planted.song()).id
    late.set_for_song(song, "depth", "lean")
    early.set_for_song(song, "depth", "plain")
    assert late.song_setting(song, "depth") == "plain"
    late.close()
    early.close()


def test_times_are_in_utc(store: Store, tmp_path: Path) -> None:
    sheet = planted.song()
    song = store.song(sheet)
    store.mark(planted.mark(song.id, sheet))
    assert {each.time.tzinfo for each in store.marks()} == {UTC}
    assert song.opened.utcoffset() == timedelta(0)
    for table, column in (("mark", "time"), ("song", "opened")):
        for (text,) in _rows(tmp_path, f"SELECT {column} FROM {table}"):
            assert str(text).endswith("+00:00")


def test_without_a_clock_songs_are_opened_now(tmp_path: Path) -> None:
    before = datetime.now(UTC)
    opened = Store.open(tmp_path)
    song = opened.song_opened("/gone/a", "A")
    opened.close()
    assert before <= song.opened <= datetime.now(UTC)


def test_opening_again_changes_nothing(tmp_path: Path) -> None:
    first = Store.open(tmp_path)
    sheet = planted.song()
    mark = planted.mark(first.song(sheet).id, sheet)
    first.mark(mark)
    first.close()
    queries = ("PRAGMA user_version", "SELECT * FROM sqlite_schema", "SELECT * FROM mark")
    before = [_rows(tmp_path, query) for query in queries]
    for _ in range(3):
        again = Store.open(tmp_path)
        assert again.marks() == [mark]
        again.close()
    assert [_rows(tmp_path, query) for query in queries] == before
    assert before[0] != [(0,)]


def test_two_logs_are_open_at_once(tmp_path: Path) -> None:
    first, second = Store.open(tmp_path), Store.open(tmp_path)
    sheet = planted.song()
    song = first.song(sheet)
    assert second.song(sheet).id == song.id
    marks = [planted.mark(song.id, sheet, after=number) for number in range(3)]
    first.mark(marks[0])
    second.mark(marks[1])
    assert first.marks() == second.marks() == [marks[1], marks[0]]
    first.close()
    second.mark(marks[2])
    assert len(second.marks()) == 3
    second.close()


def test_a_log_in_memory(tmp_path: Path) -> None:
    store = Store.in_memory()
    sheet = planted.song()
    mark = planted.mark(store.song(sheet).id, sheet)
    store.mark(mark)
    store.set("port", "Piano")
    assert store.marks() == [mark]
    assert store.setting("port") == "Piano"
    assert store.notice == ""
    store.close()
    assert list(tmp_path.iterdir()) == []


def test_a_mark_is_synced_to_the_disk(store: Store) -> None:
    # SQLite: synchronous FULL is 2; the write-ahead log is synced at every commit only then.
    names = ("journal_mode", "synchronous", "foreign_keys")
    asked = [store.database.connection.execute(f"PRAGMA {name}").fetchone()[0] for name in names]
    assert asked == ["wal", 2, 1]


def test_what_is_asked_often_is_found_without_reading_all(store: Store) -> None:
    """SQLite says of each query how it goes; none may walk through all marks or sort them."""
    sheet = planted.song()
    song = store.song(sheet).id
    said: list[str] = []
    store.database.connection.set_trace_callback(said.append)
    store.marks(limit=200)
    store.marks(song, limit=200)
    store.marks(since=date(2024, 5, 1))
    store.marks(song, since=date(2024, 5, 1))
    store.mark_counts(song)
    store.passes(song)
    store.passes(since=date(2024, 5, 1))
    store.runs(since=date(2024, 5, 1))
    store.songs()
    store.song_setting(song, "depth")
    store.database.connection.set_trace_callback(None)
    queries = [query for query in said if query.lstrip().startswith("SELECT")]
    assert len(queries) >= 10
    for query in queries:
        plan = store.database.connection.execute(f"EXPLAIN QUERY PLAN {query}").fetchall()
        steps = [str(step[3]) for step in plan]
        slow = [step for step in steps if step.startswith(("SCAN mark", "SCAN pass", "SCAN run"))
                and "INDEX" not in step]  # fmt: skip
        assert not slow, query
        sorts = "mark" in query and any("TEMP B-TREE FOR ORDER" in step for step in steps)
        assert not sorts or "FROM song" in query, query


DAYS = [date(2024, 5, 5), date(2024, 5, 6), date(2024, 5, 7)]


def test_marks_and_passes_since_a_day_go_by_the_players_day(store: Store) -> None:
    """The latest and the earliest place on earth: fourteen hours before UTC, twelve behind."""
    sheet = planted.song()
    song = store.song(sheet).id
    run = planted.run(song, day=DAYS[1])
    store.run_started(run)
    ahead = datetime(2024, 5, 5, 10, 0, tzinfo=UTC)  # midnight of the 6th at UTC+14
    behind = datetime(2024, 5, 7, 11, 59, tzinfo=UTC)  # the last minute of the 6th at UTC-12
    for time in (ahead, behind):
        store.mark(planted.mark(song, sheet, time=time, day=DAYS[1]))
        store.write_pass(planted.played(song, sheet, run.id, time=time, day=DAYS[1]))
    for since, count in zip(DAYS, (2, 2, 0), strict=True):
        assert len(store.marks(since=since)) == len(store.marks(song, since)) == count
        assert len(store.passes(since=since)) == count
        assert len(store.runs(since=since)) == count // 2
    assert len(store.marks(since=date.min)) == 2
    assert store.marks(since=date.max) == []
