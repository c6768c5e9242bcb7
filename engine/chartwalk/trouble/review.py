"""What the log knows now: its songs as they are today, their trouble spots, and when each is due.

Only what still matters is read: a mark of 140 days ago counts less than a hundredth of a new one.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import Final

from chartwalk.log import MarkRecord, PassRecord, RunRecord, SongRecord, Store
from chartwalk.song import Song
from chartwalk.trouble.glance import DAY, MONTH
from chartwalk.trouble.returning import Return, due_spots, fresh_spots
from chartwalk.trouble.spots import Spot

SINCE: Final = timedelta(days=140)
MOST: Final = 2000  # marks of a very busy player: the latest count
MOST_PASSES: Final = 20_000  # a drill's rounds: some 140 a day


@dataclass(frozen=True, slots=True)
class Records:
    """The latest marks, passes and runs of the log, the latest first, and its songs."""

    songs: tuple[SongRecord, ...] = ()
    marks: tuple[MarkRecord, ...] = ()
    passes: tuple[PassRecord, ...] = ()
    runs: tuple[RunRecord, ...] = ()

    @classmethod
    def of(cls, store: Store, today: date) -> "Records":
        """Read them; raise LogError where the log refuses."""
        since = today - SINCE
        return cls(
            tuple(store.songs()),
            tuple(store.marks(since=since, limit=MOST)),
            tuple(store.passes(since=since, limit=MOST_PASSES)),
            tuple(store.runs(since=today - MONTH * DAY, limit=MOST)),
        )

    @property
    def practised(self) -> tuple[SongRecord, ...]:
        """The songs that were marked or played."""
        ids = {mark.song for mark in self.marks} | {each.song for each in self.passes}
        return tuple(song for song in self.songs if song.id in ids)


@dataclass(frozen=True, slots=True)
class Review:
    """Trouble spots, the worst first, with the songs they are in (by their ids in the log).

    ``lost`` are the songs whose file is gone or can't be read: their marks are kept, but have no
    place. ``unplaced`` are marks whose bar is no longer in the chart. ``left`` is how many songs
    were not looked at yet.
    """

    records: Records
    today: date
    songs: Mapping[str, Song] = field(default_factory=dict)
    spots: tuple[Spot, ...] = ()
    returns: Mapping[Spot, Return] = field(default_factory=dict)
    lost: tuple[SongRecord, ...] = ()
    unplaced: tuple[MarkRecord, ...] = ()
    left: int = 0

    @property
    def due(self) -> tuple[Spot, ...]:
        """The spots that are due today or were before, the worst first, healed ones last."""
        return due_spots(self.returns, self.today)

    @property
    def fresh(self) -> tuple[Spot, ...]:
        """The spots that were marked today and not worked on yet, the worst first."""
        return fresh_spots(self.returns, self.today)

    @property
    def later(self) -> tuple[Spot, ...]:
        """The other spots, which are due on another day, the soonest first."""
        told = {*self.due, *self.fresh}
        others = (spot for spot in self.spots if spot not in told)
        return tuple(sorted(others, key=lambda spot: self.returns[spot].day))
