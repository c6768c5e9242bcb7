"""How much trouble a passage gives: figures by hand, and what more practice does to it.

No published figure exists for the formula; the figures below are worked from its text. What must
hold of it comes from the studies it names: Simmons 2012 (days, not repetitions) and Duke, Simmons
& Cash 2009 (the share of trials that are right).
"""

from datetime import timedelta
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.trouble.logs import after, on, trial

from chartwalk.trouble.formula import Outcome, State, Trial, clean_days, state, trouble

MARK, CLEAN, SPOILT = Outcome.MARK, Outcome.CLEAN, Outcome.SPOILT
ROUNDING = 1e-9

trials = st.builds(
    trial,
    st.integers(0, 60 * 24).map(lambda hours: hours / 24),
    st.sampled_from(Outcome),
    st.floats(0.1, 1.5),
)
histories = st.lists(trials, max_size=12)


@pytest.mark.parametrize(
    ("near", "days", "expected"),
    [(1, 0, 1), (1.4, 0, 1), (0.5, 0, 1.5), (0.75, 0, 1.25), (1, 14, 0.5), (0.5, 28, 0.375)],
)
def test_a_mark_weighs_more_when_slow_and_less_when_old(
    near: float, days: float, expected: float
) -> None:
    assert trouble([trial(0, MARK, near)], after(days)) == pytest.approx(expected)


@pytest.mark.parametrize(
    ("passes", "healing"),
    [
        ([trial(1, CLEAN)], 1),
        ([trial(1, CLEAN, 0.75)], 0.75),
        ([trial(1, CLEAN, 1.3)], 1),
        ([trial(1, CLEAN), trial(2, CLEAN)], 2),
        ([trial(1, CLEAN), trial(1.01, CLEAN)], 1 + 1 / 4),
        ([trial(1, CLEAN, 0.5), trial(1.01, CLEAN), trial(1.02, CLEAN)], 1 + 1 / 4 + 0.5 / 16),
        ([trial(1, SPOILT), trial(1.01, CLEAN)], 1 / 2),
        ([trial(1, SPOILT), trial(1.01, CLEAN), trial(1.02, CLEAN)], (1 + 1 / 4) * 2 / 3),
        ([trial(0.01, CLEAN)], 1 / 2),  # the mark itself was one of that day's trials
        ([trial(0, CLEAN)], 0),  # not after the mark
        ([trial(-1, CLEAN)], 0),
        ([trial(1, SPOILT)], 0),
    ],
)
def test_what_heals_a_mark(passes: list[Trial], healing: float) -> None:
    alone = trouble([trial(0, MARK)], after(3))
    assert trouble([trial(0, MARK), *passes], after(3)) == pytest.approx(alone / 2**healing)


def test_many_on_one_day_never_do_what_two_days_do() -> None:
    one_day = [trial(0, MARK), *(trial(1 + count / 1000, CLEAN) for count in range(200))]
    two_days = [trial(0, MARK), trial(1, CLEAN), trial(2, CLEAN)]
    alone = trouble([trial(0, MARK)], after(2))
    assert trouble(one_day, after(2)) == pytest.approx(alone / 2 ** (4 / 3))
    assert trouble(two_days, after(2)) < trouble(one_day, after(2))


def test_right_at_once_is_better_than_right_after_many_tries() -> None:
    again = [trial(1 + count / 100, SPOILT) for count in range(5)]
    assert trouble([trial(0, MARK), trial(1.1, CLEAN)], after(2)) < trouble(
        [trial(0, MARK), *again, trial(1.1, CLEAN)], after(2)
    )


def test_a_mark_and_the_pass_it_spoilt_are_one_failure() -> None:
    old = trial(0, MARK)
    marked = trouble([old, trial(1, MARK), trial(1.1, CLEAN)], after(2))
    both = trouble([old, trial(1, MARK), trial(1.01, SPOILT), trial(1.1, CLEAN)], after(2))
    assert both == marked


