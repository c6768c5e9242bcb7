"""The log as the rest of the program uses it.

Every write is on the disk before the call returns. Times are kept in UTC; the day of a record is
the player's own and comes with it.
"""

from collections.abc import Callable, Sequence
from datetime import date, datetime
from pathlib import Path
from typing import Self

from chartwalk.log import marks, passes, settings, songs
from chartwalk.log.anchors import fingerprints
from chartwalk.log.database import Database, in_memory, open_file
from chartwalk.log.identity import is_gone
from chartwalk.log.records import Kind, MarkRecord, PassRecord, RunRecord, SongRecord
from chartwalk.song import Song


def now_here() -> datetime:
    """Return the time now, with the offset of where the player is."""
    return datetime.now().astimezone()


class Store:
    """The log; make it with `open`. Every method raises LogError where the disk refuses.

    ``notice`` is a line for the player where something happened to the file, else empty.
    """

    def __init__(
        self, database: Database, now: Callable[[], datetime] = now_here, notice: str = ""
    ) -> None:
        self._log = database
        self._now = now
        self.notice = notice

    @classmethod
    def open(cls, folder: Path, now: Callable[[], datetime] = now_here) -> Self:
        """Open the log in a folder, making both where they are missing.

        ``now`` gives an aware time whose date is the player's.
        """
        database, notice = open_file(folder, now().date())
        return cls(database, now, notice)

    @classmethod
    def in_memory(cls, now: Callable[[], datetime] = now_here) -> Self:
        """Return a log that lasts as long as the program, where the disk has no place for one."""
        return cls(in_memory(), now)

    @property
    def database(self) -> Database:
        """The file, for what goes out of the log and comes in."""
        return self._log

    def close(self) -> None:
        """Close the file."""
        self._log.connection.close()

    # Songs

    def song(self, song: Song) -> SongRecord:
        """Recognise a song that was opened now, or remember it; its marks go with its bars."""
        numbers = tuple(bar.number for bar in song.bars)
        prints = fingerprints(song.chart)
        return self.song_opened(song.identity, song.chart.title, prints, numbers)

    def song_opened(
        self, path: str, title: str, prints: Sequence[str] = (), numbers: Sequence[str] = ()
    ) -> SongRecord:
        """Remember a song that was opened now by its file, title and bars, if they are known."""
        sheet = songs.Sheet(path, title, tuple(prints), tuple(numbers))
        with self._log.writing("the song could not be remembered") as db:
            return songs.opened(db, sheet, self._now(), is_gone)

    def songs(self) -> list[SongRecord]:
        """Return the songs opened so far, the latest first."""
        with self._log.reading("the songs could not be read") as db:
            return [song for _, song in songs.every(db)]

    # Marks

    def mark(self, mark: MarkRecord) -> None:
        """Write a mark on a song of the log."""
        with self._log.writing("the mark could not be written") as db:
            marks.write(db, mark)

    def unmark(self, id_: str) -> None:
        """Take a mark back; one that is not there is as good as taken back."""
        with self._log.writing("the mark could not be taken back") as db:
            marks.take_back(db, id_)

    def amend(self, id_: str, *, kind: Kind | None = None, words: str | None = None) -> None:
        """Say more about a mark; None leaves what was said."""
        with self._log.writing("the mark could not be changed") as db:
            marks.amend(db, id_, kind, words, self._now())

    def marks(
        self, song: str | None = None, since: date | None = None, limit: int | None = None
    ) -> list[MarkRecord]:
        """Return the marks, the latest first: of a song (its id), from a day on, at most so many.

        Only a limit keeps this short in a log that has grown large.
        """
        with self._log.reading("the marks could not be read") as db:
            return list(marks.select(db, song, since, limit))

    def mark_counts(self, song: str) -> dict[int, int]:
        """Return how many marks each written bar of a song has in today's chart."""
        with self._log.reading("the marks could not be read") as db:
            return marks.counts(db, song)

    # Runs and passes

    def run_started(self, run: RunRecord) -> None:
        """Write that a run has begun; its passes follow."""
        with self._log.writing("the run could not be written") as db:
            passes.put_run(db, run)

    def run_ended(self, id_: str, seconds: float) -> None:
        """Write how long a run has lasted; a run is never made shorter."""
        with self._log.writing("the run could not be written") as db:
            passes.lengthen_run(db, id_, seconds)

    def write_pass(self, played: PassRecord) -> None:
        """Write a pass of a run that has begun."""
        with self._log.writing("the pass could not be written") as db:
            passes.write(db, played)

    def passes(
        self, song: str | None = None, since: date | None = None, limit: int | None = None
    ) -> list[PassRecord]:
        """Return the passes, the latest first: of a song, from a day on, at most so many."""
        with self._log.reading("the passes could not be read") as db:
            return list(passes.select(db, song, since, limit))

    def runs(
        self, song: str | None = None, since: date | None = None, limit: int | None = None
    ) -> list[RunRecord]:
        """Return the runs, the latest first: of a song, from a day on, at most so many."""
        with self._log.reading("the runs could not be read") as db:
            return list(passes.select_runs(db, song, since, limit))

    # Settings

    def setting(self, name: str) -> str | None:
        """Return a setting, None where it was never chosen."""
        with self._log.reading("the settings could not be read") as db:
            return settings.setting(db, name)

    def set(self, name: str, value: str | None) -> None:
        """Keep a setting; None forgets it."""
        with self._log.writing("the setting could not be written") as db:
            settings.put(db, name, value)

    def song_setting(self, song: str, name: str) -> str | None:
        """Return what was chosen for a song (its id), None where nothing was."""
        with self._log.reading("the settings could not be read") as db:
            return settings.song_setting(db, song, name)

    def set_for_song(self, song: str, name: str, value: str | None) -> None:
        """Keep a choice for a song; None takes it back."""
        with self._log.writing("the setting could not be written") as db:
            settings.put_for_song(db, song, name, value, self._now())
