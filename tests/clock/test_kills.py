"""Whatever is killed, nothing is left ringing at a receiver on a real MIDI system."""

import contextlib
import fcntl
import os
import pty
import select
import signal
import struct
import subprocess
import sys
import termios
import threading
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from chartwalk import midi
from chartwalk.clock.client import Clock
from chartwalk.clock.schedule import ScheduledBar
from chartwalk.clock.state import State

if TYPE_CHECKING:
    from tests.clock.conftest import Listener, Server, Started

pytestmark = pytest.mark.skipif(not sys.platform.startswith("linux"), reason="JACK on Linux")
pytest.importorskip("rtmidi", reason="python-rtmidi is not installed")

Until = Callable[[Callable[[], object]], None]
Click = Callable[..., list[ScheduledBar]]
Gone = Callable[[int], bool]

SONG = Path(__file__).parents[2] / "songs" / "lanterns-at-low-tide.lead"
CHARTWALK = [sys.executable, "-m", "chartwalk_tui"]
BOOT = "import sys; sys.path[:] = sys.argv[1:]\n"
# A screen with a click that rings over the bar line, and a chord at every moment.
SCREEN = """
import time
from chartwalk.clock.client import Clock
from chartwalk.clock.schedule import Event, ScheduledBar
clock = Clock.start("listener:in")
clock.load([ScheduledBar(960, 0.2 / 960, (Event(0, bytes([0x99, 76, 100])),))] * 1000)
clock.run()
while True:
    clock.strike([48, 52, 55])
    time.sleep(0.2)
"""
RECEIVER = """
import time
import rtmidi
device = None
while device is None:
    try:
        device = rtmidi.MidiIn(rtmidi.API_UNIX_JACK, "listener")
    except (OSError, SystemError):
        time.sleep(0.05)
device.set_callback(lambda event, _: print(bytes(event[0]).hex(), flush=True))
device.open_virtual_port("in")
while True:
    time.sleep(60)
"""
PORT = "listener:in"
PATIENCE = 30.0  # seconds; only what hangs needs them


def ringing(messages: list[bytes]) -> set[tuple[int, int]]:
    """Channel and key of the notes that still sound.

    MIDI 1.0: a note on with velocity 0 ends a note; controller 120 ends all of its channel.
    """
    sounding: set[tuple[int, int]] = set()
    for status, *data in messages:
        kind, channel = status & 0xF0, status & 0x0F
        if kind == 0x90 and data[1]:
            sounding.add((channel, data[0]))
        elif kind in {0x80, 0x90}:
            sounding.discard((channel, data[0]))
        elif kind == 0xB0 and data[0] == 120:
            sounding = {(other, key) for other, key in sounding if other != channel}
    return sounding


def unended(messages: list[bytes]) -> set[tuple[int, int]]:
    """The same where nothing but its own note off ends a note."""
    return ringing([message for message in messages if message[0] & 0xF0 != 0xB0])


def all_silenced(messages: list[bytes]) -> bool:
    """Whether the last that was heard is the reset of all sixteen channels."""
    return messages[-48:] == [
        bytes([0xB0 | channel, number, 0]) for channel in range(16) for number in (64, 123, 120)
    ]


class Receiver:
    """A receiver in a process of its own: it can be plugged in and out."""

    def __init__(self) -> None:
        self.messages: list[bytes] = []
        self._process: subprocess.Popen[str] | None = None
        self._thread = threading.Thread()

    def plug_in(self) -> None:
        """Be there until ``unplug``; what is heard is added to ``messages``."""
        process = subprocess.Popen(
            [sys.executable, "-c", RECEIVER],
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            text=True,
        )

        def hear() -> None:
            with contextlib.closing(process.stdout or sys.stdin) as lines:
                self.messages.extend(bytes.fromhex(line.strip("\0\n")) for line in lines)

        self._process, self._thread = process, threading.Thread(target=hear)
        self._thread.start()

    def unplug(self) -> None:
        """Be gone."""
        if self._process is not None:
            self._process.kill()
            self._process.wait()
            self._thread.join()


class Terminal:
    """chartwalk in a terminal of 100x30; ``seen`` is what it wrote."""

    def __init__(self, port: str, home: Path) -> None:
        self.seen = b""
        self._ours, theirs = pty.openpty()
        fcntl.ioctl(theirs, termios.TIOCSWINSZ, struct.pack("HHHH", 30, 100, 0, 0))
        settings = {"CHARTWALK_HOME": str(home), "TERM": "xterm-256color"}
        self.screen = subprocess.Popen(
            # in a session of its own that the terminal controls, so that it hears a hang-up
            ["setsid", "--ctty", *CHARTWALK, "--port", port, str(SONG)],
            stdin=theirs, stdout=theirs, stderr=theirs, env=os.environ | settings,
        )  # fmt: skip
        os.close(theirs)
        self._closed = threading.Event()
        self._thread = threading.Thread(target=self._watch)
        self._thread.start()

    def __enter__(self) -> "Terminal":
        return self

    def __exit__(self, *_: object) -> None:
        self.screen.kill()
        self.screen.wait(PATIENCE)
        self.close()

    def types(self, keys: bytes) -> None:
        os.write(self._ours, keys)

    def close(self) -> None:
        """Take the terminal away from the program in it. Safe to repeat."""
        self._closed.set()
        self._thread.join()

    def _watch(self) -> None:
        with contextlib.suppress(OSError):  # nobody is at the other end any more
            while not self._closed.is_set():
                if select.select([self._ours], [], [], 0.05)[0]:
                    self.seen += os.read(self._ours, 65536)
        os.close(self._ours)


