"""Working out what the log knows: songs opened, spots found, the days to return to them.

Opening a song takes milliseconds, and a log may hold hundreds. So what was opened is kept until its
file changes, what was found until the log says something else, and the songs that were marked most
are looked at first. A chart that was edited since the log saw it is followed here: the log itself
learns of it when the song is opened.
"""

import time
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import Final, TypeVar

from chartwalk.files import open_for_practice, stamp
from chartwalk.log import MarkRecord, PassRecord, SongRecord
from chartwalk.log.anchors import Moved, fingerprints
from chartwalk.song import Song
from chartwalk.trouble.returning import Return, spot_return
from chartwalk.trouble.review import Records, Review
from chartwalk.trouble.spots import Spot, judged, song_spots, worst_first

SOON: Final = 0.01  # seconds to the first telling; each further one takes twice as long
Record = TypeVar("Record", MarkRecord, PassRecord)


@dataclass(frozen=True, slots=True)
class _Opened:
    """A song, the stamp of its file and the fingerprints of its bars."""

    stamp: object
    song: Song
    prints: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Found:
    """What was found in a song from its marks, and from the passes with these ids and spans.

    All of them stand at the bars of the song as it is today.
    """

    song: Song
    marks: Sequence[MarkRecord]
    played: Sequence[tuple[str, tuple[int, int] | None]]
    returns: Mapping[Spot, Return]


class Reviewer:
    """Works out reviews, and remembers.

    ``opener`` reads a song from its file and raises ChartError where it can't.
    """

    def __init__(
        self,
        opener: Callable[[Path], Song] = open_for_practice,
        clock: Callable[[], float] = time.monotonic,
    ) -> None:
        self._opener = opener
        self._clock = clock
        self._opened: dict[Path, _Opened] = {}
        self._found: dict[str, _Found] = {}

    def review(self, records: Records, now: datetime) -> Review:
        """Return what the records tell at a time, aware and with the player's own date."""
        *_, whole = self.reviews(records, now)
        return whole

    def reviews(self, records: Records, now: datetime) -> Iterator[Review]:
        """Yield what they tell as song after song is looked at, now and then; the last is whole."""
        marks, passes = _by_song(records.marks), _by_song(records.passes)
        order = sorted(records.practised, key=lambda song: -len(marks[song.id]))
        found: dict[str, _Found] = {}
        lost = []
        tell, pause = self._clock() + SOON, SOON
        for place, record in enumerate(order, start=1):
            try:
                opened = self._open(Path(record.path))
            except ValueError:  # a ChartError, or a path of another machine that can be none here
                lost.append(record)
            else:
                found[record.id] = self._look(
                    record, opened, marks[record.id], passes[record.id], now
                )
            if place < len(order) and self._clock() >= tell:
                yield _put_together(records, now, found, lost, len(order) - place)
                pause *= 2
                tell = self._clock() + pause
        yield _put_together(records, now, found, lost)

    def _look(
        self,
        record: SongRecord,
        opened: _Opened,
        marks: Sequence[MarkRecord],
        passes: Sequence[PassRecord],
        now: datetime,
    ) -> _Found:
        song = opened.song
        marks, passes = _placed(record, opened.prints, marks, passes)
        played = [(each.id, each.span) for each in passes]  # all of a pass that ever changes
        known = self._found.get(record.id)
        if known and known.song is song and (known.marks, known.played) == (marks, played):
            returns = {judged(spot, now): back for spot, back in known.returns.items()}
            return replace(known, returns=returns)
        spots = song_spots(song, marks, passes, now)
        found = _Found(song, marks, played, {spot: spot_return(spot) for spot in spots})
        self._found[record.id] = found
        return found

    def _open(self, path: Path) -> _Opened:
        """Open a song, or take the one that was opened if its file is as it was."""
        now, known = stamp(path), self._opened.get(path)
        if known is None or now is None or now != known.stamp:
            song = self._opener(path)
            known = self._opened[path] = _Opened(now, song, fingerprints(song.chart))
        return known


def _placed(
    record: SongRecord,
    prints: tuple[str, ...],
    marks: Sequence[MarkRecord],
    passes: Sequence[PassRecord],
) -> tuple[Sequence[MarkRecord], Sequence[PassRecord]]:
    """Return marks and passes at the bars of a chart whose bars have these fingerprints now."""
    if record.prints in {(), prints}:
        return marks, passes
    moved = Moved(record.prints, prints)
    return (
        [replace(mark, bar=moved.bar(mark.anchor, mark.bar)) for mark in marks],
        [replace(each, span=_span(moved, each)) for each in passes],
    )


def _span(moved: Moved, each: PassRecord) -> tuple[int, int] | None:
    first, last = each.span or (None, None)
    start, end = moved.bar(each.first, first), moved.bar(each.last, last)
    return None if start is None or end is None else (start, end)


def _put_together(
    records: Records,
    now: datetime,
    found: Mapping[str, _Found],
    lost: Iterable[SongRecord],
    left: int = 0,
) -> Review:
    returns = {spot: back for each in found.values() for spot, back in each.returns.items()}
    unplaced = (mark for each in found.values() for mark in each.marks if mark.bar is None)
    return Review(
        records=records,
        today=now.date(),
        songs={identity: each.song for identity, each in found.items()},
        spots=tuple(sorted(returns, key=worst_first)),
        returns=returns,
        lost=tuple(lost),
        unplaced=tuple(unplaced),
        left=left,
    )


def _by_song(records: Iterable[Record]) -> defaultdict[str, list[Record]]:
    found: defaultdict[str, list[Record]] = defaultdict(list)
    for record in records:
        found[record.song].append(record)
    return found
