"""A drill as rounds that are planned ahead: what comes if all is clean, and after a mark."""

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from chartwalk.depth import Depth
from chartwalk.trouble import (
    Because,
    Drill,
    Drilled,
    Fullness,
    Marked,
    Passed,
    Reason,
    follow,
)
from chartwalk.trouble.drill import Terms

GOAL = Fraction(96)
PLAINER = (Fullness.PLAIN, Fullness.WRITTEN, Fullness.SUNG)


def drill(
    start: int = 88, ladder: tuple[Fullness, ...] = (Fullness.WRITTEN,), in_a_row: int = 2
) -> Drill:
    """A drill of steps 3 to 6 that begins; the metronome's marks are 84, 88, 92 and 96."""
    terms = Terms(GOAL, Fraction(start), ladder, in_a_row, Fraction(10))
    return Drill(3, 6, terms, Fraction(start), Because(Reason.NEVER_CLEAN, ""))


def tempos(rounds: Drilled, count: int) -> list[int | None]:
    """The tempo of each round, None for those that are not played."""
    return [
        int(rounds.scale(number) * GOAL) if rounds.comes(number) else None
        for number in range(count)
    ]


def test_clean_rounds_climb_to_the_goal_and_end() -> None:
    rounds = Drilled.of(drill())
    assert (rounds.first, rounds.last) == (3, 6)
    assert tempos(rounds, 8) == [88, 88, 92, 92, 96, 96, None, None]
    assert rounds.at(6).because.reason is Reason.DONE


def test_a_mark_lets_its_round_go_on_and_slows_the_next() -> None:
    rounds = Drilled.of(drill()).marked(2)
    assert [rounds.scale(number) * GOAL for number in range(2, 8)] == [92, 88, 88, 92, 92, 96]
    assert rounds.marked(2) == rounds, "once a round"
    assert rounds.at(2).because.reason is Reason.SLOWER
    assert rounds.at(3).because.reason is Reason.COUNTED


def test_another_tempo_holds_at_once_and_stays_within_the_drill() -> None:
    rounds = Drilled.of(drill())
    assert tempos(rounds.rebased(1, Fraction(80, 96)), 5)[1:] == [80, 80, 84, 84]
    assert rounds.rebased(1, Fraction(2)).scale(1) == 1, "never above the goal"
    assert rounds.rebased(1, Fraction(1, 10)).scale(1) == Fraction(1, 3), "nor below its third"


def test_after_its_time_the_round_under_way_is_the_last() -> None:
    rounds = Drilled.of(drill())
    assert rounds.elapsed(1, Fraction(9)).comes(2)
    over = rounds.elapsed(1, Fraction(10))
    assert over.scale(1) * GOAL == 88
    assert not over.comes(2)
    assert over.at(2).because.reason is Reason.TIME


def test_it_climbs_in_fullness_and_steps_back_in_it() -> None:
    rounds = Drilled.of(drill(ladder=PLAINER))
    assert [rounds.depth(number) for number in range(0, 7, 2)] == [
        Depth.PLAIN, Depth.WRITTEN, Depth.WRITTEN, Depth.WRITTEN,
    ]  # fmt: skip
    assert [rounds.at(number).fullness for number in (0, 2, 4, 6)] == [
        Fullness.PLAIN, Fullness.WRITTEN, Fullness.SUNG, Fullness.SUNG,
    ]  # fmt: skip
    assert tempos(rounds, 7) == [88, 88, 88, 88, 88, 88, 92]
    back = rounds.marked(2)
    assert back.depth(2) is Depth.WRITTEN, "the round goes on as it began"
    assert back.depth(3) is Depth.PLAIN


@pytest.mark.parametrize("in_a_row", [1, 3])
def test_so_many_clean_rounds_in_a_row_lead_on(in_a_row: int) -> None:
    rounds = Drilled.of(drill(96, in_a_row=in_a_row))
    assert [rounds.comes(number) for number in range(in_a_row + 1)] == [True] * in_a_row + [False]


MARKS = st.lists(st.booleans(), max_size=14)
DRILLS = st.builds(
    drill,
    st.sampled_from([40, 72, 88, 96]),
    st.sampled_from([(Fullness.WRITTEN,), PLAINER]),
    st.integers(1, 3),
)


@settings(max_examples=40)
@given(DRILLS, MARKS)
def test_the_plan_is_what_the_drill_comes_to_event_by_event(
    began: Drill, marks: list[bool]
) -> None:
    rounds, now = Drilled.of(began), began
    for number, marked in enumerate(marks):
        assert rounds.comes(number) is not now.ended
        if now.ended:
            return
        assert (rounds.scale(number), rounds.depth(number)) == (now.scale, now.fullness.depth)
        if marked:
            before = rounds
            rounds = rounds.marked(number)
            assert rounds.scale(number) == before.scale(number)
            assert rounds.depth(number) == before.depth(number)
            now = follow(now, Marked())
        now = follow(now, Passed(clean=not marked))
        assert rounds.at(number + 1) == now


@settings(max_examples=40)
@given(DRILLS, MARKS)
def test_it_stays_between_a_third_of_the_goal_and_the_goal(began: Drill, marks: list[bool]) -> None:
    rounds = Drilled.of(began)
    for number, marked in enumerate(marks):
        if rounds.comes(number) and marked:
            rounds = rounds.marked(number)
        assert Fraction(1, 3) <= rounds.scale(number + 1) <= 1
    ends = [rounds.comes(number) for number in range(24)]
    assert ends == sorted(ends, reverse=True), "what has ended stays so"


def test_a_drill_that_was_told_to_last_for_ever_has_no_time() -> None:
    began = drill()
    endless = replace(began, terms=replace(began.terms, minutes=None))
    assert Drilled.of(endless).elapsed(0, Fraction(10**6)).comes(1)
