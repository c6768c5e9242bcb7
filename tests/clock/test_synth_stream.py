"""Messages stand at the sample where they are due, on a device with a rate of its own."""

import random
from collections.abc import Iterable

import numpy as np
import numpy.typing as npt
import pytest

from chartwalk.clock.synth import LAG, RATE
from chartwalk.clock.synth.stream import LONGEST_LAG, TOO_LATE, Stream

PERIOD = 480
START = 5_000.0
WOOD = bytes([0x99, 76, 112])  # General MIDI percussion: the high wood block
C, C_OFF, SOUND_OFF = bytes([0x90, 60, 100]), bytes([0x80, 60, 64]), bytes([0xB0, 120, 0])
Wave = npt.NDArray[np.float32]


class Device:
    """Asks a stream for samples: at a rate of its own, early and late, so many periods at once."""

    def __init__(self, rate: float = 1.0, jitter: float = 0.0, at_once: int = 1) -> None:
        self.stream = Stream()
        self.waves: list[Wave] = []
        self.taken = 0
        self._seconds = PERIOD / (RATE * rate)
        self._jitter = jitter
        self._at_once = at_once
        self._chance = random.Random(3)

    @property
    def wave(self) -> Wave:
        return np.concatenate(self.waves)

    def play(self, seconds: float, due: Iterable[float] = ()) -> None:
        """Go on for so long; strike at each moment, told of it as it comes."""
        coming = sorted(due)
        for _ in range(round(seconds / (self._seconds * self._at_once))):
            now = START + self.taken * self._seconds + self._chance.random() * self._jitter
            while coming and coming[0] <= now:
                self.stream.send(WOOD, coming.pop(0))
            for _ in range(self._at_once):
                self.waves.append(self.stream.fill(PERIOD, now))
                self.taken += 1

    def onsets(self, apart: float) -> list[int]:
        """The positions at which a stroke begins, so many seconds apart at least."""
        loud = np.flatnonzero(np.abs(self.wave) > 1e-6)
        found: list[int] = []
        for position in loud.tolist():
            if not found or position - found[-1] > apart * RATE:
                found.append(position)
        return found


def row(first: float, interval: float, count: int) -> list[float]:
    return [START + first + number * interval for number in range(count)]


@pytest.mark.parametrize("rate", [0.995, 1.0, 1.005])
@pytest.mark.parametrize("jitter", [0.0, 0.001])
def test_a_steady_click_has_steady_intervals(rate: float, jitter: float) -> None:
    device = Device(rate, jitter)
    device.play(30, row(12, 0.5, 34))
    intervals = np.diff(device.onsets(0.3))
    assert len(intervals) == 33
    # An interval that is no whole number of samples is one of the two beside it.
    assert np.abs(intervals - 0.5 * RATE * rate).max() < 2
    assert np.ptp(intervals) <= 2


def test_a_busy_machine_moves_a_click_by_less_than_a_tenth_of_a_millisecond() -> None:
    device = Device(1.005, 0.004)
    device.play(40, row(20, 0.25, 75))
    intervals = np.diff(device.onsets(0.15))
    assert len(intervals) == 74
    assert np.abs(intervals - 0.25 * RATE * 1.005).max() < 0.0001 * RATE


def test_a_click_comes_a_fixed_time_after_it_is_due() -> None:
    device = Device()
    device.play(5, row(1, 0.25, 15))
    places = [position / RATE for position in device.onsets(0.15)]
    expected = [moment - START + LAG for moment in row(1, 0.25, 15)]
    assert places == pytest.approx(expected, abs=2 / RATE)
    assert device.stream.lag == LAG


def test_a_device_that_takes_much_at_once_gets_a_longer_lag_and_steady_clicks() -> None:
    device = Device(at_once=8)  # 80 ms
    device.play(60, row(30, 0.5, 55))
    assert LAG < device.stream.lag < LONGEST_LAG
    intervals = np.diff(device.onsets(0.3))
    assert np.abs(intervals - 0.5 * RATE).max() < 5


def test_what_has_no_moment_plays_at_once() -> None:
    device = Device()
    device.play(1)
    device.stream.send(C)
    device.play(0.5)
    assert device.onsets(0.1)[0] == pytest.approx(RATE, abs=2)


def test_messages_of_one_moment_keep_their_order() -> None:
    device = Device()
    device.play(1)
    for message in (C, C_OFF):
        device.stream.send(message, START + 1)
    device.play(0.5)
    assert device.stream.silent


def test_a_note_that_was_ended_before_its_place_is_not_played() -> None:
    for end in (C_OFF, SOUND_OFF):
        device = Device()
        device.play(1)
        device.stream.send(C, START + 1)
        device.play(0.01)
        device.stream.send(end)
        device.play(0.5)
        assert not device.wave.any()


def test_what_ends_one_note_leaves_others_that_wait() -> None:
    device = Device()
    device.play(1)
    device.stream.send(C, START + 1)
    device.stream.send(WOOD, START + 1)
    device.play(0.01)
    device.stream.send(bytes([0x80, 61, 64]))
    device.stream.send(bytes([0xB9, 120, 0]))
    device.play(0.5)
    assert not device.stream.silent


def test_a_note_that_comes_far_too_late_is_left_out_but_not_its_end() -> None:
    device = Device()
    device.play(1)
    device.stream.send(WOOD, START + 1 - TOO_LATE - 0.01)
    device.play(0.3)
    assert not device.wave.any()
    device.stream.send(C)
    device.play(0.1)
    device.stream.send(C_OFF, START + 1)
    device.play(0.2)
    assert device.stream.silent


def test_a_stream_that_is_hushed_falls_silent_for_good() -> None:
    device = Device()
    device.play(1)
    device.stream.send(C)
    device.play(0.2)
    device.stream.send(WOOD, START + 1.2)
    device.stream.hush()
    device.play(0.01)
    assert np.abs(device.wave[-PERIOD:]).max() > 0  # a short fall, no crack
    device.stream.send(C)
    device.play(0.2)
    assert device.stream.silent
    assert not device.wave[-PERIOD * 10 :].any()


def test_a_device_that_takes_nothing_keeps_a_bounded_queue() -> None:
    stream = Stream()
    for number in range(20_000):
        stream.send(WOOD, START + number)
    stream.fill(PERIOD, START + 20_000)
    assert stream.silent


def test_a_buffer_that_is_filled_at_first_makes_no_longer_lag() -> None:
    stream = Stream()
    for _ in range(2):
        stream.fill(PERIOD, START)
    for number in range(500):
        stream.fill(PERIOD, START + number * PERIOD / RATE)
    assert stream.lag == LAG
