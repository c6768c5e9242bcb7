"""Practice at a glance, and a spot over its days."""

from dataclasses import replace
from datetime import timedelta
from fractions import Fraction

from tests.trouble.logs import Log, after, on, straight

from chartwalk.log.records import RunRecord
from chartwalk.trouble.glance import MONTH, WEEK, Glance, glance_back, healed_by, history

STRAIGHT = straight()


def seen(log: Log, today: int, days: int = WEEK) -> Glance:
    return glance_back(on(today), days, log.passes, log.marks, log.spots(STRAIGHT, today))


def test_minutes_of_every_day() -> None:
    log = Log().played(0, 7, 1, seconds=90).played(0, 7, 1.01, seconds=150)
    log.played(0, 7, 3, seconds=600).played(0, 7, -1, seconds=999)
    week = seen(log, 6)
    assert [day for day, _ in week.minutes] == [on(day) for day in range(7)]
    assert [minutes for _, minutes in week.minutes] == [0, 4, 0, 10, 0, 0, 0]
    assert (week.first, week.last, week.total) == (on(0), on(6), 14)


def test_counting_in_between_the_rounds_is_practice_too() -> None:
    log = Log().played(0, 7, 1, seconds=90, run="loop").played(0, 7, 1.01, seconds=60, run="loop")
    log.played(0, 7, 2, seconds=60, run="other").played(0, 7, 3, seconds=60)
    runs = [
        RunRecord("loop", "a", "loop", after(1), on(1), 240.0),
        RunRecord("other", "a", "run", after(2), on(2), 59.0),
        RunRecord("lone", "b", "run", after(3), on(3), 120.0),
        RunRecord("old", "c", "run", after(-1), on(-1), 120.0),
    ]
    week = glance_back(on(6), WEEK, (*log.passes, *runs), (), ())
    assert [minutes for _, minutes in week.minutes] == [0, 4, 1, 3, 0, 0, 0]
    assert week.songs == ("a", "b")


def test_a_month_is_thirty_days() -> None:
    month = seen(Log().played(0, 7, 1), 29, MONTH)
    assert len(month.minutes) == 30
    assert (month.first, month.total) == (on(0), 1)


def test_songs_the_longest_first_and_marks() -> None:
    log = Log("a").played(0, 7, 1).mark(2, 1).mark(2, -1)
    log.passes += Log("b").played(0, 7, 2, seconds=300).passes
    log.passes += Log("c").played(0, 7, -3, seconds=300).passes
    week = seen(log, 6)
    assert (week.songs, week.marks) == (("b", "a"), 1)


def test_a_day_is_the_players_not_that_of_the_clock() -> None:
    late = Log().played(0, 7, 6.9)  # past midnight in UTC, not where the player is
    assert late.passes[0].day == on(7)
    late.passes[0] = replace(late.passes[0], day=on(6))
    assert seen(late, 6).minutes[-1] == (on(6), 1)


def test_tempo_gained_against_all_that_was_before() -> None:
    log = Log().mark(1, -20).played(1, 1, -10, tempo=72).played(1, 1, -9, tempo=66)
    log.played(1, 1, 1, tempo=69).played(1, 1, 3, tempo=84).played(1, 1, 4, tempo=80)
    log.played(1, 1, 9, tempo=96)
    (gain,) = seen(log, 6).gained
    assert (gain.before, gain.after) == (Fraction(72), Fraction(84))


def test_the_first_clean_tempo_is_where_a_gain_begins() -> None:
    log = Log().mark(1).played(1, 1, 1, tempo=60).played(1, 1, 3, tempo=76)
    (gain,) = seen(log, 6).gained
    assert (gain.before, gain.after) == (Fraction(60), Fraction(76))
    assert seen(Log().mark(1).played(1, 1, 1, tempo=60), 6).gained == ()


def test_slower_is_no_gain() -> None:
    log = Log().mark(1, -20).played(1, 1, -10, tempo=92).played(1, 1, 1, tempo=84)
    assert seen(log, 6).gained == ()


def test_spots_healed_in_the_week() -> None:
    log = Log().mark(1, -3).played(1, 1, 1).played(1, 1, 2)
    log.mark(5, -20).played(5, 5, -18).played(5, 5, -16)  # healed before
    log.mark(7, 1)
    assert [spot.bars for spot in seen(log, 6).healed] == [(1,)]
    assert [spot.bars for spot in seen(log, 1).healed] == []


def test_a_spot_marked_again_at_once_is_not_healed() -> None:
    log = Log().mark(1, -3).played(1, 1, 1).played(1, 1, 2).mark(1, 3)
    assert seen(log, 6).healed == ()


def test_clean_before_its_first_mark_a_spot_was_not_healed_but_none() -> None:
    log = Log().played(1, 1, -9).played(1, 1, -8).mark(1, 0).played(1, 1, 1).played(1, 1, 2)
    assert [spot.bars for spot in seen(log, 6).healed] == [(1,)]


def test_healed_by_a_day() -> None:
    (spot,) = Log().mark(1).played(1, 1, 1).played(1, 1, 2).spots(STRAIGHT, 9)
    days = [day for day in range(-2, 6) if healed_by(spot.trials, on(day))]
    assert days == [2, 3, 4, 5]


def test_a_spot_over_its_days() -> None:
    log = Log().mark(1).mark(1, 0.01).mark(1, 2)
    log.played(1, 1, 2.1, tempo=60).played(1, 1, 2.2, tempo=72).played(1, 1, 5, tempo=84)
    log.played(1, 1, 4, tempo=90, clean=False)
    told = history(log.spots(STRAIGHT, 5)[0])
    assert told.marks == ((on(0), 2), (on(2), 1))
    assert told.tempos == ((on(2), Fraction(72)), (on(5), Fraction(84)))
    assert told.goal == 96
    assert told.days == (on(0), on(2), on(5))
    assert told.days[-1] - told.days[0] == timedelta(days=5)
