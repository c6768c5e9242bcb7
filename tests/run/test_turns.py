"""Which bars are played: counted in, gaps, portions, rounds; the tempo ladder by hand.

How bars are counted in and how a ladder climbs is common practice, no source; the metronome marks
are those of a mechanical metronome (from memory; `test_tempo` has them all).
"""

from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chartwalk.chart import Bar, Note
from chartwalk.click import ClickStyle
from chartwalk.meter import Meter
from chartwalk.run import Ladder, Loop, Through, Turn, count_in, in_gaps, played
from chartwalk.run.plan import PORTION

ONE = ClickStyle()
TWO = ClickStyle(count_in=2)


def bars_of(meter: str, count: int, pickup: str | None = None) -> list[Bar]:
    signature = Meter.parse(meter)
    bars = [Bar("1", signature, length=signature.quarters)] * count
    if pickup:
        length = Fraction(pickup)
        first = Bar("0", signature, length=length, pickup=True, tune=(Note(None, length),))
        return [first, *bars]
    return bars


def counted(turns: tuple[Turn, ...]) -> list[Fraction]:
    """The lengths of the bars that are counted in, in quarters."""
    return [turn.counted for turn in turns if turn.counted is not None]


@pytest.mark.parametrize(
    ("meter", "pickup", "one", "two"),
    [
        ("4/4", None, [4], [4, 4]),
        ("6/8", None, [3], [3, 3]),
        ("3/8", None, ["3/2", "3/2"], ["3/2", "3/2"]),  # two beats at least
        ("1/4", None, [1, 1], [1, 1]),
        ("7/8", None, ["7/2"], ["7/2", "7/2"]),
        ("4/4", "1", [4, 3], [4, 4, 3]),  # and the beats that lead to the pickup
        ("4/4", "1/2", [4, "7/2"], [4, 4, "7/2"]),
        ("6/8", "1/2", [3, "5/2"], [3, 3, "5/2"]),
        ("3/8", "1/2", ["3/2", 1], ["3/2", "3/2", 1]),
    ],
)
def test_one_bar_or_two_are_counted_in(
    meter: str, pickup: str | None, one: list[object], two: list[object]
) -> None:
    bars = bars_of(meter, 2, pickup)
    for style, expected in ((ONE, one), (TWO, two)):
        turns = count_in(bars, 0, style)
        assert counted(turns) == [Fraction(str(length)) for length in expected]
        assert {turn.step for turn in turns} == {0}


def test_a_gap_click_is_silent_in_turn_and_never_while_it_counts() -> None:
    bars = bars_of("4/4", 6)
    turns = (*count_in(bars, 0, TWO), *played(bars, 0, 5))
    style = ClickStyle(sounding=2, silent=2)
    assert [turn.silent for turn in in_gaps(turns, style)] == [
        *(False, False),  # counted
        *(False, False, True, True, False, False),
    ]
    assert [turn.silent for turn in in_gaps(turns[2:], style, before=3)] == [
        *(True, False, False, True, True, False)
    ]


def test_a_gap_click_goes_on_over_the_rounds_of_a_loop() -> None:
    bars = bars_of("4/4", 3)
    loop = Loop(0, 2, Ladder(), Fraction(96), Fraction(1))
    turns = in_gaps(loop.turns(bars, ONE), ClickStyle(sounding=1, silent=3))
    song = [turn.silent for turn in turns if turn.counted is None]
    assert song[:9] == [False, True, True, True, False, True, True, True, False]
    assert not any(turn.silent for turn in turns if turn.counted is not None)


def test_bars_sound_again_once_the_gap_click_is_off() -> None:
    turns = in_gaps(played(bars_of("4/4", 6), 0, 5), ClickStyle(sounding=1, silent=3))
    assert any(turn.silent for turn in turns)
    assert not any(turn.silent for turn in in_gaps(turns, ClickStyle()))


@pytest.mark.parametrize(("first", "last"), [(0, 0), (3, 10), (0, PORTION), (2, 3 * PORTION + 1)])
def test_a_run_is_counted_in_once_and_plays_every_step_once(first: int, last: int) -> None:
    bars = bars_of("4/4", last + 1)
    plan = Through(first, last)
    turns = list(plan.turns(bars, ONE))
    portions = [len(turns)]
    while more := plan.turns(bars, ONE, turns[-1]):
        turns += more
        portions.append(len(more))
    assert max(portions) <= PORTION + 1
    assert [turn.counted is not None for turn in turns] == [True] + [False] * (last - first + 1)
    assert [turn.step for turn in turns] == [first, *range(first, last + 1)]
    assert {turn.pace for turn in turns} == {1}


