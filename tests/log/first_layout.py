"""A log as the first version of the program wrote it."""

import sqlite3
from contextlib import closing
from pathlib import Path

from chartwalk.log.database import FILE_NAME

FIRST_LAYOUT = """
CREATE TABLE song (
    id INTEGER PRIMARY KEY, path TEXT NOT NULL UNIQUE, title TEXT NOT NULL, opened TEXT NOT NULL
) STRICT;
CREATE TABLE mark (
    id INTEGER PRIMARY KEY, song INTEGER NOT NULL REFERENCES song(id), bar INTEGER NOT NULL,
    number TEXT NOT NULL, pass INTEGER NOT NULL, chord TEXT NOT NULL, tempo REAL NOT NULL,
    time TEXT NOT NULL
) STRICT;
CREATE INDEX mark_of_song ON mark(song, bar);
CREATE TABLE setting (name TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT;
PRAGMA user_version = 1;
INSERT INTO song VALUES (1, '/gone/a.lead', 'A', '2024-05-06T08:00:00+00:00');
INSERT INTO song VALUES (2, '/gone/b.lead', 'B', '2024-05-07T08:00:00+00:00');
INSERT INTO mark VALUES (1, 1, 3, '4', 2, 'F', 80.0, '2024-05-06T08:01:00.5+00:00');
INSERT INTO mark VALUES (2, 1, 3, '4', 1, 'F', 84.0, '2024-05-06T08:02:00+00:00');
INSERT INTO mark VALUES (3, 2, 0, '0', 1, '', 60.0, '2024-05-07T23:30:00+00:00');
INSERT INTO mark VALUES (4, 1, 90, '91', 1, 'C', 84.0, '2024-05-06T08:03:00+00:00');
INSERT INTO setting VALUES ('port', 'Piano 20:0');
"""


def write_first_layout(folder: Path) -> None:
    """Write a log of the first layout: two songs, four marks, a setting."""
    folder.mkdir(exist_ok=True)
    with closing(sqlite3.connect(folder / FILE_NAME)) as connection:
        connection.executescript(f"PRAGMA journal_mode = WAL; {FIRST_LAYOUT}")
