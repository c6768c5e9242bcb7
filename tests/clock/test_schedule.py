"""What the clock plays: values that make sense, or none."""

import math

import pytest

from chartwalk.clock.schedule import Event, ScheduledBar, check_rate

NOTE = bytes([0x99, 76, 100])


@pytest.mark.parametrize(
    "message",
    [b"", b"\x4c", b"\x99\x4c", NOTE + b"\x01", b"\x99\x4c\x80", b"\xf0\x01\xf7", b"\xf7", b"\xf4"],
)
def test_a_message_must_be_short_and_whole(message: bytes) -> None:
    with pytest.raises(ValueError, match="no short MIDI message"):
        Event(0, message)


@pytest.mark.parametrize("message", [NOTE, b"\xc0\x05", b"\xe0\x00\x40", b"\xf8", b"\xf2\x08\x00"])
def test_short_messages_of_every_length_are_taken(message: bytes) -> None:
    assert Event(0, message).message == message


@pytest.mark.parametrize("tick", [-1, 2**31])
def test_an_event_lies_after_its_bar_line(tick: int) -> None:
    with pytest.raises(ValueError, match="ticks into its bar"):
        Event(tick, NOTE)


@pytest.mark.parametrize(
    ("ticks", "seconds", "events", "why"),
    [
        (0, 0.1, (), "ticks long"),
        (-960, 0.1, (), "ticks long"),
        (960, 0.0, (), "no time"),
        (960, math.nan, (), "no time"),
        (960, math.inf, (), "no time"),
        (960, 0.1, (Event(960, NOTE),), "outside a bar"),
        (960, 0.1, (Event(5, NOTE), Event(4, NOTE)), "go by tick"),
    ],
)
def test_a_bar_must_make_sense(
    ticks: int, seconds: float, events: tuple[Event, ...], why: str
) -> None:
    with pytest.raises(ValueError, match=why):
        ScheduledBar(ticks, seconds, events)


@pytest.mark.parametrize("rate", [0, 0.09, 10.1, -1, math.nan, math.inf])
def test_a_rate_has_limits(rate: float) -> None:
    with pytest.raises(ValueError, match="rate"):
        check_rate(rate)