@pytest.mark.parametrize(("first", "last"), [(0, 0), (1, 3), (0, 60)])
def test_a_loop_is_counted_in_every_round_and_never_ends(first: int, last: int) -> None:
    bars = bars_of("4/4", 61)
    plan = Loop(first, last, Ladder(), Fraction(96), Fraction(3, 4))
    turns = list(plan.turns(bars, ONE))
    for _ in range(3):
        more = plan.turns(bars, ONE, turns[-1])
        assert {turn.round for turn in more} != {turns[-1].round}
        turns += more
    for number in range(turns[-1].round + 1):
        round_ = [turn for turn in turns if turn.round == number]
        assert [turn.step for turn in round_] == [first, *range(first, last + 1)]
        assert [turn.counted is None for turn in round_] == [False] + [True] * (last - first + 1)
    assert {turn.pace for turn in turns} == {Fraction(3, 4)}


# Ladder, tempo at the start, goal, was each round clean (x: it had a mark), tempo after each round.
LADDERS = [
    (Ladder(1, 1), 80, 96, "......", [84, 88, 92, 96, 96, 96]),
    (Ladder(1, 1), 80, 94, "....", [84, 88, 92, 94]),  # the goal itself, off the marks
    (Ladder(2, 1), 80, 96, "...", [88, 96, 96]),
    (Ladder(3, 1), 60, 72, "..", [69, 72]),  # 63, 66, 69; then no further than the goal
    (Ladder(1, 1), 80, 96, ".x.x.", [84, 84, 88, 88, 92]),
    (Ladder(1, 2), 60, 96, "....", [60, 63, 63, 66]),
    (Ladder(1, 2), 60, 96, ".x...", [60, 60, 60, 63, 63]),  # two in a row
    (Ladder(1, 3), 60, 96, "..x...", [60, 60, 60, 60, 60, 63]),
    (Ladder(1, 1, clean=False), 80, 96, "xx.", [84, 88, 92]),
    (Ladder(1, 2, clean=False), 80, 96, "x.xx", [80, 84, 84, 88]),
    (Ladder(0, 1), 80, 96, "...", [80, 80, 80]),
    (Ladder(2, 1), 100, 96, "...", [100, 100, 100]),  # above the goal already: it stays
]


@pytest.mark.parametrize(("ladder", "tempo", "goal", "rounds", "expected"), LADDERS)
def test_a_ladder_by_hand(
    ladder: Ladder, tempo: int, goal: int, rounds: str, expected: list[int]
) -> None:
    clean = [sign == "." for sign in rounds]
    assert [
        ladder.climbed(Fraction(tempo), Fraction(goal), clean[:count])
        for count in range(1, len(clean) + 1)
    ] == expected


def test_the_rounds_of_a_loop_climb_and_a_mark_holds_them_back() -> None:
    loop = Loop(0, 1, Ladder(1), Fraction(96), Fraction(80, 96))
    assert [loop.scale(number) * 96 for number in range(6)] == [80, 84, 88, 92, 96, 96]
    marked = loop.marked(1)
    assert [marked.scale(number) * 96 for number in range(6)] == [80, 84, 84, 88, 92, 96]
    bars = [Bar("1", tempo=Fraction(96))] * 2
    paces = {turn.round: turn.pace for turn in marked.turns(bars, ONE)}
    assert [paces[number] * 96 for number in range(4)] == [80, 84, 84, 88]


def test_a_loop_climbs_on_from_a_tempo_chosen_meanwhile() -> None:
    loop = Loop(0, 1, Ladder(1), Fraction(96), Fraction(80, 96)).rebased(2, Fraction(60, 96))
    assert [loop.scale(number) * 96 for number in range(2, 6)] == [60, 63, 66, 69]


def test_a_loop_goes_on_at_its_tempo_with_another_ladder() -> None:
    loop = Loop(0, 1, Ladder(1), Fraction(96), Fraction(80, 96)).climbing(2, Ladder(0))
    assert [loop.scale(number) * 96 for number in range(2, 5)] == [88, 88, 88]
    loop = loop.climbing(3, Ladder(2))
    assert [loop.scale(number) * 96 for number in range(3, 6)] == [88, 96, 96]


@pytest.mark.parametrize(("marks", "rounds"), [(-1, 1), (1, 0), (0, -1)])
def test_a_ladder_that_can_not_be_is_refused(marks: int, rounds: int) -> None:
    with pytest.raises(ValueError, match="ladder"):
        Ladder(marks, rounds)


tempos = st.fractions(1, 400, max_denominator=8)
ladders = st.builds(Ladder, st.integers(0, 4), st.integers(1, 4), st.booleans())


@given(ladders, tempos, tempos, st.lists(st.booleans(), max_size=20))
def test_a_ladder_never_falls_and_never_passes_the_goal(
    ladder: Ladder, tempo: Fraction, goal: Fraction, rounds: list[bool]
) -> None:
    steps = [ladder.climbed(tempo, goal, rounds[:count]) for count in range(len(rounds) + 1)]
    assert steps[0] == tempo
    assert all(slow <= fast for slow, fast in pairwise(steps))
    assert max(steps) <= max(tempo, goal)
