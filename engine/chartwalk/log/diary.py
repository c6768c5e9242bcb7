"""The diary of one song: writes into the log what is played, without being asked.

A run is one stretch of playing, from the count-in to the stop; a pass is one round of it. What is
only listened to is not practice and not written.
"""

from collections.abc import Callable, Iterable
from datetime import UTC, datetime, timedelta
from typing import Final

from chartwalk.clock.moment import moment
from chartwalk.conductor import Done
from chartwalk.log.anchors import anchor_at
from chartwalk.log.records import PassRecord, RunRecord, new_id
from chartwalk.log.store import Store
from chartwalk.mode import Mode
from chartwalk.practice import Session

KINDS: Final = {Mode.RUNNING: "run", Mode.LOOPING: "loop"}
DRILL: Final = "drill"


class Diary:
    """Writes the runs and passes of a song (its id in the log). Raises LogError as the log does."""

    def __init__(self, store: Store, song: str, clock: Callable[[], float] = moment) -> None:
        self._store = store
        self._clock = clock  # the one that what was played is timed by
        self._song = song
        self._run: RunRecord | None = None

    def write(self, session: Session, done: Iterable[Done], now: datetime, kind: str = "") -> None:
        """Write what was played until ``now``, an aware time whose date is the player's.

        ``kind`` is that of the run, where it is more than its mode says (a drill).
        """
        for each in done:
            if each.kind in KINDS:
                self._write(session, each, now, kind or KINDS[each.kind])

    def close(self) -> None:
        """Let the run be over; what is played next is another one."""
        self._run = None

    def _write(self, session: Session, done: Done, now: datetime, kind: str) -> None:
        began = now - timedelta(seconds=self._clock() - done.began)
        if self._run is None or self._run.kind != kind:
            time, day = began.astimezone(UTC), began.date()
            run = RunRecord(new_id(), self._song, kind, time, day, 0.0)
            self._store.run_started(run)
            self._run = run
        self._store.write_pass(_pass(session, done, began, self._run))
        lasted = (now - self._run.time).total_seconds()
        self._store.run_ended(self._run.id, lasted)


def _pass(session: Session, done: Done, began: datetime, run: RunRecord) -> PassRecord:
    song = session.song
    first, last = (song.steps[step].bar for step in (done.first, done.last))
    goal = song.bars[first].tempo
    bars = session.written.bars
    return PassRecord(
        id=new_id(),
        song=run.song,
        run=run.id,
        first=anchor_at(bars, first),
        last=anchor_at(bars, last),
        steps=done.last - done.first + 1,
        tempo=float(goal * done.scale),
        goal=float(goal),
        depth=done.arrangement.depth.value,
        shift=done.arrangement.shift,
        hands="",
        kind=run.kind,
        clean=done.clean,
        whole=done.whole,
        time=began.astimezone(UTC),
        day=began.date(),
        seconds=done.ended - done.began,
        span=(first, last),
    )
