"""The layout of the log's tables, and the steps from each layout to the next.

A step, once released, never changes: a new layout is a new step at the end of `STEPS`. Times and
days are text in ISO 8601, times in UTC; fractions are text.
"""

import sqlite3
from collections.abc import Callable, Iterable
from datetime import datetime
from typing import Final
from uuid import UUID, uuid5

FIRST: Final = (
    """
    CREATE TABLE song (
        id INTEGER PRIMARY KEY,
        path TEXT NOT NULL UNIQUE,
        title TEXT NOT NULL,
        opened TEXT NOT NULL
    ) STRICT
    """,
    """
    CREATE TABLE mark (
        id INTEGER PRIMARY KEY,
        song INTEGER NOT NULL REFERENCES song(id),
        bar INTEGER NOT NULL,
        number TEXT NOT NULL,
        pass INTEGER NOT NULL,
        chord TEXT NOT NULL,
        tempo REAL NOT NULL,
        time TEXT NOT NULL
    ) STRICT
    """,
    "CREATE INDEX mark_of_song ON mark(song, bar)",
    "CREATE TABLE setting (name TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT",
)
"""Marks hold on to the index of a bar; a song is its path."""

SECOND: Final = (
    # path is empty where another song lies there now; prints are joined by spaces
    """
    CREATE TABLE song (
        id INTEGER PRIMARY KEY,
        path TEXT NOT NULL,
        title TEXT NOT NULL,
        opened TEXT NOT NULL,
        prints TEXT NOT NULL
    ) STRICT
    """,
    "CREATE UNIQUE INDEX song_at ON song(path) WHERE path <> ''",
    # every id a song was known by, here or on another machine; the smallest is its own
    """
    CREATE TABLE song_id (
        id TEXT PRIMARY KEY,
        song INTEGER NOT NULL REFERENCES song(id)
    ) STRICT, WITHOUT ROWID
    """,
    "CREATE INDEX ids_of_song ON song_id(song, id)",
    # what marks and passes hold on to; place is the bar in today's chart, and marks counts them
    """
    CREATE TABLE anchor (
        id INTEGER PRIMARY KEY,
        song INTEGER NOT NULL REFERENCES song(id),
        print TEXT NOT NULL,
        before TEXT NOT NULL,
        after TEXT NOT NULL,
        bar INTEGER NOT NULL,
        number TEXT NOT NULL,
        place INTEGER,
        marks INTEGER NOT NULL DEFAULT 0
    ) STRICT
    """,
    "CREATE INDEX anchor_of_bar ON anchor(song, print, bar)",
    """
    CREATE TABLE mark (
        number INTEGER PRIMARY KEY,
        id TEXT NOT NULL UNIQUE,
        song INTEGER NOT NULL REFERENCES song(id),
        anchor INTEGER NOT NULL REFERENCES anchor(id),
        beat TEXT,
        chord TEXT NOT NULL,
        came_from TEXT NOT NULL,
        pass INTEGER NOT NULL,
        kind TEXT NOT NULL,
        words TEXT NOT NULL,
        tempo REAL NOT NULL,
        goal REAL NOT NULL,
        time TEXT NOT NULL,
        day TEXT NOT NULL,
        amended TEXT NOT NULL
    ) STRICT
    """,
    "CREATE INDEX mark_by_time ON mark(time)",
    "CREATE INDEX mark_of_song ON mark(song, time)",
    """
    CREATE TRIGGER mark_counted AFTER INSERT ON mark
    BEGIN UPDATE anchor SET marks = marks + 1 WHERE id = new.anchor; END
    """,
    """
    CREATE TRIGGER mark_no_longer_counted AFTER DELETE ON mark
    BEGIN UPDATE anchor SET marks = marks - 1 WHERE id = old.anchor; END
    """,
    # marks taken back, so that none comes again from another machine
    "CREATE TABLE unmarked (id TEXT PRIMARY KEY) STRICT, WITHOUT ROWID",
    """
    CREATE TABLE run (
        number INTEGER PRIMARY KEY,
        id TEXT NOT NULL UNIQUE,
        song INTEGER NOT NULL REFERENCES song(id),
        kind TEXT NOT NULL,
        time TEXT NOT NULL,
        day TEXT NOT NULL,
        seconds REAL NOT NULL
    ) STRICT
    """,
    "CREATE INDEX run_by_time ON run(time)",
    "CREATE INDEX run_of_song ON run(song, time)",
    """
    CREATE TABLE pass (
        number INTEGER PRIMARY KEY,
        id TEXT NOT NULL UNIQUE,
        song INTEGER NOT NULL REFERENCES song(id),
        run TEXT NOT NULL REFERENCES run(id),
        first INTEGER NOT NULL REFERENCES anchor(id),
        last INTEGER NOT NULL REFERENCES anchor(id),
        steps INTEGER NOT NULL,
        tempo REAL NOT NULL,
        goal REAL NOT NULL,
        depth TEXT NOT NULL,
        shift INTEGER NOT NULL,
        hands TEXT NOT NULL,
        kind TEXT NOT NULL,
        clean INTEGER NOT NULL,
        whole INTEGER NOT NULL,
        time TEXT NOT NULL,
        day TEXT NOT NULL,
        seconds REAL NOT NULL
    ) STRICT
    """,
    "CREATE INDEX pass_by_time ON pass(time)",
    "CREATE INDEX pass_of_song ON pass(song, time)",
    # value is null where a choice was taken back
    """
    CREATE TABLE song_setting (
        song INTEGER NOT NULL REFERENCES song(id),
        name TEXT NOT NULL,
        value TEXT,
        changed TEXT NOT NULL,
        PRIMARY KEY (song, name)
    ) STRICT, WITHOUT ROWID
    """,
)
"""Marks hold on to what a bar held, so that they follow it; runs, passes and choices of a song."""

