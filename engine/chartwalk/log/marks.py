"""The marks of the log."""

import sqlite3
from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date, datetime
from typing import Final

from chartwalk.log.records import Kind, MarkRecord
from chartwalk.log.referred import Referred
from chartwalk.log.songs import fitting, keep, row_of
from chartwalk.log.text import earliest, fraction, moment

_SELECT: Final = """
    SELECT id, song, anchor, beat, chord, came_from, pass, kind, words, tempo, goal, time, day,
           amended
    FROM mark
"""
_KINDS: Final = {kind.value: kind for kind in Kind}


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
    for mark, _ in _marks(db, query, (*values, -1 if limit is None else limit)):
        yield mark


def with_amendments(db: sqlite3.Connection) -> Iterator[tuple[MarkRecord, datetime]]:
    """Yield all marks in the order they were written, with when each was amended last."""
    return _marks(db, f"{_SELECT} ORDER BY mark.number")


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
    str, int, int, str | None, str, str, int, str, str, float, float, str, str, str,
]  # fmt: skip


def _marks(
    db: sqlite3.Connection, query: str, values: Sequence[str | int | None] = ()
) -> Iterator[tuple[MarkRecord, datetime]]:
    """Yield marks, with when each was amended last."""
    referred = Referred(db)
    for row in db.execute(query, values):
        yield _mark(row, referred), datetime.fromisoformat(row[13])


def _mark(row: _Row, referred: Referred) -> MarkRecord:
    anchor, bar = referred.anchor(row[2])
    return MarkRecord(
        id=row[0],
        song=referred.song(row[1]),
        anchor=anchor,
        beat=fraction(row[3]),
        chord=row[4],
        came_from=row[5],
        pass_=row[6],
        kind=_KINDS[row[7]],
        words=row[8],
        tempo=row[9],
        goal=row[10],
        time=datetime.fromisoformat(row[11]),
        day=date.fromisoformat(row[12]),
        bar=bar,
    )