@given(histories, trials, st.integers(0, 90))
def test_one_mark_more_never_lowers_trouble(history: list[Trial], one: Trial, day: int) -> None:
    mark = Trial(one.time, one.day, one.near, MARK)
    assert trouble([*history, mark], after(day)) >= trouble(history, after(day)) - ROUNDING


@given(histories, trials, st.integers(0, 90))
def test_one_spoilt_pass_more_never_lowers_trouble(
    history: list[Trial], one: Trial, day: int
) -> None:
    spoilt = Trial(one.time, one.day, one.near, SPOILT)
    assert trouble([*history, spoilt], after(day)) >= trouble(history, after(day)) - ROUNDING


@given(histories, trials, st.integers(0, 90))
def test_one_clean_pass_more_never_raises_trouble(
    history: list[Trial], one: Trial, day: int
) -> None:
    clean = Trial(one.time, one.day, one.near, CLEAN)
    assert trouble([*history, clean], after(day)) <= trouble(history, after(day)) + ROUNDING


@given(histories, st.integers(0, 90), st.floats(0, 90))
def test_time_alone_never_raises_trouble(history: list[Trial], day: int, more: float) -> None:
    now = after(day)
    assert trouble(history, now + timedelta(days=more)) <= trouble(history, now) + ROUNDING


@given(histories, st.integers(0, 90), st.randoms())
def test_the_order_in_which_the_log_is_read_is_nothing(
    history: list[Trial], day: int, random: Random
) -> None:
    shuffled = random.sample(history, len(history))
    assert trouble(shuffled, after(day)) == pytest.approx(trouble(history, after(day)))
    assert state(shuffled, after(day)) is state(history, after(day))


@given(histories, st.integers(0, 90))
def test_healed_is_little_trouble_and_two_days_since_the_last_mark(
    history: list[Trial], day: int
) -> None:
    if state(history, after(day)) is State.HEALED:
        assert trouble(history, after(day)) < 0.25
        last = max((each.time for each in history if each.outcome is MARK), default=after(-1))
        later = [each for each in history if each.outcome is CLEAN and each.time > last]
        assert len({each.day for each in later if each.near >= 0.9}) >= 2


def test_open_easing_healed_and_open_again() -> None:
    history = [trial(0, MARK)]
    states = [state(history, after(0))]
    for day in (1, 2, 3):
        history.append(trial(day, CLEAN))
        states.append(state(history, after(day)))
    history.append(trial(4, MARK))
    states.append(state(history, after(4)))
    assert [each.value for each in states] == ["open", "easing", "healed", "healed", "open"]


def test_time_alone_does_not_heal() -> None:
    assert trouble([trial(0, MARK)], after(365)) < 0.001
    assert state([trial(0, MARK)], after(365)) is State.OPEN


def test_slow_passes_ease_but_do_not_heal() -> None:
    history = [trial(0, MARK), *(trial(day, CLEAN, 0.85) for day in range(1, 20))]
    assert trouble(history, after(20)) < 0.001
    assert state(history, after(20)) is State.EASING
    assert clean_days(history) == 0


def test_four_marks_take_four_days() -> None:
    history = [trial(count / 100, MARK) for count in range(4)]
    healed = []
    for day in range(1, 7):
        history.append(trial(day, CLEAN))
        healed.append(state(history, after(day)) is State.HEALED)
    assert healed == [False, False, False, True, True, True]


def test_a_pass_spoilt_after_healing_can_open_it_again() -> None:
    history = [trial(0, MARK), trial(1, CLEAN), trial(2, CLEAN)]
    assert state(history, after(2)) is State.HEALED
    assert state([*history, trial(2.1, SPOILT)], after(2.1)) is State.EASING


def test_days_are_the_players_own() -> None:
    # The same hour of the clock in UTC, but two days where the player was.
    early, late = trial(1, CLEAN), trial(1.01, CLEAN)
    travelled = Trial(late.time, on(2), late.near, late.outcome)
    assert clean_days([trial(0, MARK), early, late]) == 1
    assert clean_days([trial(0, MARK), early, travelled]) == 2
