"""The file of the log: opened, brought up to today's layout, read and written.

Every write is committed, and synced to the disk, before its ``with`` block is left. The layout of
the tables is numbered by ``user_version``; a newer number than this program knows is refused rather
than guessed at, and a copy of the file is kept before an older one is changed.
"""

import sqlite3
import time
from collections.abc import Iterator
from contextlib import ExitStack, closing, contextmanager, suppress
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Final

from chartwalk.log.damage import DOUBT, beside, free_name, set_aside, set_aside_if_damaged
from chartwalk.log.errors import LogError, is_damage, told
from chartwalk.log.schema import STEPS

PATIENCE: Final = 2.0  # seconds to wait for another program that is writing
FILE_NAME: Final = "log.sqlite"


@dataclass(frozen=True, slots=True)
class Database:
    """An open log; ``file`` is None where it is in memory."""

    connection: sqlite3.Connection
    file: Path | None = None

    @contextmanager
    def reading(self, what: str) -> Iterator[sqlite3.Connection]:
        """Give the connection; what goes wrong becomes a LogError that says ``what`` failed."""
        try:
            with told(what):
                yield self.connection
        except LogError as error:
            if self.file and is_damage(error.__cause__):  # the next start looks closer
                with suppress(OSError):
                    beside(self.file, DOUBT).touch()
            raise

    @contextmanager
    def writing(self, what: str) -> Iterator[sqlite3.Connection]:
        """Give the connection for changes that are all on the disk afterwards, or none of them."""
        with self.reading(what) as connection:
            connection.execute("BEGIN IMMEDIATE")
            with connection:
                yield connection


def open_file(folder: Path, today: date) -> tuple[Database, str]:
    """Open the log in a folder, making both where they are missing.

    Return it with a line for the player, which is empty unless a damaged log was set aside. Raises
    LogError.
    """
    file = folder / FILE_NAME
    with told(f"the log {file} can't be opened"):
        folder.mkdir(parents=True, exist_ok=True)
        notice = set_aside_if_damaged(file, today)
        try:
            connection = _connect(file)
        except sqlite3.DatabaseError as error:
            if not is_damage(error):
                raise
            notice = set_aside(file, today)  # what was not looked for was met
            connection = _connect(file)
    return Database(connection, file), notice


def _connect(file: Path) -> sqlite3.Connection:
    with ExitStack() as undo:
        connection = sqlite3.connect(file, isolation_level=None, timeout=PATIENCE)
        undo.callback(connection.close)
        _refuse_newer(connection)
        _use_wal(connection)
        connection.execute("PRAGMA synchronous = FULL")
        connection.execute("PRAGMA foreign_keys = ON")
        _migrate(connection, file)
        undo.pop_all()
    return connection


def in_memory() -> Database:
    """Return a log that lasts as long as the program."""
    connection = sqlite3.connect(":memory:", isolation_level=None)
    connection.execute("PRAGMA foreign_keys = ON")
    _migrate(connection, None)
    return Database(connection)


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


def _version(connection: sqlite3.Connection) -> int:
    return int(connection.execute("PRAGMA user_version").fetchone()[0])


def _refuse_newer(connection: sqlite3.Connection) -> None:
    if _version(connection) > len(STEPS):
        raise LogError("the log was written by a newer chartwalk: update this one")


def _migrate(connection: sqlite3.Connection, file: Path | None) -> None:
    """Bring the tables up to today's layout, all or nothing; two programs may do so at once."""
    if _version(connection) == len(STEPS):
        return
    connection.execute("BEGIN IMMEDIATE")
    with connection:
        _refuse_newer(connection)
        version = _version(connection)
        if file and 0 < version < len(STEPS):
            _keep_copy(file, len(STEPS))
        for number, step in enumerate(STEPS[version:], start=version + 1):
            step(connection)
            connection.execute(f"PRAGMA user_version = {number}")


def _keep_copy(file: Path, version: int) -> None:
    """Copy the log as it is; whole under its name, or not at all."""
    copy = free_name(beside(file, f".before-{version}"))
    begun = free_name(beside(copy, ".begun"))
    try:
        with closing(sqlite3.connect(file)) as old, closing(sqlite3.connect(begun)) as new:
            old.backup(new)
        begun.rename(copy)
    except BaseException:
        begun.unlink(missing_ok=True)
        raise
