"""What many marks and passes refer to, each read once: the ids of songs, the anchors of bars."""

import sqlite3

from chartwalk.log.records import Anchor


class Referred:
    """The songs and anchors of a log while its marks or passes are read."""

    def __init__(self, db: sqlite3.Connection) -> None:
        self._db = db
        self._songs: dict[int, str] = {}
        self._anchors: dict[int, tuple[Anchor, int | None]] = {}

    def song(self, row: int) -> str:
        """Return the id of a song."""
        if row not in self._songs:
            found = self._db.execute("SELECT min(id) FROM song_id WHERE song = ?", (row,))
            self._songs[row] = found.fetchone()[0]
        return self._songs[row]

    def anchor(self, row: int) -> tuple[Anchor, int | None]:
        """Return an anchor, and where it stands in today's chart."""
        if row not in self._anchors:
            found = self._db.execute(
                "SELECT print, before, after, bar, number, place FROM anchor WHERE id = ?", (row,)
            ).fetchone()
            self._anchors[row] = Anchor(*found[:5]), found[5]
        return self._anchors[row]
