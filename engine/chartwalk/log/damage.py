"""Looking for damage before the log is opened, and setting a damaged file aside.

SQLite's ``quick_check`` reads the whole file, some milliseconds a megabyte: a file up to `SMALL` is
checked each time, a larger one only where there is reason for doubt. A write-ahead log that was
left behind (the program was killed, or another one is running) is a reason, and so is a query that
met damage last time and left the file `DOUBT` behind.
"""

import sqlite3
from contextlib import closing
from datetime import date
from pathlib import Path
from typing import Final

from chartwalk.log.errors import is_damage

SMALL: Final = 8_000_000  # bytes
DOUBT: Final = ".doubt"  # behind the log's own name
WAL: Final = "-wal"  # SQLite's names for what belongs to a file
_BESIDE: Final = (WAL, "-shm")


def beside(file: Path, ending: str) -> Path:
    """Return the file of the same name with something added.

    >>> beside(Path("a/log.sqlite"), "-wal").name
    'log.sqlite-wal'
    """
    return file.with_name(file.name + ending)


def free_name(file: Path) -> Path:
    """Return this name, or with a number behind it the first that no file has.

    >>> free_name(Path("nowhere/log.sqlite.before-2")).name
    'log.sqlite.before-2'
    """
    names = (file if n == 1 else beside(file, f"-{n}") for n in range(1, 1_000_000))
    return next(name for name in names if not name.exists())


def set_aside_if_damaged(file: Path, today: date) -> str:
    """Look for damage where there is reason to; return a line for the player, or ``""``.

    Raises sqlite3.Error or OSError where the file can't be read or renamed.
    """
    if not file.is_file() or not _doubtful(file):
        return ""
    looked_at = file.stat().st_ino
    if not _damaged(file):
        beside(file, DOUBT).unlink(missing_ok=True)
        return ""
    if file.stat().st_ino != looked_at:  # another program was faster
        return ""
    return set_aside(file, today)


def set_aside(file: Path, today: date) -> str:
    """Rename a damaged log, with the day in its name; return a line for the player."""
    new = free_name(file.with_name(f"{file.stem}.damaged-{today}{file.suffix}"))
    file.rename(new)
    for ending in _BESIDE:
        if beside(file, ending).exists():
            beside(file, ending).rename(beside(new, ending))
    beside(file, DOUBT).unlink(missing_ok=True)
    return f"the log was damaged: it is kept as {new}, and a new one begins"


def _doubtful(file: Path) -> bool:
    size, left = file.stat().st_size, beside(file, WAL)
    if 0 < size <= SMALL or beside(file, DOUBT).exists():
        return True
    return size > 0 and left.exists() and left.stat().st_size > 0


def _damaged(file: Path) -> bool:
    """Check the file; it is opened for reading only, so that not even a damaged one is changed."""
    try:
        address = f"{file.absolute().as_uri()}?mode=ro"
        with closing(sqlite3.connect(address, uri=True)) as connection:
            found = connection.execute("PRAGMA quick_check(1)").fetchone()
    except sqlite3.DatabaseError as error:
        if is_damage(error):
            return True
        raise
    return bool(found != ("ok",))
