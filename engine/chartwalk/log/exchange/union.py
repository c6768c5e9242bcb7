"""The songs of two logs put together, and where the bars of theirs stand in our charts."""

import sqlite3
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from chartwalk.log import settings, songs
from chartwalk.log.anchors import place
from chartwalk.log.exchange.lines import SongLine
from chartwalk.log.exchange.matching import matches
from chartwalk.log.follow import follow
from chartwalk.log.records import Anchor, SongRecord
from chartwalk.log.text import joined, moment


@dataclass(frozen=True, slots=True)
class Place:
    """Where one of their songs is in our log: its row, the bars of our chart, where theirs went.

    ``moves`` is None where both charts are the same.
    """

    row: int
    prints: tuple[str, ...]
    moves: Mapping[int, int] | None

    def bar(self, anchor: Anchor, theirs: int | None) -> int | None:
        """Return the bar of our chart for an anchor that stands at a bar of theirs."""
        if self.moves is None:
            return theirs
        found = None if theirs is None else self.moves.get(theirs)
        return place(anchor, self.prints) if found is None else found


def unite_songs(db: sqlite3.Connection, theirs: Sequence[SongLine]) -> tuple[dict[str, Place], int]:
    """Put their songs into our log; return where each is, by every id, and how many are new."""
    matched = _matched(db, theirs)
    places: dict[str, Place] = {}
    new = 0
    for line in theirs:
        ids = (line.song.id, *line.also)
        rows = _rows(db, (*ids, *matched.get(line.song.id, ())))
        new += not rows
        row = _united(db, rows) if rows else _added(db, line)
        known = [(id_, row) for id_ in ids]
        db.executemany("INSERT OR IGNORE INTO song_id VALUES (?, ?)", known)
        found = _brought_up(db, row, line.song)
        places |= dict.fromkeys(ids, found)
    return places, new


def _matched(db: sqlite3.Connection, theirs: Sequence[SongLine]) -> dict[str, tuple[str, ...]]:
    """Return the ids of ours that are alike by the ids of theirs, where no id says it."""
    ids = {id_ for line in theirs for id_ in (line.song.id, *line.also)}
    known = {row for id_ in ids for row in _rows(db, (id_,))}
    ours = [song for row, song in songs.every(db) if row not in known]
    strange = [line.song for line in theirs if not _rows(db, (line.song.id, *line.also))]
    return {their: (our,) for their, our in matches(ours, strange).items()}


def _rows(db: sqlite3.Connection, ids: Iterable[str]) -> list[int]:
    """Return the rows of the songs with these ids, the one opened last first."""
    found = {
        row for id_ in ids for (row,) in db.execute("SELECT song FROM song_id WHERE id = ?", (id_,))
    }
    return sorted(found, key=lambda row: (songs.record(db, row).opened, row), reverse=True)


def _added(db: sqlite3.Connection, line: SongLine) -> int:
    taken = db.execute("SELECT 1 FROM song WHERE path = ?", (line.song.path,)).fetchone()
    song = SongRecord(
        line.song.id,
        "" if taken else line.song.path,
        line.song.title,
        line.song.opened,
        line.song.prints,
    )
    return songs.add(db, song, ())


def _united(db: sqlite3.Connection, rows: Sequence[int]) -> int:
    """Make one song of several that another log knows to be one; return its row."""
    row = rows[0]
    ours = songs.record(db, row)
    for other in rows[1:]:
        found = songs.record(db, other)
        moved = _place(row, ours.prints, found.prints)
        for key, anchor, bar in songs.anchors(db, other):
            db.execute(
                "UPDATE anchor SET song = ?, place = ? WHERE id = ?",
                (row, moved.bar(anchor, bar), key),
            )
        for table in ("mark", "pass", "run", "song_id"):
            db.execute(f"UPDATE {table} SET song = ? WHERE song = ?", (row, other))
        query = "SELECT name, value, changed FROM song_setting WHERE song = ?"
        for name, value, changed in db.execute(query, (other,)).fetchall():
            settings.merge_for_song(db, row, name, value, changed)
        db.execute("DELETE FROM song_setting WHERE song = ?", (other,))
        db.execute("DELETE FROM song WHERE id = ?", (other,))
    return row


def _brought_up(db: sqlite3.Connection, row: int, their: SongRecord) -> Place:
    """Let our song know what theirs knows more; return where their bars are in it."""
    ours = songs.record(db, row)
    prints = ours.prints or their.prints
    opened = moment(max(ours.opened, their.opened))
    db.execute("UPDATE song SET opened = ?, prints = ? WHERE id = ?", (opened, joined(prints), row))
    return _place(row, prints, their.prints)


def _place(row: int, ours: tuple[str, ...], theirs: tuple[str, ...]) -> Place:
    same = ours == theirs or not (ours and theirs)
    return Place(row, ours, None if same else follow(theirs, ours))
