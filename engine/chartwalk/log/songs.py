"""The songs of the log: recognised, remembered, and their marks kept on their bars."""

import sqlite3
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from chartwalk.log.anchors import Moved, place, place_by_number
from chartwalk.log.identity import moved_here, still_the_same
from chartwalk.log.records import Anchor, SongRecord, new_id
from chartwalk.log.text import joined, moment

OWN_ID: Final = "(SELECT min(id) FROM song_id WHERE song = song.id)"
COLUMNS: Final = f"song.id, {OWN_ID}, path, title, opened, prints"
Row = tuple[int, str, str, str, str, str]


@dataclass(frozen=True, slots=True)
class Sheet:
    """A chart as the log sees it: its file, its title, and its bars' fingerprints and numbers.

    Without fingerprints nothing is known of the bars.
    """

    path: str
    title: str
    prints: tuple[str, ...] = ()
    numbers: tuple[str, ...] = ()


def opened(
    db: sqlite3.Connection, sheet: Sheet, time: datetime, gone: Callable[[str], bool]
) -> SongRecord:
    """Remember that a song was opened; a song that is known keeps its id, its marks their bars."""
    row = _at(db, sheet.path)
    if row is None or not still_the_same(row[1], sheet):
        others = {each: key for key, each in every(db) if row is None or key != row[0]}
        found = moved_here(sheet, others, gone)
        if row is not None:
            db.execute("UPDATE song SET path = '' WHERE id = ?", (row[0],))
        row = (others[found], found) if found else None
    if row is None:
        key = add(db, SongRecord(new_id(), sheet.path, sheet.title, time, ()), ())
        old: tuple[str, ...] = ()
    else:
        key, old = row[0], row[1].prints
    now = sheet.prints or old
    db.execute(
        "UPDATE song SET path = ?, title = ?, opened = ?, prints = ? WHERE id = ?",
        (sheet.path, sheet.title, moment(time), joined(now), key),
    )
    if now != old:
        _follow(db, key, old, now)
    if sheet.prints:
        _hold_on(db, key, sheet)
    return record(db, key)


def add(db: sqlite3.Connection, song: SongRecord, also: Sequence[str]) -> int:
    """Put a song in as it is, with the other ids it was known by; return its row."""
    key = db.execute(
        "INSERT INTO song (path, title, opened, prints) VALUES (?, ?, ?, ?)",
        (song.path, song.title, moment(song.opened), joined(song.prints)),
    ).lastrowid
    assert key is not None
    db.executemany("INSERT INTO song_id VALUES (?, ?)", [(id_, key) for id_ in (song.id, *also)])
    return key


def every(db: sqlite3.Connection) -> list[tuple[int, SongRecord]]:
    """Return the songs with their rows, the latest opened first."""
    rows = db.execute(f"SELECT {COLUMNS} FROM song ORDER BY opened DESC, song.id")
    return [_song(row) for row in rows]


def record(db: sqlite3.Connection, key: int) -> SongRecord:
    """Return the song of a row."""
    return _song(db.execute(f"SELECT {COLUMNS} FROM song WHERE id = ?", (key,)).fetchone())[1]


def row_of(db: sqlite3.Connection, id_: str) -> int:
    """Return the row of a song; raise sqlite3.IntegrityError where it is not in the log."""
    row = db.execute("SELECT song FROM song_id WHERE id = ?", (id_,)).fetchone()
    if row is None:
        raise sqlite3.IntegrityError("its song is not in the log")
    return int(row[0])


def _at(db: sqlite3.Connection, path: str) -> tuple[int, SongRecord] | None:
    query = f"SELECT {COLUMNS} FROM song WHERE path = ? AND path <> ''"
    row = db.execute(query, (path,)).fetchone()
    return row and _song(row)


def _song(row: Row) -> tuple[int, SongRecord]:
    key, id_, path, title, time, prints = row
    opened_ = datetime.fromisoformat(time)
    return key, SongRecord(id_, path, title, opened_, tuple(prints.split()))


# Bars that move


def keep(db: sqlite3.Connection, song: int, anchor: Anchor, bar: int | None) -> int:
    """Return the row of an anchor of a song; one without a place stands at ``bar`` from now on."""
    fields = (song, anchor.print_, anchor.bar, anchor.before, anchor.after, anchor.number)
    row = db.execute(
        "SELECT id, place FROM anchor WHERE song = ? AND print = ? AND bar = ? AND before = ? "
        "AND after = ? AND number = ?",
        fields,
    ).fetchone()
    if row is not None:
        if row[1] is None and bar is not None:
            db.execute("UPDATE anchor SET place = ? WHERE id = ?", (bar, row[0]))
        return int(row[0])
    key = db.execute(
        "INSERT INTO anchor (song, print, bar, before, after, number, place) "
        "VALUES (?, ?, ?, ?, ?, ?, ?)",
        (*fields, bar),
    ).lastrowid
    assert key is not None
    return key


def fitting(db: sqlite3.Connection, song: int, anchor: Anchor, bar: int | None) -> int | None:
    """Return the bar, if today's chart has there what the anchor says, or else the place for it.

    Another program may have read the chart after it was edited.
    """
    row = db.execute("SELECT prints FROM song WHERE id = ?", (song,)).fetchone()
    prints = row[0].split()
    if not prints or not anchor.print_:
        return bar
    if bar is not None and bar < len(prints) and prints[bar] == anchor.print_:
        return bar
    return place(anchor, prints)


def anchors(db: sqlite3.Connection, song: int) -> list[tuple[int, Anchor, int | None]]:
    """Return what a song's marks and passes hold on to: row, anchor and place in today's chart."""
    rows = db.execute(
        "SELECT id, print, before, after, bar, number, place FROM anchor WHERE song = ?", (song,)
    )
    return [(row[0], Anchor(*row[1:6]), row[6]) for row in rows]


def _follow(db: sqlite3.Connection, song: int, old: Sequence[str], new: Sequence[str]) -> None:
    """Move the places of a song's marks and passes with the bars of its chart."""
    moved = Moved(old, new)
    for key, anchor, before in anchors(db, song):
        now = moved.bar(anchor, before)
        db.execute("UPDATE anchor SET place = ? WHERE id = ?", (now, key))


def _hold_on(db: sqlite3.Connection, song: int, sheet: Sheet) -> None:
    """Let anchors that know a number alone hold on to what the bar holds."""
    prints = ("", *sheet.prints, "")
    for key, anchor, _ in anchors(db, song):
        if not anchor.print_:
            bar = place_by_number(anchor, sheet.numbers)
            held = ("", "", "") if bar is None else prints[bar : bar + 3]
            db.execute(
                "UPDATE anchor SET before = ?, print = ?, after = ?, bar = ?, place = ? "
                "WHERE id = ?",
                (*held, anchor.bar if bar is None else bar, bar, key),
            )
