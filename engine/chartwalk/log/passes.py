"""The runs of the log and their passes."""

import sqlite3
from collections.abc import Iterator, Sequence
from datetime import date, datetime
from typing import Final

from chartwalk.log.marks import conditions
from chartwalk.log.records import PassRecord, RunRecord
from chartwalk.log.referred import Referred
from chartwalk.log.songs import fitting, keep, row_of
from chartwalk.log.text import moment

_RUNS: Final = """
    SELECT run.id, (SELECT min(song_id.id) FROM song_id WHERE song_id.song = run.song), kind, time,
           day, seconds
    FROM run
"""
_PASSES: Final = """
    SELECT id, song, run, first, last, steps, tempo, goal, depth, shift, hands, kind, clean, whole,
           time, day, seconds
    FROM pass
"""


def put_run(db: sqlite3.Connection, run: RunRecord) -> None:
    """Put a run in."""
    db.execute(
        "INSERT INTO run (id, song, kind, time, day, seconds) VALUES (?, ?, ?, ?, ?, ?)",
        (run.id, row_of(db, run.song), run.kind, moment(run.time), run.day.isoformat(),
         run.seconds),
    )  # fmt: skip


def lengthen_run(db: sqlite3.Connection, id_: str, seconds: float) -> None:
    """Let a run be at least so many seconds long."""
    db.execute("UPDATE run SET seconds = max(seconds, ?) WHERE id = ?", (seconds, id_))


def write(db: sqlite3.Connection, played: PassRecord) -> None:
    """Put in a pass that was played now; its run is in the log already."""
    song = row_of(db, played.song)
    first, last = played.span or (None, None)
    put(
        db,
        played,
        fitting(db, song, played.first, first),
        fitting(db, song, played.last, last),
    )


def put(db: sqlite3.Connection, played: PassRecord, first: int | None, last: int | None) -> None:
    """Put a pass in, with its first and last bar in today's chart."""
    song = row_of(db, played.song)
    db.execute(
        "INSERT INTO pass (id, song, run, first, last, steps, tempo, goal, depth, shift, hands, "
        "kind, clean, whole, time, day, seconds) "
        "VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
        (
            played.id, song, played.run,
            keep(db, song, played.first, first),
            keep(db, song, played.last, last),
            played.steps, played.tempo, played.goal, played.depth, played.shift, played.hands,
            played.kind, played.clean, played.whole, moment(played.time), played.day.isoformat(),
            played.seconds,
        ),
    )  # fmt: skip


def select(
    db: sqlite3.Connection,
    song: str | None = None,
    since: date | None = None,
    limit: int | None = None,
) -> Iterator[PassRecord]:
    """Yield passes, the latest first; of one song, from a day on, at most so many."""
    where, values = conditions("pass", song, since)
    query = f"{_PASSES} {where} ORDER BY pass.time DESC, pass.number DESC LIMIT ?"
    return _passes(db, query, (*values, -1 if limit is None else limit))


def select_runs(
    db: sqlite3.Connection,
    song: str | None = None,
    since: date | None = None,
    limit: int | None = None,
) -> Iterator[RunRecord]:
    """Yield runs, the latest first; of one song, from a day on, at most so many."""
    where, values = conditions("run", song, since)
    query = f"{_RUNS} {where} ORDER BY run.time DESC, run.number DESC LIMIT ?"
    return map(_run, db.execute(query, (*values, -1 if limit is None else limit)))


def written(db: sqlite3.Connection) -> Iterator[PassRecord]:
    """Yield all passes in the order they were written."""
    return _passes(db, f"{_PASSES} ORDER BY pass.number")


def runs_written(db: sqlite3.Connection) -> Iterator[RunRecord]:
    """Yield all runs in the order they were written."""
    return map(_run, db.execute(f"{_RUNS} ORDER BY run.number"))


def _run(row: tuple[str, str, str, str, str, float]) -> RunRecord:
    id_, song, kind, time, day, seconds = row
    moment_ = datetime.fromisoformat(time)
    return RunRecord(id_, song, kind, moment_, date.fromisoformat(day), seconds)


_Row = tuple[
    str, int, str, int, int, int, float, float, str, int, str, str, int, int, str, str, float,
]  # fmt: skip


def _passes(
    db: sqlite3.Connection, query: str, values: Sequence[str | int | None] = ()
) -> Iterator[PassRecord]:
    referred = Referred(db)
    for row in db.execute(query, values):
        yield _pass(row, referred)


def _pass(row: _Row, referred: Referred) -> PassRecord:
    first, start = referred.anchor(row[3])
    last, end = referred.anchor(row[4])
    return PassRecord(
        id=row[0],
        song=referred.song(row[1]),
        run=row[2],
        first=first,
        last=last,
        steps=row[5],
        tempo=row[6],
        goal=row[7],
        depth=row[8],
        shift=row[9],
        hands=row[10],
        kind=row[11],
        clean=bool(row[12]),
        whole=bool(row[13]),
        time=datetime.fromisoformat(row[14]),
        day=date.fromisoformat(row[15]),
        seconds=row[16],
        span=None if start is None or end is None else (start, end),
    )
