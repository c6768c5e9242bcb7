"""Songs written in place, and marks and passes as a log would hold them."""

from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any

from chartwalk.leadfile import loads
from chartwalk.log.records import Anchor, Kind, MarkRecord, PassRecord, new_id
from chartwalk.roadmap import unroll
from chartwalk.song import Song
from chartwalk.trouble.formula import Outcome, Trial
from chartwalk.trouble.returning import Return, spot_return
from chartwalk.trouble.spots import Spot, song_spots

START = datetime(2031, 5, 5, 18, tzinfo=UTC)

MARK = MarkRecord(
    id="", song="", anchor=Anchor("", "", "", 0, "1"), beat=None, chord="", came_from="", pass_=1,
    kind=Kind.UNSAID, words="", tempo=96.0, goal=96.0, time=START, day=START.date(), bar=0,
)  # fmt: skip
PASS = PassRecord(
    id="", song="", run="", first=MARK.anchor, last=MARK.anchor, steps=1, tempo=96.0, goal=96.0,
    depth="written", shift=0, hands="tune", kind="loop", clean=True, whole=True, time=START,
    day=START.date(), seconds=60.0, span=(0, 0),
)  # fmt: skip


def written(rows: str, tempo: str = "96", title: str = "T") -> Song:
    """Turn rows of a `.lead` text into a song in 4/4."""
    chart = loads(f"title {title}\nmeter 4/4\ntempo {tempo}\n\n{rows}\n").chart
    return Song(Path("songs/t.lead"), chart, unroll(chart))


def straight(title: str = "T") -> Song:
    """Eight bars without a jump."""
    return written("chords | C | F | G | Am | Dm | G7 | E7 | A7 |", title=title)


def repeated() -> Song:
    """Bars 1 2 3, 1 2 4 and 5 as played: a repeat with two endings, and a bridge."""
    return written(
        "section Verse\nroad | | | 1. | 2. |\nchords |: C | F | G :| Am |\n\n"
        "section Bridge\nchords | D7b9 |"
    )


def after(days: float) -> datetime:
    return START + timedelta(days=days)


def on(days: float) -> date:
    return after(days).date()


def trial(days: float, outcome: Outcome, near: float = 1.0) -> Trial:
    return Trial(after(days), on(days), near, outcome)


@dataclass
class Log:
    """What was practised; days and parts of days count from the start."""

    song: str = "a"
    marks: list[MarkRecord] = field(default_factory=list)
    passes: list[PassRecord] = field(default_factory=list)

    def mark(self, bar: int | None, day: float = 0, **told: Any) -> "Log":  # noqa: ANN401
        placed = replace(MARK, id=new_id(), song=self.song, bar=bar, time=after(day), day=on(day))
        self.marks.append(replace(placed, **told))
        return self

    def played(self, first: int, last: int, day: float = 0, **told: Any) -> "Log":  # noqa: ANN401
        steps = max(1, last - first + 1)
        placed = replace(PASS, id=new_id(), song=self.song, span=(first, last), steps=steps)
        self.passes.append(replace(placed, time=after(day), day=on(day)))
        self.passes[-1] = replace(self.passes[-1], **told)
        return self

    def spots(self, song: Song, day: float = 0) -> tuple[Spot, ...]:
        """The spots as they stand so many days after the start."""
        return song_spots(song, self.marks, self.passes, after(day))

    def returns(self, song: Song, day: float = 0) -> dict[Spot, Return]:
        """The same, each with when to return to it."""
        return {spot: spot_return(spot) for spot in self.spots(song, day)}
