"""The log on disk: one SQLite file with the marks, the songs opened and the settings.

Every write is committed, and synced to the disk, before the call returns. Times are UTC in
ISO 8601. The layout of the tables is numbered by ``user_version``; a newer number than this
program knows is refused rather than guessed at.
"""

import sqlite3
import time
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Final, Self

PATIENCE: Final = 2.0  # seconds to wait for another program that is writing
FILE_NAME: Final = "log.sqlite"
SCHEMA: Final = (
    """
    CREATE TABLE song (
        id INTEGER PRIMARY KEY,
        path TEXT NOT NULL UNIQUE,
        title TEXT NOT NULL,
        opened TEXT NOT NULL
    ) STRICT;
    CREATE TABLE mark (
        id INTEGER PRIMARY KEY,
        song INTEGER NOT NULL REFERENCES song(id),
        bar INTEGER NOT NULL,
        number TEXT NOT NULL,
        pass INTEGER NOT NULL,
        chord TEXT NOT NULL,
        tempo REAL NOT NULL,
        time TEXT NOT NULL
    ) STRICT;
    CREATE INDEX mark_of_song ON mark(song, bar);
    CREATE TABLE setting (name TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT;
    """,
)
"""The steps from an empty file to today's layout, one a version."""


class LogError(Exception):
    """The log can't be opened or written; the message is one line for the player."""


@dataclass(frozen=True, slots=True)
class Mark:
    """A bar that gave trouble: where in the song, when, and at what tempo.

    ``bar`` is the index of the written bar from 0 and ``number`` what the page prints; ``chord``
    is the symbol as written (empty where none sounds); ``tempo`` is in beats a minute.
    """

    path: str
    title: str
    bar: int
    number: str
    pass_: int
    chord: str
    tempo: float
    time: datetime


@dataclass(frozen=True, slots=True)
class OpenedSong:
    """A song that was opened before: its file, its title and when it was opened last."""

    path: str
    title: str
    opened: datetime


class Store:
    """The log; make it with `open`. Every method raises LogError where the disk refuses."""

    def __init__(self, connection: sqlite3.Connection, now: Callable[[], datetime]) -> None:
        self._db = connection
        self._now = now

    @classmethod
    def open(cls, folder: Path, now: Callable[[], datetime] = lambda: datetime.now(UTC)) -> Self:
        """Open the log in a folder, making both where they are missing."""
        file = folder / FILE_NAME
        with _told(f"the log {file} can't be opened"), ExitStack() as undo:
            folder.mkdir(parents=True, exist_ok=True)
            connection = sqlite3.connect(file, isolation_level=None, timeout=PATIENCE)
            undo.callback(connection.close)
            _use_wal(connection)
            connection.execute("PRAGMA synchronous = FULL")
            connection.execute("PRAGMA foreign_keys = ON")
            _migrate(connection)
            undo.pop_all()
        return cls(connection, now)

    @classmethod
    def in_memory(cls, now: Callable[[], datetime] = lambda: datetime.now(UTC)) -> Self:
        """Return a log that lasts as long as the program, where the disk has no place for one."""
        connection = sqlite3.connect(":memory:", isolation_level=None)
        _migrate(connection)
        return cls(connection, now)

    def song_opened(self, path: str, title: str) -> None:
        """Remember that a song was opened now."""
        with _told("the song could not be remembered"):
            self._db.execute(
                "INSERT INTO song (path, title, opened) VALUES (?, ?, ?) ON CONFLICT (path) "
                "DO UPDATE SET title = excluded.title, opened = excluded.opened",
                (path, title, _utc(self._now())),
            )

    def songs(self) -> list[OpenedSong]:
        """Return the songs opened so far, the latest first."""
        with _told("the songs could not be read"):
            rows = self._db.execute("SELECT path, title, opened FROM song ORDER BY opened DESC, id")
            return [OpenedSong(row[0], row[1], datetime.fromisoformat(row[2])) for row in rows]

    def mark(self, mark: Mark) -> None:
        """Write a mark; it is on the disk when the call returns."""
        with _told("the mark could not be written"), self._db:
            self._db.execute("BEGIN IMMEDIATE")
            self._db.execute(
                "INSERT INTO song (path, title, opened) VALUES (?, ?, ?) ON CONFLICT DO NOTHING",
                (mark.path, mark.title, _utc(mark.time)),
            )
            self._db.execute(
                "INSERT INTO mark (song, bar, number, pass, chord, tempo, time) "
                "SELECT id, ?, ?, ?, ?, ?, ? FROM song WHERE path = ?",
                (
                    mark.bar, mark.number, mark.pass_, mark.chord, mark.tempo,
                    _utc(mark.time), mark.path,
                ),
            )  # fmt: skip

    def marks(self, path: str | None = None) -> list[Mark]:
        """Return the marks of a song, or of all songs, the latest first."""
        with _told("the marks could not be read"):
            rows = self._db.execute(
                "SELECT path, title, bar, number, pass, chord, tempo, time FROM mark "
                "JOIN song ON song.id = mark.song WHERE ? IS NULL OR path = ? "
                "ORDER BY time DESC, mark.id DESC",
                (path, path),
            )
            return [_mark(row) for row in rows]

    def setting(self, name: str) -> str | None:
        """Return a setting, None where it was never chosen."""
        with _told("the settings could not be read"):
            row = self._db.execute("SELECT value FROM setting WHERE name = ?", (name,)).fetchone()
        return None if row is None else str(row[0])

    def set(self, name: str, value: str | None) -> None:
        """Keep a setting; None forgets it."""
        with _told("the setting could not be written"):
            if value is None:
                self._db.execute("DELETE FROM setting WHERE name = ?", (name,))
            else:
                self._db.execute(
                    "INSERT INTO setting VALUES (?, ?) ON CONFLICT (name) "
                    "DO UPDATE SET value = excluded.value",
                    (name, value),
                )

    def close(self) -> None:
        """Close the file."""
        self._db.close()


def _utc(moment: datetime) -> str:
    return moment.astimezone(UTC).isoformat()


def _mark(row: tuple[str, str, int, str, int, str, float, str]) -> Mark:
    path, title, bar, number, pass_, chord, tempo, time = row
    return Mark(path, title, bar, number, pass_, chord, tempo, datetime.fromisoformat(time))


def _use_wal(connection: sqlite3.Connection) -> None:
    """Turn on write-ahead logging; while another program does the same, SQLite will not wait."""
    limit = time.monotonic() + PATIENCE
    while True:
        try:
            connection.execute("PRAGMA journal_mode = WAL")
            return
        except sqlite3.OperationalError:
            if time.monotonic() > limit:
                raise
            time.sleep(0.02)


def _migrate(connection: sqlite3.Connection) -> None:
    """Bring the tables up to today's layout, all or nothing; two programs may do so at once."""
    connection.execute("BEGIN IMMEDIATE")
    with connection:
        version = connection.execute("PRAGMA user_version").fetchone()[0]
        if version > len(SCHEMA):
            raise LogError("the log was written by a newer chartwalk: update this one")
        for number, script in enumerate(SCHEMA[version:], start=version + 1):
            for statement in filter(str.strip, script.split(";")):
                connection.execute(statement)
            connection.execute(f"PRAGMA user_version = {number}")


@contextmanager
def _told(what: str) -> Iterator[None]:
    """Turn the database's and the disk's errors into one line for the player."""
    try:
        yield
    except (sqlite3.Error, OSError, UnicodeError) as error:
        raise LogError(f"{what}: {error}") from error
