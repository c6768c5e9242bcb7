"""The diary: what is played is written by itself, as runs and their passes."""

from collections.abc import Callable, Iterator
from datetime import UTC, date, datetime, timedelta, timezone
from fractions import Fraction

import pytest
from tests.log import planted

from chartwalk.arrange import Arrangement
from chartwalk.conductor import Done
from chartwalk.depth import Depth
from chartwalk.log import LogError, Store
from chartwalk.log.diary import DRILL, Diary
from chartwalk.mode import Mode
from chartwalk.practice import Session

SONG = planted.song()  # twenty bars in 4/4
GOAL = float(SONG.bars[0].tempo)
EVENING = datetime(2031, 5, 5, 19, 0, tzinfo=UTC)
CLOCK = 500.0  # what the clock that times the music reads then


def done(
    first: int = 2, last: int = 4, kind: Mode = Mode.RUNNING, ago: float = 30, lasted: float = 30,
    **told: object,
) -> Done:  # fmt: skip
    """A stretch that began so many seconds before the evening's moment."""
    how = {"scale": Fraction(1), "clean": True, "whole": True} | told
    began = CLOCK - ago
    return Done(first, last, kind=kind, began=began, ended=began + lasted, **how)  # type: ignore[arg-type]


@pytest.fixture
def store() -> Iterator[Store]:
    kept = Store.in_memory()
    yield kept
    kept.close()


@pytest.fixture
def diary(store: Store) -> Diary:
    return Diary(store, store.song(SONG).id, clock=lambda: CLOCK)


Write = Callable[..., None]


@pytest.fixture
def write(diary: Diary) -> Write:
    def write(*played: Done, kind: str = "", now: datetime = EVENING) -> None:
        diary.write(Session(SONG), played, now, kind)

    return write


def test_a_run_and_its_pass(store: Store, write: Write) -> None:
    write(done(2, 4, scale=Fraction(3, 4), clean=False, ago=40, lasted=25))
    (run,), (played,) = store.runs(), store.passes()
    assert (run.kind, run.time, run.seconds) == ("run", EVENING - timedelta(seconds=40), 40)
    assert (played.run, played.song, played.kind) == (run.id, store.songs()[0].id, "run")
    assert (played.span, played.steps) == ((2, 4), 3)
    assert (played.first.number, played.last.number) == ("3", "5")
    assert (played.tempo, played.goal) == (GOAL * 0.75, GOAL)
    assert (played.clean, played.whole) == (False, True)
    assert (played.time, played.seconds) == (EVENING - timedelta(seconds=40), 25)


def test_rounds_of_a_loop_are_passes_of_one_run(store: Store, write: Write) -> None:
    write(done(kind=Mode.LOOPING, ago=10, lasted=10))
    write(
        done(kind=Mode.LOOPING, ago=20, lasted=9),
        done(kind=Mode.LOOPING, ago=8, lasted=8),
        now=EVENING + timedelta(seconds=20),
    )
    (run,) = store.runs()
    assert (run.kind, run.seconds) == ("loop", 30)
    assert [played.run for played in store.passes()] == [run.id] * 3
    assert [played.seconds for played in store.passes()] == [8, 9, 10]


def test_after_a_stop_another_run_begins(store: Store, diary: Diary, write: Write) -> None:
    write(done())
    diary.close()
    write(done())
    assert len(store.runs()) == len({played.run for played in store.passes()}) == 2


def test_a_loop_after_a_run_is_another_run(store: Store, write: Write) -> None:
    write(done(), done(kind=Mode.LOOPING))
    assert {run.kind for run in store.runs()} == {"run", "loop"}


def test_what_is_listened_to_is_not_practice(store: Store, write: Write) -> None:
    write(done(kind=Mode.LISTENING))
    assert not store.runs()
    assert not store.passes()


def test_a_drill_is_written_as_one(store: Store, write: Write) -> None:
    write(done(kind=Mode.LOOPING), done(kind=Mode.LOOPING), kind=DRILL)
    assert [run.kind for run in store.runs()] == [DRILL]
    assert [played.kind for played in store.passes()] == [DRILL, DRILL]


def test_a_pass_tells_how_the_song_was_played_in_it(store: Store, write: Write) -> None:
    write(done(arrangement=Arrangement(-3, Depth.LEAN)))  # the session has gone on as written
    (played,) = store.passes()
    assert (played.shift, played.depth) == (-3, "lean")


@pytest.mark.parametrize(("hours", "day"), [(0, 5), (9, 6), (-10, 5)])
def test_the_day_is_the_players_own(store: Store, write: Write, hours: int, day: int) -> None:
    zone = timezone(timedelta(hours=hours))
    write(done(ago=60), now=EVENING.astimezone(zone))
    (run,), (played,) = store.runs(), store.passes()
    assert run.day == played.day == date(2031, 5, day)
    assert run.time == played.time == EVENING - timedelta(seconds=60)


def test_a_run_over_midnight_belongs_to_the_day_it_began(store: Store, write: Write) -> None:
    write(done(ago=90), now=datetime(2031, 5, 6, 0, 1, tzinfo=UTC))
    assert store.runs()[0].day == date(2031, 5, 5)


def test_a_disk_that_was_full_for_a_while_takes_the_next_pass(store: Store, write: Write) -> None:
    write(done())
    connection = store.database.connection
    connection.execute("PRAGMA query_only = ON")  # as on a disk that takes nothing
    with pytest.raises(LogError):
        write(done(kind=Mode.LOOPING))
    connection.execute("PRAGMA query_only = OFF")
    write(done(kind=Mode.LOOPING))
    assert [run.kind for run in store.runs()] == ["loop", "run"]
    assert len(store.passes()) == 2
