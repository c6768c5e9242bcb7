"""The marks of the log."""

import sqlite3
from collections.abc import Iterator
from dataclasses import replace
from datetime import date, datetime
from typing import Final

from chartwalk.log.records import Anchor, Kind, MarkRecord
from chartwalk.log.songs import fitting, keep, row_of
from chartwalk.log.text import earliest, fraction, moment

_SONG_ID: Final = "(SELECT min(song_id.id) FROM song_id WHERE song_id.song = mark.song)"
_SELECT: Final = f"""
    SELECT mark.id, {_SONG_ID}, anchor.print, anchor.before, anchor.after, anchor.bar,
           anchor.number, beat, chord, came_from, pass, kind, words, tempo, goal, time, day,
           anchor.place, amended
    FROM mark JOIN anchor ON anchor.id = mark.anchor
"""


def write(db: sqlite3.Connection, mark: MarkRecord) -> None:
    """Put in a mark that was made now, on its bar in the chart as the log knows it."""
    bar = fitting(db, row_of(db, mark.song), mark.anchor, mark.bar)
    put(db, replace(mark, bar=bar), mark.time)


def put(db: sqlite3.Connection, mark: MarkRecord, amended: datetime) -> None:
    """Put a mark in; ``amended`` is when its kind or words were changed last."""
    song = row_of(db, mark.song)
    anchor = keep(db, song, mark.anchor, mark.bar)
    db.execute(
        "INSERT INTO mark (id, song, anchor, beat, chord, came_from, pass, kind, words, tempo, "
        "goal, time, day, amended) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
        (
            mark.id, song, anchor, None if mark.beat is None else str(mark.beat), mark.chord,
            mark.came_from, mark.pass_, mark.kind.value, mark.words, mark.tempo, mark.goal,
            moment(mark.time), mark.day.isoformat(), moment(amended),
        ),
    )  # fmt: skip


def take_back(db: sqlite3.Connection, id_: str) -> None:
    """Take a mark out, for good."""
    db.execute("DELETE FROM mark WHERE id = ?", (id_,))
    db.execute("INSERT OR IGNORE INTO unmarked VALUES (?)", (id_,))


def amend(
    db: sqlite3.Connection, id_: str, kind: Kind | None, words: str | None, time: datetime
) -> None:
    """Change a mark's kind or words; None leaves them."""
    db.execute(
        "UPDATE mark SET kind = coalesce(?, kind), words = coalesce(?, words), "
        "amended = max(amended, ?) "
        "WHERE id = ?",
        (kind and kind.value, words, moment(time), id_),
    )


def select(
    db: sqlite3.Connection,
    song: str | None = None,
    since: date | None = None,
    limit: int | None = None,
) -> Iterator[MarkRecord]:
    """Yield marks, the latest first; of one song, from a day on, at most so many."""
    where, values = conditions("mark", song, since)
    query = f"{_SELECT} {where} ORDER BY mark.time DESC, mark.number DESC LIMIT ?"
    for row in db.execute(query, (*values, -1 if limit is None else limit)):
        yield _mark(row)[0]


def with_amendments(db: sqlite3.Connection) -> Iterator[tuple[MarkRecord, datetime]]:
    """Yield all marks in the order they were written, with when each was amended last."""
    return map(_mark, db.execute(f"{_SELECT} ORDER BY mark.number"))


def find(db: sqlite3.Connection, id_: str) -> MarkRecord | None:
    """Return a mark by its id, None where there is none."""
    row = db.execute(f"{_SELECT} WHERE mark.id = ?", (id_,)).fetchone()
    return row and _mark(row)[0]


def counts(db: sqlite3.Connection, song: str) -> dict[int, int]:
    """Return how many marks each written bar of a song has in today's chart, where it has some."""
    rows = db.execute(
        "SELECT place, sum(marks) FROM anchor WHERE song = (SELECT song FROM song_id WHERE id = ?) "
        "AND place IS NOT NULL AND marks > 0 GROUP BY place",
        (song,),
    )
    return dict(rows.fetchall())


def conditions(
    table: str, song: str | None, since: date | None
) -> tuple[str, list[str | int | None]]:
    """Return the words that choose rows by song and day, and their values.

    The bound on the time says no more than the one on the day, but the tables are sorted by it.
    """
    chosen: list[str] = []
    values: list[str | int | None] = []
    if song is not None:
        chosen.append(f"{table}.song = (SELECT song FROM song_id WHERE id = ?)")
        values.append(song)
    if since is not None:
        chosen += [f"{table}.time >= ?", f"{table}.day >= ?"]
        values += [earliest(since), since.isoformat()]
    return f"WHERE {' AND '.join(chosen)}" if chosen else "", values


_Row = tuple[
    str, str, str, str, str, int, str, str | None, str, str, int, str, str, float, float, str, str,
    int | None, str,
]  # fmt: skip


def _mark(row: _Row) -> tuple[MarkRecord, datetime]:
    mark = MarkRecord(
        id=row[0],
        song=row[1],
        anchor=Anchor(row[2], row[3], row[4], row[5], row[6]),
        beat=fraction(row[7]),
        chord=row[8],
        came_from=row[9],
        pass_=row[10],
        kind=Kind(row[11]),
        words=row[12],
        tempo=row[13],
        goal=row[14],
        time=datetime.fromisoformat(row[15]),
        day=date.fromisoformat(row[16]),
        bar=row[17],
    )
    return mark, datetime.fromisoformat(row[18])
