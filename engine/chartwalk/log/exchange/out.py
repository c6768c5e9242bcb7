"""The log written out: everything as JSON Lines, or the marks and passes as a table."""

import csv
import os
from collections.abc import Callable, Iterator, Mapping
from datetime import datetime
from itertools import chain
from pathlib import Path
from typing import Final, TextIO

from chartwalk.log import marks, passes, songs
from chartwalk.log.database import Database
from chartwalk.log.errors import LogError
from chartwalk.log.exchange.lines import (
    ChoiceLine,
    HeadLine,
    Line,
    MarkLine,
    SettingLine,
    SongLine,
    UnmarkedLine,
    to_text,
)
from chartwalk.log.records import MarkRecord, PassRecord

COLUMNS: Final = (
    "record", "id", "title", "path", "from bar", "to bar", "pass", "beat", "came from", "chord",
    "kind", "words", "tempo", "goal", "day", "time", "run", "bars played", "clean", "whole",
    "depth", "semitones", "hands", "seconds",
)  # fmt: skip
"""The columns of the table: ``record`` is mark or pass, bars are printed numbers, times in UTC."""
_FORMULA: Final = ("=", "+", "-", "@", "\t", "\r")


def write_out(log: Database, path: Path) -> None:
    """Write the log into a file, whole or not at all; its ending says how (`KINDS`).

    Raises LogError, also for an ending that is none of them.
    """
    write = KINDS.get(path.suffix.lower())
    if write is None:
        raise LogError(f"{path}: a log is written as {' or '.join(KINDS)}")
    path = path.resolve()
    new = path.with_name(f".{path.name}.{os.getpid()}")
    with log.reading(f"{path} can't be written") as db:
        db.execute("BEGIN")  # what others write meanwhile is not seen
        try:
            with new.open("x", encoding="utf-8", newline="") as file:
                write(log, file)
                file.flush()
                os.fsync(file.fileno())
            new.replace(path)
        finally:
            db.execute("ROLLBACK")
            new.unlink(missing_ok=True)


def lines(log: Database) -> Iterator[Line]:
    """Yield everything in the log."""
    db = log.connection
    yield HeadLine()
    for key, song in songs.every(db):
        ids = [id_ for (id_,) in db.execute("SELECT id FROM song_id WHERE song = ?", (key,))]
        yield SongLine(song, tuple(sorted(set(ids) - {song.id})))
    yield from passes.runs_written(db)
    yield from passes.written(db)
    for mark, amended in marks.with_amendments(db):
        yield MarkLine(mark, amended)
    for (id_,) in db.execute("SELECT id FROM unmarked ORDER BY id"):
        yield UnmarkedLine(id_)
    for song_id, name, value, changed in db.execute(
        f"SELECT {songs.OWN_ID}, name, value, changed FROM song_setting "
        "JOIN song ON song.id = song_setting.song ORDER BY 1, 2"
    ):
        yield ChoiceLine(song_id, name, value, datetime.fromisoformat(changed))
    for name, value in db.execute("SELECT name, value FROM setting ORDER BY name"):
        yield SettingLine(name, value)


def _write_lines(log: Database, file: TextIO) -> None:
    file.writelines(f"{to_text(line)}\n" for line in lines(log))


def _write_table(log: Database, file: TextIO) -> None:
    table = csv.DictWriter(file, COLUMNS)
    table.writeheader()
    known = {song.id: song for _, song in songs.every(log.connection)}
    rows = chain(
        map(_mark_row, marks.select(log.connection)), map(_pass_row, passes.select(log.connection))
    )
    for song, row in rows:
        whose = {"title": known[song].title, "path": known[song].path}
        table.writerow({name: _plain(value) for name, value in (whose | row).items()})


def _mark_row(mark: MarkRecord) -> tuple[str, dict[str, object]]:
    """Return the song of a mark, and its row."""
    return mark.song, {
        "record": "mark", "id": mark.id, "from bar": mark.anchor.number,
        "to bar": mark.anchor.number, "pass": mark.pass_, "beat": mark.beat,
        "came from": mark.came_from, "chord": mark.chord, "kind": mark.kind.value,
        "words": mark.words, "tempo": mark.tempo, "goal": mark.goal, "day": mark.day,
        "time": mark.time.isoformat(),
    }  # fmt: skip


def _pass_row(played: PassRecord) -> tuple[str, dict[str, object]]:
    return played.song, {
        "record": "pass", "id": played.id, "from bar": played.first.number,
        "to bar": played.last.number, "kind": played.kind, "tempo": played.tempo,
        "goal": played.goal, "day": played.day, "time": played.time.isoformat(),
        "run": played.run, "bars played": played.steps, "clean": int(played.clean),
        "whole": int(played.whole), "depth": played.depth, "semitones": played.shift,
        "hands": played.hands, "seconds": played.seconds,
    }  # fmt: skip


def _plain(value: object) -> object:
    """Return a value that no spreadsheet takes for a formula (OWASP, "CSV Injection")."""
    return f"'{value}" if isinstance(value, str) and value.startswith(_FORMULA) else value


KINDS: Final[Mapping[str, Callable[[Database, TextIO], None]]] = {
    ".jsonl": _write_lines,
    ".csv": _write_table,
}
"""What writes each kind of file: JSON Lines hold everything, the table marks and passes."""