# Ids come from what was written, so that two copies of one old log become the same marks; the goal
# was not kept: the tempo itself blames the bar neither more nor less.
_FROM_FIRST: Final = (
    "INSERT INTO song SELECT id, path, title, opened, '' FROM old_song",
    "INSERT INTO song_id SELECT stable_id('song', path), id FROM old_song",
    """
    INSERT INTO anchor (song, print, before, after, bar, number, place)
    SELECT DISTINCT song, '', '', '', bar, number, bar FROM old_mark
    """,
    """
    INSERT INTO mark (id, song, anchor, beat, chord, came_from, pass, kind, words, tempo, goal,
                      time, day, amended)
    SELECT stable_id('mark', old_song.path, old_mark.id, time, old_mark.bar), old_mark.song,
           anchor.id, NULL, chord, '', pass, '', '', tempo, tempo, time, day_of(time), time
    FROM old_mark JOIN old_song ON old_song.id = old_mark.song
    JOIN anchor ON anchor.song = old_mark.song AND anchor.print = ''
               AND anchor.bar = old_mark.bar AND anchor.number = old_mark.number
    ORDER BY old_mark.id
    """,
    "DROP TABLE old_mark",
    "DROP TABLE old_song",
)
_OLD: Final = UUID("6f0f6a52-0d0f-4c3e-9a0e-5f6d1b7c2a91")  # any will do that stays the same


def _make_first(connection: sqlite3.Connection) -> None:
    _run(connection, FIRST)


def _make_second(connection: sqlite3.Connection) -> None:
    connection.create_function("stable_id", -1, _stable_id, deterministic=True)
    connection.create_function("day_of", 1, _day_of)
    _run(connection, ["DROP INDEX mark_of_song"])
    _run(connection, [f"ALTER TABLE {name} RENAME TO old_{name}" for name in ("song", "mark")])
    _run(connection, SECOND)
    _run(connection, _FROM_FIRST)


def _run(connection: sqlite3.Connection, statements: Iterable[str]) -> None:
    for statement in statements:
        connection.execute(statement)


def _stable_id(*parts: object) -> str:
    return uuid5(_OLD, "\n".join(map(str, parts))).hex


def _day_of(time: str) -> str:
    """Return the day of a time where the player is; the old layout did not keep it."""
    return datetime.fromisoformat(time).astimezone().date().isoformat()


STEPS: Final[tuple[Callable[[sqlite3.Connection], None], ...]] = (_make_first, _make_second)
"""The steps from an empty file to today's layout, one a version."""
