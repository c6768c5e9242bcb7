"""Charts, marks and passes made up for the tests of the log."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from fractions import Fraction
from pathlib import Path

from chartwalk.chart import Bar, Change, Chart, Section
from chartwalk.chord import ChordSymbol
from chartwalk.log import Anchor, Kind, MarkRecord, PassRecord, RunRecord, Store, anchor_at, new_id
from chartwalk.roadmap import Step
from chartwalk.song import Song

START = datetime(2024, 5, 6, 7, 8, 9, 123456, tzinfo=UTC)
_ROW = "C Dm Em F G7 Am Bdim Cmaj7 Dm7 Em7 Fmaj7 G9 Am7 Db Eb Gb Ab Bb C6 F6"
CHORDS = tuple(_ROW.split())


def bar(chord: str, number: int = 1) -> Bar:
    """A bar that holds one chord; none for an empty word."""
    changes = (Change(Fraction(0), ChordSymbol.parse(chord)),) if chord else ()
    return Bar(str(number), changes=changes)


def song(chords: Sequence[str] = CHORDS, title: str = "A", path: str = "/gone/a.lead") -> Song:
    """A song of bars numbered from 1, played straight through."""
    bars = tuple(bar(chord, number) for number, chord in enumerate(chords, start=1))
    steps = tuple(Step(index, index, 1) for index in range(len(bars)))
    return Song(Path(path), Chart(title, (Section("", bars),)), steps)


def mark(song_id: str, of: Song, index: int = 0, after: float = 0, **changes: object) -> MarkRecord:
    """A mark on a bar of a song, some seconds after the start of the tests' day."""
    made = MarkRecord(
        id=new_id(),
        song=song_id,
        anchor=anchor_at(of.bars, index),
        beat=Fraction(5, 2),
        chord="E♭maj9/G",
        came_from="Cm7",
        pass_=1,
        kind=Kind.UNSAID,
        words="",
        tempo=80.5,
        goal=96.0,
        time=START + timedelta(seconds=after),
        day=date(2024, 5, 6),
        bar=index,
    )
    return replace(made, **changes)  # type: ignore[arg-type]


def run(song_id: str, after: float = 0, **changes: object) -> RunRecord:
    """A run of a song."""
    time = START + timedelta(seconds=after)
    made = RunRecord(new_id(), song_id, "run", time, date(2024, 5, 6), 0.0)
    return replace(made, **changes)  # type: ignore[arg-type]


def played(
    song_id: str, of: Song, run_id: str, span: tuple[int, int] = (0, 1), **changes: object
) -> PassRecord:
    """A clean pass over some bars of a song."""
    made = PassRecord(
        id=new_id(),
        song=song_id,
        run=run_id,
        first=anchor_at(of.bars, span[0]),
        last=anchor_at(of.bars, span[1]),
        steps=span[1] - span[0] + 1,
        tempo=72.0,
        goal=96.0,
        depth="written",
        shift=-2,
        hands="tune",
        kind="loop",
        clean=True,
        whole=True,
        time=START,
        day=date(2024, 5, 6),
        seconds=12.5,
        span=span,
    )
    return replace(made, **changes)  # type: ignore[arg-type]


def plant(
    store: Store, path: str, title: str, index: int, number: str, *, pass_: int = 1,
    chord: str = "C", tempo: float = 80.0, time: datetime = START,
) -> MarkRecord:  # fmt: skip
    """Mark a song that was opened before, of which no bars are known."""
    known = next((each for each in store.songs() if each.path == path), None)
    made = MarkRecord(
        id=new_id(),
        song=(known or store.song_opened(path, title)).id,
        anchor=Anchor("", "", "", index, number),
        beat=None,
        chord=chord,
        came_from="",
        pass_=pass_,
        kind=Kind.UNSAID,
        words="",
        tempo=tempo,
        goal=tempo,
        time=time,
        day=time.astimezone().date(),
        bar=index,
    )
    store.mark(made)
    return made