@pytest.fixture
def receiver(mortal_jack: "Server", until: Until) -> Iterator[Receiver]:
    receiver = Receiver()
    receiver.plug_in()
    until(lambda: PORT in midi.output_ports(10).outputs)
    yield receiver
    receiver.unplug()


@pytest.fixture
def clock(listener: "Listener", started: "Started", click: Click) -> Iterator[Clock]:
    """A clock whose notes ring."""
    with Clock(listener.port, spawn=started) as clock:
        clock.load(click(bars=500, tempo=240, rings=True))
        clock.run()
        yield clock


@pytest.fixture
def guarded(receiver: Receiver, click: Click, until: Until) -> Iterator[Clock]:
    """A clock that runs on the receiver and looks whether it is still there."""
    with Clock.start(PORT, look=lambda: midi.output_ports(10).outputs) as clock:
        until(lambda: clock.sound.port == PORT)
        clock.load(click(bars=500, tempo=240, rings=True))
        clock.run()
        until(lambda: receiver.messages)
        yield clock


def runs(clock: Clock) -> bool:
    place = clock.place()
    return place is not None and place.state is State.RUNNING


def told(clock: Clock) -> list[str]:
    return list(iter(clock.take_message, None))


# The screen


@pytest.mark.parametrize("name", ["SIGKILL", "SIGINT", "SIGTERM", "SIGHUP"])
def test_a_screen_that_is_killed_leaves_nothing_ringing(
    name: str, listener: "Listener", until: Until
) -> None:
    screen = subprocess.Popen(
        [sys.executable, "-c", BOOT + SCREEN, *sys.path], stderr=subprocess.DEVNULL
    )
    until(lambda: listener.notes() and len(listener.chord_notes()) >= 3)
    screen.send_signal(getattr(signal, name))
    screen.wait(PATIENCE)
    until(listener.released)
    assert unended(listener.messages) == set()
    notes = listener.chord_notes()  # a chord sounded at every moment
    assert notes[-3:] == [("note_off", key) for key in (48, 52, 55)]


@pytest.mark.parametrize("end", ["SIGKILL", "SIGTERM", "SIGHUP", "ctrl+c", "no terminal"])
def test_chartwalk_leaves_nothing_ringing_however_it_ends(
    end: str, listener: "Listener", until: Until, tmp_path: Path
) -> None:
    with Terminal(listener.port, tmp_path) as terminal:
        until(lambda: b"next bar" in terminal.seen)
        terminal.types(b"r")
        until(listener.notes)
        if end == "ctrl+c":
            terminal.types(b"\x03")
        elif end == "no terminal":
            terminal.close()
        else:
            terminal.screen.send_signal(getattr(signal, end))
        until(lambda: terminal.screen.poll() is not None)
    until(listener.released)
    assert unended(listener.messages) == set()


# The clock


@pytest.mark.parametrize("name", ["SIGKILL", "SIGSTOP", "SIGSEGV"])
def test_a_clock_that_is_lost_is_silenced_by_the_next_and_that_is_told(
    name: str, clock: Clock, listener: "Listener", started: "Started", until: Until
) -> None:
    until(listener.notes)
    assert ringing(listener.messages)
    os.kill(started.first, getattr(signal, name))
    until(lambda: all_silenced(listener.messages))
    assert ringing(listener.messages) == set()
    assert len(started.children) == 2
    assert len(said := told(clock)) == 1
    assert "started again" in said[0]
    assert not runs(clock)
    clock.run(5)
    heard = len(listener.messages)
    until(lambda: len(listener.messages) > heard)


def test_a_clock_told_to_end_ends_what_rings_first(
    clock: Clock, listener: "Listener", started: "Started", until: Until
) -> None:
    until(listener.notes)
    os.kill(started.first, signal.SIGTERM)
    until(lambda: all_silenced(listener.messages))
    assert unended(listener.messages) == set()
    assert "started again" in (clock.take_message() or "")


# The receiver, and the sound server


def test_a_port_that_is_unplugged_is_told_and_sounds_again_once_it_is_back(
    guarded: Clock, receiver: Receiver, until: Until
) -> None:
    receiver.unplug()
    until(lambda: guarded.sound.port is None)
    assert "is not there; connect it again" in guarded.sound.note
    assert len(told(guarded)) == 1
    assert runs(guarded)
    heard = len(receiver.messages)
    receiver.plug_in()
    until(lambda: guarded.sound.port == PORT)
    until(lambda: len(receiver.messages) > heard + 50)  # all channels are silenced, then it plays
    assert told(guarded) == [f"Sound goes to {PORT} now."]
    assert runs(guarded)
    guarded.stop()
    until(lambda: not ringing(receiver.messages))


def test_a_sound_server_that_is_killed_is_told_and_practice_goes_on(
    guarded: Clock, mortal_jack: "Server", receiver: Receiver, until: Until
) -> None:
    mortal_jack.kill()
    until(lambda: guarded.sound.port is None)
    assert "is not there; connect it again" in guarded.sound.note
    assert len(told(guarded)) == 1
    assert runs(guarded)
    receiver.unplug()
    heard = len(receiver.messages)
    assert mortal_jack.start()
    receiver.plug_in()
    until(lambda: guarded.sound.port == PORT)
    until(lambda: len(receiver.messages) > heard + 50)
    assert told(guarded) == [f"Sound goes to {PORT} now."]
    assert runs(guarded)
    guarded.stop()
    until(lambda: not ringing(receiver.messages))
