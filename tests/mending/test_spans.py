"""How long bars are held to be: what is believed, and what is told of it."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chartwalk.mending.lengths import Measured, Span, longest, spans
from chartwalk.meter import UNITS, Meter

METERS = st.builds(Meter, st.integers(1, 24), st.sampled_from(UNITS))


def second(length: Fraction, meter: Meter, *, split: bool = False) -> tuple[Span, list[str]]:
    """What becomes of a bar after a full one, and what is told."""
    found, notices = spans([Measured(meter.quarters, meter), Measured(length, meter, split)])
    assert {notice.bar for notice in notices} <= {1}
    return found[1], [notice.message for notice in notices]


# The twelve notes of 12/8 and 12/4, or twice the meter: common practice, no source.
@pytest.mark.parametrize(
    ("meter", "quarters"),
    [("4/4", 12), ("3/4", 12), ("2/2", 24), ("6/8", 6), ("12/8", 12), ("9/8", 9), ("7/4", 14)],
)
def test_the_longest_bar_that_is_counted_as_one(meter: str, quarters: int) -> None:
    assert longest(Meter.parse(meter)) == quarters


def test_a_bar_that_can_be_counted_has_a_meter_of_its_own() -> None:
    span, told = second(Fraction(12), Meter())
    assert span == Span(Meter(12, 4), Fraction(12))
    assert told == ["its notes last 12 quarters, not 4 quarters: read as a bar of 12/4"]


@pytest.mark.parametrize("split", [False, True])
def test_a_longer_one_that_was_not_divided_is_told_as_wrong(split: bool) -> None:
    span, told = second(Fraction(44), Meter(), split=split)
    assert span == Span(Meter(44, 4), Fraction(44))
    assert told == ["its notes last 44 quarters, too many to count: bar lines are missing"]


@given(METERS)
def test_the_meter_itself_and_twice_the_meter_can_be_counted(meter: Meter) -> None:
    assert longest(meter) >= 2 * meter.quarters


@given(METERS, st.integers(1, 400))
def test_no_length_is_believed_in_silence_but_the_meter_s_own(meter: Meter, units: int) -> None:
    length = Fraction(units * 4, meter.unit)
    span, told = second(length, meter)
    assert bool(told) == (length != meter.quarters)
    assert span.pickup or span.length == span.meter.quarters
