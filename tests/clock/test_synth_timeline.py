"""A device that keeps a rate of its own and asks early and late is followed all the same."""

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chartwalk.clock.synth.timeline import Timeline

RATE, PERIOD = 48_000, 480
START = 5_000.0  # any moment


def requests(
    rate: float, jitter: float, seconds: float, *, at_once: int = 1
) -> list[tuple[float, int]]:
    """What a device asks for: the moment, and the position of the next sample.

    It takes ``rate`` times the samples it should, asks up to ``jitter`` seconds late, and for so
    many periods ``at_once``.
    """
    chance = random.Random(7)
    asked = []
    for number in range(round(seconds * RATE / PERIOD)):
        first = number - number % at_once
        if number == first:
            late = chance.random() * jitter
        asked.append((START + first * PERIOD / (RATE * rate) + late, number * PERIOD))
    return asked


@pytest.mark.parametrize("rate", [0.995, 1.0, 1.005])
@pytest.mark.parametrize("jitter", [0.0, 0.001, 0.003])
def test_the_rate_of_a_device_is_found(rate: float, jitter: float) -> None:
    line = Timeline(RATE)
    for moment, position in requests(rate, jitter, 30):
        line.asked(moment, position)
    found = line.position(START + 31) - line.position(START + 30)
    assert found == pytest.approx(RATE * rate, abs=2)
    # The middle of the jitter is taken for the truth.
    middle = line.position(START + 30) - (30 - jitter / 2) * RATE * rate
    assert abs(middle) < 0.0005 * RATE


def test_a_device_that_takes_much_at_once_is_followed() -> None:
    line = Timeline(RATE)
    for moment, position in requests(1.005, 0.001, 30, at_once=4):
        line.asked(moment, position)
    assert line.position(START + 31) - line.position(START + 30) == pytest.approx(
        RATE * 1.005, abs=3
    )


def test_one_late_request_moves_nothing() -> None:
    line = Timeline(RATE)
    asked = requests(1.0, 0.0, 20)
    for moment, position in asked[:-1]:
        line.asked(moment, position)
    moment, position = asked[-1]
    line.asked(moment + 0.4, position)
    assert line.position(START + 25) == pytest.approx(25 * RATE, abs=1)


def test_a_device_that_stood_still_is_found_again() -> None:
    line = Timeline(RATE)
    asked = requests(1.002, 0.0, 40)
    for moment, position in asked[:2000]:
        line.asked(moment, position)
    for moment, position in asked[2000:]:
        line.asked(moment + 3.0, position)
    end = asked[-1]
    assert line.position(end[0] + 3.0) == pytest.approx(end[1], abs=0.001 * RATE)


@given(st.floats(0.99, 1.01), st.floats(0.0, 0.005), st.floats(-0.1, 0.1))
def test_later_moments_lie_later(rate: float, jitter: float, offset: float) -> None:
    line = Timeline(RATE)
    for moment, position in requests(rate, jitter, 2):
        line.asked(moment, position)
    moment = START + 2 + offset
    assert 0 < line.position(moment + 0.1) - line.position(moment) < 0.11 * RATE
