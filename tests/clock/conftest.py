"""What the tests of the clock share: schedules, waiting without deadlines, and a real MIDI loop."""

import contextlib
import os
import shutil
import subprocess
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import Any

import mido
import pytest

from chartwalk import midi
from chartwalk.clock.schedule import TICKS_PER_QUARTER, Event, ScheduledBar
from chartwalk.clock.spawn import Subprocess, module_command

# General MIDI level 1: percussion is channel 10, 76 and 77 are the high and the low wood block.
NOTE_OFF, NOTE_ON, CONTROL = 0x89, 0x99, 0xB9
HIGH, LOW = 76, 77
ALL_SOUND_OFF = 120  # MIDI 1.0, controllers
PATIENCE = 30.0  # seconds; only a broken clock needs them
DRIVER = ["-S", "-d", "dummy", "-r", "48000", "-p", "64"]

Until = Callable[[Callable[[], object]], None]
Click = Callable[..., list[ScheduledBar]]


@pytest.fixture(scope="session")
def until() -> Until:
    """Wait until something is true, however busy the machine is."""

    def wait(condition: Callable[[], object]) -> None:
        end = time.monotonic() + PATIENCE
        while not condition():
            assert time.monotonic() < end, "waited in vain"
            time.sleep(0.005)

    return wait


@pytest.fixture(scope="session")
def click() -> Click:
    """Build bars of four clicks, high then low, each ended after a sixteenth unless it rings.

    The tempo is in quarter notes a minute.
    """

    def build(bars: int = 2, tempo: float = 240, *, rings: bool = False) -> list[ScheduledBar]:
        events = []
        for beat in range(4):
            note = LOW if beat else HIGH
            tick = beat * TICKS_PER_QUARTER
            events.append(Event(tick, bytes([NOTE_ON, note, 100])))
            if not rings:
                events.append(Event(tick + 240, bytes([NOTE_OFF, note, 0])))
        tick_seconds = 60 / tempo / TICKS_PER_QUARTER
        return [ScheduledBar(4 * TICKS_PER_QUARTER, tick_seconds, tuple(events))] * bars

    return build


@pytest.fixture(scope="session")
def gone() -> Callable[[int], bool]:
    """Tell whether a process has ended, even where nobody has collected it yet."""

    def ended(pid: int) -> bool:
        try:
            os.kill(pid, 0)
        except ProcessLookupError:
            return True
        with contextlib.suppress(OSError), open(f"/proc/{pid}/stat", encoding="utf-8") as stat:
            return stat.read().rpartition(")")[2].split()[0] == "Z"
        return False

    return ended


class Started:
    """Starts clock processes and knows them."""

    def __init__(self) -> None:
        self.children: list[Subprocess] = []

    def __call__(self) -> Subprocess:
        self.children.append(Subprocess(module_command("chartwalk.clock.process")))
        return self.children[-1]

    @property
    def first(self) -> int:
        """The number of the first process."""
        return self.children[0]._process.pid


@pytest.fixture
def started() -> Started:
    """Start clock processes and know them."""
    return Started()


@dataclass
class Listener:
    """A receiver on the other side of a real MIDI system; ``heard`` holds (seconds, message)."""

    port: str = ""
    heard: list[tuple[float, bytes]] = field(default_factory=list)

    @property
    def messages(self) -> list[bytes]:
        """The messages alone."""
        return [message for _, message in self.heard]

    def notes(self) -> list[int]:
        """The notes that were started on the percussion channel."""
        return [data[1] for data in self.messages if data[0] == NOTE_ON and data[2]]

    def chord_notes(self) -> list[tuple[str, int]]:
        """The notes of channel 1, started and ended, as an independent reader parses them."""
        parsed = [mido.Message.from_bytes(data) for data in self.messages]
        return [
            (message.type, message.note)
            for message in parsed
            if message.type in {"note_on", "note_off"} and message.channel == 0
        ]

    def released(self) -> bool:
        """Whether the percussion channel was reset after its last note."""
        reset = bytes([CONTROL, ALL_SOUND_OFF, 0])
        return bool(self.messages) and self.messages[-1] == reset


@dataclass
class Server:
    """A JACK server of the test's own, without a sound card; it has a name of its own."""

    name: str
    process: "subprocess.Popen[bytes] | None" = None

    def start(self) -> bool:
        """Start the server; return whether it answers."""
        for scheduling in (["-R", "-P", "50"], ["--no-realtime"]):
            command = ["jackd", "-n", self.name, *scheduling, *DRIVER]
            null = subprocess.DEVNULL
            self.process = subprocess.Popen(command, stdin=null, stdout=null, stderr=null)
            end = time.monotonic() + PATIENCE
            while self.process.poll() is None and time.monotonic() < end:
                if midi.output_ports(10).problem in {None, midi.NO_OUTPUT}:
                    return True
                time.sleep(0.05)
            self.kill()
        return False

    def stop(self) -> None:
        """End the server as one should."""
        if self.process is not None:
            self.process.terminate()
            self.process.wait(PATIENCE)

    def kill(self) -> None:
        """End the server as nobody should."""
        if self.process is not None:
            self.process.kill()
            self.process.wait()


@contextlib.contextmanager
def serving(name: str) -> Iterator[Server]:
    """Run a JACK server to which everybody turns meanwhile, or skip the test."""
    pytest.importorskip("rtmidi", reason="python-rtmidi is not installed")
    if shutil.which("jackd") is None:
        pytest.skip("jackd is not installed")
    server = Server(name)
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("JACK_DEFAULT_SERVER", name)
        if not server.start():
            pytest.skip("jackd does not start here")
        try:
            yield server
        finally:
            server.stop()


@pytest.fixture(scope="module")  # it takes its share of a processor as long as it is there
def jack() -> Iterator[str]:
    """Run a JACK server for all tests that leave it alone."""
    with serving(f"chartwalk-test-{os.getpid()}") as server:
        yield server.name


@pytest.fixture
def mortal_jack() -> Iterator[Server]:
    """Run a JACK server that may be killed. No client of it may live in the test's own process."""
    with serving(f"chartwalk-mortal-{os.getpid()}") as server:
        yield server


@pytest.fixture
def listener(jack: str, until: Until) -> Iterator[Listener]:
    """Listen on a port of the JACK server."""
    import rtmidi

    ear = Listener()

    def hear(event: tuple[list[int], float], _: object) -> None:
        ear.heard.append((time.monotonic(), bytes(event[0])))

    device: Any = None

    def join() -> bool:
        nonlocal device
        with contextlib.suppress(OSError):  # a busy server refuses a client now and then
            device = rtmidi.MidiIn(rtmidi.API_UNIX_JACK, "listener")
        return device is not None

    until(join)
    device.set_callback(hear)
    device.open_virtual_port("in")
    outputs: list[str] = []

    def seen() -> bool:
        outputs[:] = [name for name in midi.output_ports(10).outputs if name == "listener:in"]
        return bool(outputs)

    until(seen)
    ear.port = outputs[0]
    yield ear
    device.cancel_callback()
    device.close_port()
    device.delete()
