"""The player's own days: over a change of the clocks, and on a journey."""

from datetime import UTC, date, datetime, timedelta, timezone
from zoneinfo import ZoneInfo

import pytest
from tests.log import planted

from chartwalk.log import Store, mark_here, now_here
from chartwalk.practice import Session

DUBLIN, AUCKLAND, LIMA = (
    ZoneInfo(name) for name in ("Europe/Dublin", "Pacific/Auckland", "America/Lima")
)


def _mark(store: Store, now: datetime) -> None:
    sheet = planted.song()
    store.mark(mark_here(Session(sheet), store.song(sheet).id, now))


@pytest.mark.parametrize(
    ("moment", "day"),
    [
        (datetime(2024, 3, 30, 23, 59, tzinfo=DUBLIN), date(2024, 3, 30)),
        (datetime(2024, 3, 31, 0, 1, tzinfo=DUBLIN), date(2024, 3, 31)),  # clocks go on at 1
        (datetime(2024, 3, 31, 23, 30, tzinfo=DUBLIN), date(2024, 3, 31)),  # 22:30 in UTC
        (datetime(2024, 4, 1, 0, 30, tzinfo=DUBLIN), date(2024, 4, 1)),  # 23:30 the day before
        (datetime(2024, 10, 27, 1, 30, tzinfo=DUBLIN, fold=0), date(2024, 10, 27)),
        (datetime(2024, 10, 27, 1, 30, tzinfo=DUBLIN, fold=1), date(2024, 10, 27)),
        (datetime(2024, 10, 28, 0, 30, tzinfo=DUBLIN), date(2024, 10, 28)),
    ],
)
def test_a_day_ends_at_the_players_midnight_also_when_the_clocks_change(
    moment: datetime, day: date
) -> None:
    store = Store.in_memory()
    _mark(store, moment)
    (mark,) = store.marks()
    assert (mark.day, mark.time) == (day, moment.astimezone(UTC))
    assert len(store.marks(since=day)) == 1
    assert store.marks(since=day + timedelta(days=1)) == []


def test_an_hour_that_comes_twice_is_in_order() -> None:
    store = Store.in_memory()
    for fold in (0, 1):
        _mark(store, datetime(2024, 10, 27, 1, 30, tzinfo=DUBLIN, fold=fold))
    second, first = store.marks()
    assert second.time - first.time == timedelta(hours=1)


def test_a_journey_leaves_the_days_as_they_were() -> None:
    """East over the date line and back: each mark keeps the day it was made on."""
    store = Store.in_memory()
    stops = [
        (datetime(2024, 7, 1, 22, tzinfo=LIMA), date(2024, 7, 1)),
        (datetime(2024, 7, 3, 6, tzinfo=AUCKLAND), date(2024, 7, 3)),
        (datetime(2024, 7, 2, 15, tzinfo=LIMA), date(2024, 7, 2)),
    ]
    for moment, _ in stops:
        _mark(store, moment)
    marks = sorted(store.marks(), key=lambda mark: mark.time)
    assert [mark.day for mark in marks] == [day for _, day in stops]
    today = date(2024, 7, 3)
    assert [mark.day for mark in store.marks(since=today)] == [today]


def test_a_day_is_asked_of_the_clock_that_is_given(tmp_path: object) -> None:
    assert now_here().utcoffset() is not None
    ahead = timezone(timedelta(hours=14))
    store = Store.in_memory(lambda: datetime(2024, 5, 6, 10, tzinfo=UTC).astimezone(ahead))
    assert store.song(planted.song()).opened == datetime(2024, 5, 6, 10, tzinfo=UTC)
