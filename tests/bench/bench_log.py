"""An empty log against one of a million marks: opening it, what the Stand asks, what the Log does.

Run with ``-s``. It prints for each the median of many tries with either log, and the difference.
Nothing is asserted.
"""

import time
from collections.abc import Callable, Iterator
from datetime import date, datetime, timedelta
from pathlib import Path
from statistics import median

import pytest
from tests.log import planted
from tests.log.planted import START

from chartwalk.leadfile import dumps
from chartwalk.log import Store, new_id
from chartwalk.song import Song
from chartwalk.trouble import Records, Reviewer

MARKS = 1_000_000
PASSES = 100_000
SONGS = 200
ROUNDS = 15
SHOWN = 200  # marks on the Log's screen
SHEET = planted.song()

Ask = Callable[[Store], object]


def _fill(folder: Path) -> None:
    """Write marks and passes on two hundred songs, over ten years."""
    store = Store.open(folder)
    db = store.database.connection
    db.execute("PRAGMA synchronous = OFF")
    bars = len(SHEET.bars)
    for number in range(SONGS):
        path = folder / f"{number}.lead"
        sheet = planted.song(title=f"Song {number}", path=str(path))
        path.write_text(dumps(sheet.chart), encoding="utf-8")
        song = store.song(sheet).id
        for index in range(bars):
            store.mark(planted.mark(song, SHEET, index))
        run = planted.run(song, id=f"{number:032x}")
        store.run_started(run)
        store.write_pass(planted.played(song, SHEET, run.id))
    more = MARKS - SONGS * bars
    assert len(store.songs()) == SONGS
    db.execute("BEGIN")
    db.executemany(
        "INSERT INTO mark (id, song, anchor, beat, chord, came_from, pass, kind, words, tempo, "
        "goal, time, day, amended) SELECT ?, song, id, '1', 'Am7', 'D7', 1, 'chord', '', 80, 96, "
        "?, ?, ? FROM anchor WHERE id = ?",
        (
            (new_id(), _when(n), _when(n)[:10], _when(n), n % (SONGS * bars) + 1)
            for n in range(more)
        ),
    )
    db.executemany(
        "INSERT INTO pass (id, song, run, first, last, steps, tempo, goal, depth, shift, hands, "
        "kind, clean, whole, time, day, seconds) SELECT ?, song, run, first, last, steps, tempo, "
        "goal, depth, shift, hands, kind, clean, whole, ?, ?, seconds FROM pass WHERE number = ?",
        ((new_id(), _when(n * 10), _when(n * 10)[:10], n % SONGS + 1) for n in range(PASSES)),
    )
    db.execute("COMMIT")
    store.close()


def _when(number: int) -> str:
    return (START + timedelta(minutes=number * 5)).isoformat()


@pytest.fixture(scope="module")
def folders(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Path, Path]]:
    """An empty log (one song without marks) and a full one."""
    empty, full = tmp_path_factory.mktemp("empty"), tmp_path_factory.mktemp("full")
    store = Store.open(empty)
    store.song(SHEET)
    store.close()
    _fill(full)
    yield empty, full
    for file in full.iterdir():
        file.unlink()


def _median(ask: Callable[[], object]) -> float:
    times = []
    for _ in range(ROUNDS):
        start = time.perf_counter()
        ask()
        times.append(time.perf_counter() - start)
    return median(times)


def _report(what: str, empty: float, full: float) -> None:
    print(
        f"{what:<34} empty {empty * 1000:8.2f} ms   full {full * 1000:8.2f} ms   "
        f"difference {(full - empty) * 1000:8.2f} ms   ratio {full / empty:6.1f}"
    )


def test_opening(folders: tuple[Path, Path]) -> None:
    """From nothing to a log that can be asked, and closed."""
    empty, full = (_median(lambda f=f: Store.open(f).close()) for f in folders)  # type: ignore[misc]
    size = sum(file.stat().st_size for file in folders[1].iterdir()) / 1e6
    print(f"\n{MARKS} marks and {PASSES} passes of {SONGS} songs: {size:.0f} MB")
    _report("opening", empty, full)


def _known(store: Store) -> Song:
    """The song that was opened last, as its file has it."""
    path = store.songs()[0].path
    return planted.song(title="Song 199", path=path)


REVIEWER = Reviewer()
NOW = datetime.fromisoformat(_when(MARKS))
LAST_DAY = date.fromisoformat(_when(MARKS)[:10])
QUESTIONS: dict[str, Ask] = {
    "Stand: song opened, marks a bar": lambda store: store.mark_counts(
        store.song(_known(store)).id
    ),
    "Stand: marks a bar": lambda store: store.mark_counts(store.songs()[0].id),
    "Log: the latest marks, all songs": lambda store: (store.marks(limit=SHOWN), store.songs()),
    "Log: all that still matters": lambda store: Records.of(store, LAST_DAY),
    "Log: the first spots it lists": lambda store: next(
        Reviewer().reviews(Records.of(store, LAST_DAY), NOW)
    ),
    "Log: all spots, no song open yet": lambda store: Reviewer().review(
        Records.of(store, LAST_DAY), NOW
    ),
    "Log: all spots, another time": lambda store: REVIEWER.review(Records.of(store, LAST_DAY), NOW),
    "the latest marks of one song": lambda store: store.marks(store.songs()[0].id, limit=SHOWN),
    "marks and passes of a week": lambda store: (
        store.marks(since=LAST_DAY - timedelta(days=7)),
        store.passes(since=LAST_DAY - timedelta(days=7)),
    ),
    "a mark written": lambda store: store.mark(planted.mark(store.songs()[0].id, SHEET)),
}


@pytest.mark.parametrize("what", QUESTIONS)
def test_questions(folders: tuple[Path, Path], what: str) -> None:
    """What the screens ask."""
    times = []
    for folder in folders:
        store = Store.open(folder)
        times.append(_median(lambda: QUESTIONS[what](store)))  # noqa: B023 - called at once
        store.close()
    _report(what, *times)


def test_an_edited_chart(folders: tuple[Path, Path]) -> None:
    """The marks of a song follow its bars: a bar is put in, and taken out again."""
    times = []
    for folder in folders:
        store = Store.open(folder)
        sheet = _known(store)
        edited = planted.song(["Abm7", *planted.CHORDS], "Song 199", str(sheet.path))
        times.append(_median(lambda: (store.song(edited), store.song(sheet))))  # noqa: B023
        store.close()
    _report("a chart edited, twice", *times)
