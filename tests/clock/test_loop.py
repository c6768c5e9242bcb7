"""A real MIDI loop: from the clock through a JACK server to a receiver."""

import sys
from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING, Protocol

import pytest

from chartwalk import midi
from chartwalk.clock.client import Clock
from chartwalk.clock.schedule import ScheduledBar

if TYPE_CHECKING:
    from tests.clock.conftest import Started

pytestmark = pytest.mark.skipif(not sys.platform.startswith("linux"), reason="JACK on Linux")
pytest.importorskip("rtmidi", reason="python-rtmidi is not installed")

Until = Callable[[Callable[[], object]], None]
Click = Callable[..., list[ScheduledBar]]

NOTE_OFF, NOTE_ON, CONTROL = 0x89, 0x99, 0xB9  # MIDI 1.0, on channel 10


class Ear(Protocol):
    """The receiver."""

    port: str
    heard: list[tuple[float, bytes]]

    @property
    def messages(self) -> list[bytes]: ...

    def chord_notes(self) -> list[tuple[str, int]]: ...

    def notes(self) -> list[int]: ...

    def released(self) -> bool: ...


C_MAJOR, D_MINOR = (48, 52, 55), (50, 53, 57)


@pytest.fixture
def clock(listener: Ear, started: "Started") -> Iterator[Clock]:
    with Clock(listener.port, spawn=started) as clock:
        yield clock


def test_clicks_arrive_in_order_and_on_time_on_the_whole(
    clock: Clock, listener: Ear, click: Click, until: Until
) -> None:
    clock.load(click(bars=2, tempo=240))
    clock.run()
    until(lambda: len(listener.notes()) == 8 and listener.released())
    assert clock.sound.port == listener.port
    assert listener.notes() == [76, 77, 77, 77] * 2
    times = [moment for moment, message in listener.heard if message[0] == NOTE_ON]
    assert (times[-1] - times[0]) / 7 == pytest.approx(0.25, abs=0.05)
    assert clock.take_message() is None


def test_stop_ends_what_rings(clock: Clock, listener: Ear, click: Click, until: Until) -> None:
    clock.load(click(bars=50, tempo=240, rings=True))
    clock.run()
    until(lambda: len(listener.notes()) >= 2)
    clock.stop()
    until(listener.released)
    endings = [(76, 64), (77, 64)]
    assert listener.messages[-5:] == [
        *(bytes([NOTE_OFF, note, velocity]) for note, velocity in endings),
        *(bytes([CONTROL, number, 0]) for number in (64, 123, 120)),
    ]
    heard = len(listener.messages)
    clock.run(5)
    until(lambda: len(listener.messages) > heard)


def test_a_chord_is_heard_and_let_go(clock: Clock, listener: Ear, until: Until) -> None:
    clock.strike(C_MAJOR)
    until(lambda: len(listener.chord_notes()) == 6)
    assert listener.chord_notes() == [
        (kind, key) for kind in ("note_on", "note_off") for key in C_MAJOR
    ]
    assert len(listener.messages) == 6


def test_a_new_chord_cuts_the_one_before(clock: Clock, listener: Ear, until: Until) -> None:
    clock.strike(C_MAJOR)
    clock.strike(D_MINOR)
    until(lambda: len(listener.chord_notes()) == 12)
    assert listener.chord_notes() == [
        (kind, key)
        for keys in (C_MAJOR, D_MINOR)
        for kind in ("note_on", "note_off")
        for key in keys
    ]


def test_chords_sound_beside_a_click_that_goes_on_whole(
    clock: Clock, listener: Ear, click: Click, until: Until
) -> None:
    clock.load(click(bars=4, tempo=480))
    clock.run()
    struck = 0

    def strike_on_each_beat() -> bool:
        nonlocal struck
        if struck < min(len(listener.notes()), 12):
            struck += 1
            clock.strike(D_MINOR if struck % 2 else C_MAJOR)
        return len(listener.notes()) == 16 and listener.released()

    until(strike_on_each_beat)
    assert listener.notes() == [76, 77, 77, 77] * 4
    notes = listener.chord_notes()
    for key in C_MAJOR + D_MINOR:
        assert [kind for kind, note in notes if note == key] == ["note_on", "note_off"] * 6
    assert clock.take_message() is None


@pytest.mark.parametrize("end", [Clock.stop, lambda clock: clock.open(None)])
def test_stop_and_another_port_let_the_chord_go(
    clock: Clock, listener: Ear, click: Click, until: Until, end: Callable[[Clock], None]
) -> None:
    clock.load(click(bars=50, tempo=120))
    clock.run()
    clock.strike(C_MAJOR)
    until(lambda: listener.notes() and len(listener.chord_notes()) == 3)
    end(clock)
    until(listener.released)
    assert listener.chord_notes() == [
        (kind, key) for kind in ("note_on", "note_off") for key in C_MAJOR
    ]


def test_a_port_that_is_not_there_is_told_and_another_can_be_opened(
    clock: Clock, listener: Ear, click: Click, until: Until
) -> None:
    until(lambda: clock.sound.port == listener.port)
    clock.open("nothing of that name")
    until(lambda: "is not there" in clock.sound.note)
    assert clock.sound.port is None
    clock.open(listener.port)
    until(lambda: clock.sound.port == listener.port)
    clock.load(click(bars=1, tempo=960))
    clock.run()
    until(lambda: len(listener.notes()) == 4)


def test_the_port_is_found_by_part_of_its_name(listener: Ear) -> None:
    assert midi.choose(midi.output_ports(20), "LISTEN").port == listener.port
