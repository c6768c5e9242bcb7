"""Marked bars gathered into stretches of the play order."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chartwalk.trouble.stretches import LONGEST, find, played, stretches

REPEATED = (0, 1, 2, 0, 1, 3, 4)  # two endings: bar 2 the first, bar 3 the second
DA_CAPO = (0, 1, 2, 3, 4, 5, 0, 1, 6, 7)  # back to the beginning, and to a coda at 6

marked_bars = st.sets(st.integers(0, 9), max_size=10)
orders = st.lists(st.integers(0, 9), max_size=30).map(tuple)


@pytest.mark.parametrize(
    ("marked", "order", "expected"),
    [
        ((), range(8), ()),
        ((3,), range(8), ((3,),)),
        ((3, 4), range(8), ((3, 4),)),
        ((3, 5), range(8), ((3,), (5,))),
        ((0, 1, 2, 3, 4, 5), range(8), ((0, 1, 2, 3), (4, 5))),
        ((0, 2), REPEATED, ((2, 0),)),  # the repeat is a jump from bar 2 to bar 0
        ((1, 3), REPEATED, ((1, 3),)),  # so is the way to the second ending
        ((2, 3), REPEATED, ((2,), (3,))),  # neighbours on paper, never one after the other
        ((0, 1, 2), REPEATED, ((0, 1, 2),)),
        ((1, 2, 5), (5, 2, 1, 2, 3), ((1, 2), (5,))),  # on paper first, though the jump came before
        ((0, 1, 3), REPEATED, ((0, 1, 3),)),
        ((5, 0), DA_CAPO, ((5, 0),)),
        ((1, 6), DA_CAPO, ((1, 6),)),
        ((4, 5, 0, 1), DA_CAPO, ((4, 5, 0, 1),)),
        ((0, 9), range(8), ((0,), (9,))),  # 9 is never played
        ((0, 0), (0, 0, 0), ((0,),)),
    ],
)
def test_what_belongs_together(
    marked: tuple[int, ...], order: tuple[int, ...], expected: tuple[tuple[int, ...], ...]
) -> None:
    assert stretches(marked, order) == expected


def test_two_jumps_that_no_road_takes_in_a_row_are_no_stretch() -> None:
    # 5 jumps to 1 the first time; from 1 the road jumps to 7 the second time only.
    order = (5, 1, 2, 3, 0, 1, 7)
    assert stretches({5, 1, 7}, order) == ((5, 1), (7,))


@given(marked_bars, orders)
def test_each_bar_is_in_one_stretch_that_is_played_in_one_go(
    marked: set[int], order: tuple[int, ...]
) -> None:
    found = stretches(marked, order)
    assert sorted(bar for stretch in found for bar in stretch) == sorted(marked)
    assert all(len(stretch) <= LONGEST for stretch in found)
    assert all(find(stretch, order) for stretch in found if len(stretch) > 1)


@given(marked_bars)
def test_on_a_straight_road_only_the_length_parts_neighbours(marked: set[int]) -> None:
    found = stretches(marked, range(10))
    for before, following in pairwise(found):
        if before[-1] + 1 == following[0]:
            assert len(before) == LONGEST


@pytest.mark.parametrize(
    ("span", "count", "expected"),
    [
        ((0, 3), 3, (0, 1, 3)),  # the second time through
        ((0, 2), 3, (0, 1, 2)),
        ((0, 4), 7, REPEATED),
        ((2, 0), 2, (2, 0)),
        ((0, 9), 2, (0, 1)),  # it ends elsewhere: the first place is taken
        ((3, 4), 9, (3, 4)),
        ((0, 0), 0, ()),
        ((8, 9), 2, ()),
    ],
)
def test_the_bars_of_a_pass(span: tuple[int, int], count: int, expected: tuple[int, ...]) -> None:
    assert played(span, count, REPEATED) == expected
