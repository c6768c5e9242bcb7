"""Settings of this machine, and what was chosen for each song."""

import sqlite3
from datetime import datetime

from chartwalk.log.songs import row_of
from chartwalk.log.text import moment


def setting(db: sqlite3.Connection, name: str) -> str | None:
    """Return a setting, None where it was never chosen."""
    row = db.execute("SELECT value FROM setting WHERE name = ?", (name,)).fetchone()
    return None if row is None else str(row[0])


def put(db: sqlite3.Connection, name: str, value: str | None) -> None:
    """Keep a setting; None forgets it."""
    if value is None:
        db.execute("DELETE FROM setting WHERE name = ?", (name,))
    else:
        db.execute(
            "INSERT INTO setting VALUES (?, ?) ON CONFLICT (name) "
            "DO UPDATE SET value = excluded.value",
            (name, value),
        )


def song_setting(db: sqlite3.Connection, song: str, name: str) -> str | None:
    """Return what was chosen for a song, None where nothing was, or no longer is."""
    row = db.execute(
        "SELECT value FROM song_setting WHERE name = ? "
        "AND song = (SELECT song FROM song_id WHERE id = ?)",
        (name, song),
    ).fetchone()
    return None if row is None or row[0] is None else str(row[0])


def put_for_song(
    db: sqlite3.Connection, song: str, name: str, value: str | None, time: datetime
) -> None:
    """Keep a choice for a song; None takes it back."""
    db.execute(
        "INSERT INTO song_setting VALUES (?, ?, ?, ?) ON CONFLICT (song, name) "
        "DO UPDATE SET value = excluded.value, changed = max(excluded.changed, changed)",
        (row_of(db, song), name, value, moment(time)),
    )


def merge_for_song(
    db: sqlite3.Connection, song: int, name: str, value: str | None, changed: str
) -> None:
    """Keep a choice made elsewhere for a song (its row); the later of two stays."""
    db.execute(
        "INSERT INTO song_setting VALUES (?, ?, ?, ?) ON CONFLICT (song, name) "
        "DO UPDATE SET value = excluded.value, changed = excluded.changed "
        "WHERE (excluded.changed, excluded.value IS NOT NULL, coalesce(excluded.value, '')) "
        "> (changed, value IS NOT NULL, coalesce(value, ''))",
        (song, name, value, changed),
    )
