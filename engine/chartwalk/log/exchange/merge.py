"""Another machine's log taken in: what is new comes in, what is known stays, nothing comes twice.

Records are the same if their ids are. Songs are the same if they share an id, or else if their
charts are alike (`identity`), one of ours with one of theirs. Where two logs differ in one record
the later change stays; where a song's file lies and what is in it, this machine knows best, and
its settings are its own. So it does not matter which of two logs is taken into the other, nor how
often.
"""

import sqlite3
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

from chartwalk.log import marks, passes, settings
from chartwalk.log.database import Database
from chartwalk.log.errors import LogError, told
from chartwalk.log.exchange.lines import (
    ChoiceLine,
    Line,
    MarkLine,
    SettingLine,
    UnmarkedLine,
)
from chartwalk.log.exchange.problems import ExchangeError
from chartwalk.log.exchange.reading import numbered, read
from chartwalk.log.exchange.union import Place, unite_songs
from chartwalk.log.records import PassRecord, RunRecord
from chartwalk.log.text import moment
from chartwalk.problems import Problem


@dataclass(frozen=True, slots=True)
class Taken:
    """How much was new in a log that was taken in."""

    songs: int = 0
    runs: int = 0
    passes: int = 0
    marks: int = 0


def take_in(log: Database, path: Path) -> Taken:
    """Take in a log written as JSON Lines, all of it or nothing.

    Raises ExchangeError with every problem and its line, or LogError where the disk refuses.
    """
    if path.suffix.lower() == ".csv":
        raise LogError(
            f"{path}: a table does not hold the whole log; export that log as .jsonl and take it in"
        )
    with told(f"{path} can't be read"), path.open("rb") as file:
        found = read(file, str(path))
        with log.writing(f"{path} could not be taken in") as db:
            places, new = unite_songs(db, found.songs)
            merge = Merge(db, places, Counter(songs=new))
            problems = list(merge.runs(found.runs))
            file.seek(0)
            for number, line in numbered(file):
                if what := merge.take(line):
                    problems.append((number, what))
            if problems:
                problems.sort()
                raise ExchangeError(Problem(what, str(path), line) for line, what in problems)
    return Taken(**merge.new)


@dataclass(frozen=True, slots=True)
class Merge:
    """A merge under way: where each of their songs is in our log, and how much was new."""

    db: sqlite3.Connection
    places: dict[str, Place]
    new: Counter[str]

    def runs(self, runs: list[tuple[int, RunRecord]]) -> Iterator[tuple[int, str]]:
        """Take in the runs; yield the number of each line that can't be, and why."""
        for number, run in runs:
            if run.song not in self.places:
                yield number, _no_song(run.song)
            elif self._has("run", run.id):
                passes.lengthen_run(self.db, run.id, run.seconds)
            else:
                passes.put_run(self.db, run)
                self.new["runs"] += 1

    def take(self, line: Line) -> str:
        """Take in one line that is no song and no run; return why it can't be, or ``""``."""
        match line:
            case MarkLine(mark=mark):
                return self._mark(line) if mark.song in self.places else _no_song(mark.song)
            case PassRecord():
                return self._pass(line) if line.song in self.places else _no_song(line.song)
            case ChoiceLine():
                return self._choice(line) if line.song in self.places else _no_song(line.song)
            case UnmarkedLine():
                marks.take_back(self.db, line.id)
            case SettingLine():
                if settings.setting(self.db, line.name) is None:
                    settings.put(self.db, line.name, line.value)
        return ""

    def _mark(self, line: MarkLine) -> str:
        mark, amended = line.mark, line.amended
        row = self.db.execute(
            "SELECT amended, kind, words FROM mark WHERE id = ?", (mark.id,)
        ).fetchone()
        if row is None and not self._has("unmarked", mark.id):
            bar = self.places[mark.song].bar(mark.anchor, mark.bar)
            marks.put(self.db, replace(mark, bar=bar), amended)
            self.new["marks"] += 1
        elif row and row < (moment(amended), mark.kind.value, mark.words):
            marks.amend(self.db, mark.id, mark.kind, mark.words, amended)
        return ""

    def _pass(self, played: PassRecord) -> str:
        if not self._has("run", played.run):
            return f"there is no run {played.run}"
        if not self._has("pass", played.id):
            where = self.places[played.song]
            span = played.span or (None, None)
            first = where.bar(played.first, span[0])
            last = where.bar(played.last, span[1])
            passes.put(self.db, played, first, last)
            self.new["passes"] += 1
        return ""

    def _choice(self, line: ChoiceLine) -> str:
        row = self.places[line.song].row
        settings.merge_for_song(self.db, row, line.name, line.value, moment(line.changed))
        return ""

    def _has(self, table: str, id_: str) -> bool:
        query = f"SELECT 1 FROM {table} WHERE id = ?"
        return self.db.execute(query, (id_,)).fetchone() is not None


def _no_song(id_: str) -> str:
    return f"there is no song {id_}"
