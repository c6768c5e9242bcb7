"""When to return to a spot, by the spaces of FSRS."""

from datetime import UTC, date, datetime, timedelta

import pytest
from fsrs import Card, Rating, Scheduler
from hypothesis import given
from hypothesis import strategies as st
from tests.trouble.logs import Log, on, straight, trial

from chartwalk.trouble.formula import Outcome, Trial
from chartwalk.trouble.returning import (
    Answer,
    DayPractised,
    days_practised,
    due_spots,
    next_return,
    spot_return,
)

MARK, CLEAN, SPOILT = Outcome.MARK, Outcome.CLEAN, Outcome.SPOILT
AGAIN, HARD, GOOD = Answer.AGAIN, Answer.HARD, Answer.GOOD
STRAIGHT = straight()


def intervals(*answers: Answer) -> list[int]:
    """The days between returns that are each made on the day they are due."""
    history: list[DayPractised] = []
    day, days = on(0), []
    for answer in answers:
        history.append(DayPractised(day, answer))
        back = next_return(history)
        assert back.day == day + timedelta(days=back.days)
        day = back.day
        days.append(back.days)
    return days


def test_the_library_spaces_as_it_was_published() -> None:
    # fsrs 6.3.2 as it comes but for the fuzzing, good six times at the due moment: 10 minutes,
    # then 2, 11, 46, 163, 498 days; stability 2.3065, 2.3065, 10.971, 46.3169, 162.9998, 497.8766
    # and difficulty from 2.1181 to 2.0837 (run with that version).
    scheduler = Scheduler(enable_fuzzing=False)
    time = datetime(2031, 5, 5, tzinfo=UTC)
    card = Card(card_id=0, due=time)
    gaps, stabilities, difficulties = [], [], []
    for _ in range(6):
        card, _log = scheduler.review_card(card, Rating.Good, time)
        gaps.append(card.due - time)
        assert card.stability is not None
        assert card.difficulty is not None
        stabilities.append(round(card.stability, 4))
        difficulties.append(round(card.difficulty, 4))
        time = card.due
    assert gaps == [timedelta(minutes=10), *(timedelta(days=n) for n in (2, 11, 46, 163, 498))]
    assert stabilities == [2.3065, 2.3065, 10.971, 46.3169, 162.9998, 497.8766]
    assert (difficulties[0], difficulties[-1]) == (2.1181, 2.0837)


def test_whole_days_are_spaced_alike() -> None:
    # The first four as above; the review after ten minutes, which we leave out, made it a little
    # easier, so the fifth is a day less.
    assert intervals(GOOD, GOOD, GOOD, GOOD, GOOD) == [2, 11, 46, 163, 497]


@pytest.mark.parametrize(
    ("answers", "days"),
    [
        # Run with fsrs 6.3.2.
        ((AGAIN, GOOD, GOOD, GOOD, GOOD), [1, 2, 6, 17, 44]),
        ((HARD, GOOD, GOOD, GOOD), [1, 5, 17, 50]),
        ((AGAIN, HARD, HARD, HARD, HARD), [1, 1, 2, 4, 6]),
        ((AGAIN, GOOD, GOOD, AGAIN, GOOD), [1, 2, 6, 1, 2]),
    ],
)
def test_the_spaces_of_a_spot(answers: tuple[Answer, ...], days: list[int]) -> None:
    assert intervals(*answers) == days


def test_the_library_answers_by_the_same_numbers() -> None:
    assert [Rating(answer.value).name for answer in Answer] == ["Again", "Hard", "Good"]


@pytest.mark.parametrize(
    ("trials", "expected"),
    [
        ([trial(0, MARK)], [AGAIN]),
        ([trial(0, MARK), trial(0.01, CLEAN)], [HARD]),
        ([trial(0, CLEAN), trial(0.01, MARK)], [AGAIN]),
        ([trial(0, MARK), trial(1, CLEAN)], [AGAIN, GOOD]),
        ([trial(0, MARK), trial(1, CLEAN, 0.9)], [AGAIN, GOOD]),
        ([trial(0, MARK), trial(1, CLEAN, 0.89)], [AGAIN, HARD]),
        ([trial(0, MARK), trial(1, CLEAN, 0.5), trial(1.01, CLEAN)], [AGAIN, GOOD]),
        ([trial(0, MARK), trial(1, SPOILT), trial(1.01, CLEAN)], [AGAIN, HARD]),
        ([trial(0, MARK), trial(1, SPOILT)], [AGAIN, AGAIN]),
        ([trial(-2, CLEAN), trial(-1, SPOILT), trial(0, MARK), trial(2, CLEAN)], [AGAIN, GOOD]),
        ([trial(1, CLEAN)], []),
    ],
)
def test_how_a_day_answers(trials: list[Trial], expected: list[Answer]) -> None:
    found = days_practised(trials)
    assert [each.answer for each in found] == expected
    assert [each.day for each in found] == sorted({each.day for each in found})


answers = st.sampled_from(Answer)
histories = st.lists(st.tuples(st.integers(1, 40), answers), min_size=1, max_size=12)


def dated(history: list[tuple[int, Answer]]) -> list[DayPractised]:
    day, found = on(0), []
    for gap, answer in history:
        day += timedelta(days=gap)
        found.append(DayPractised(day, answer))
    return found


@given(histories)
def test_it_is_always_another_day_and_the_same_one_each_time(
    history: list[tuple[int, Answer]],
) -> None:
    back = next_return(dated(history))
    assert back.day > dated(history)[-1].day
    assert back == next_return(dated(history))
    assert 1 <= back.difficulty <= 10


@given(histories, st.integers(1, 40))
def test_the_better_it_went_the_later(history: list[tuple[int, Answer]], gap: int) -> None:
    days = [next_return(dated([*history, (gap, answer)])).days for answer in Answer]
    assert days == sorted(days)


def test_a_passage_never_played_has_no_day() -> None:
    with pytest.raises(ValueError, match="never played"):
        next_return([])


def due(log: Log, day: int) -> list[tuple[int, ...]]:
    return [spot.bars for spot in due_spots(log.returns(STRAIGHT, day), on(day))]


def test_a_marked_spot_is_due_the_next_day() -> None:
    log = Log().mark(1)
    assert spot_return(log.spots(STRAIGHT)[0]).day == date(2031, 5, 6)
    assert due(log, 0) == []
    assert due(log, 1) == [(1,)]
    assert due(log, 30) == [(1,)]


def test_due_spots_come_the_worst_first_and_healed_ones_last() -> None:
    log = Log().mark(1).mark(1).mark(1).mark(1)
    log.mark(5).mark(3, 20)
    for day in range(1, 9):
        log.played(1, 1, day)
    assert due(log, 21) == [(3,), (5,)]  # the healed one is due later
    spots = {spot.bars: spot for spot in log.spots(STRAIGHT, 21)}
    healed = spots[1,]
    assert healed.state.value == "healed"
    assert due(log, (spot_return(healed).day - on(0)).days) == [(3,), (5,), (1,)]


def test_an_old_mark_comes_before_a_healed_spot_though_it_has_less_trouble() -> None:
    log = Log().mark(1).mark(5, 150).played(5, 5, 151).played(5, 5, 152)
    old, healed = sorted(log.spots(STRAIGHT, 160), key=lambda spot: spot.bars)
    assert old.trouble < healed.trouble
    assert due(log, 160) == [(1,), (5,)]
