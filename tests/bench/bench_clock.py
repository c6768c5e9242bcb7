"""How late the clock sends, against a bare process that only sleeps to the deadlines (the floor).

The floor, the same with what the clock asks of the system, and the clock play in turn, 14 events a
second: on a machine that rests, and on one that is loaded by a chartwalk which redraws the Stand as
fast as it can and by a writer that commits to a database. The event loop of that screen keeps time
meanwhile. Only ratios within one run say something. CHARTWALK_CLOCK_SECONDS is the time for each.
"""

import contextlib
import fcntl
import itertools
import json
import os
import pty
import shutil
import struct
import subprocess
import sys
import termios
import time
from collections import defaultdict
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

import pytest
from tests.bench.clock_samples import (
    FINE_FLOOR,
    FLOOR,
    LOOP,
    OURS,
    RATE,
    REAL_TIME,
    RECEIVED,
    Sample,
    goals,
    table,
)

from chartwalk import midi
from chartwalk.clock.client import Clock
from chartwalk.clock.schedule import Event, ScheduledBar
from chartwalk.clock.spawn import Subprocess
from chartwalk.clock.state import State

SECONDS = 10  # of a round
ROUNDS = int(os.environ.get("CHARTWALK_CLOCK_SECONDS", "20")) // SECONDS
SONG = Path(__file__).parents[2] / "songs" / "lanterns-at-low-tide.lead"
PLAYERS = [sys.executable, str(Path(__file__).with_name("clock_players.py"))]
SERVER = ["-R", "-P", "50", "-S", "-d", "dummy", "-r", "48000", "-p", "64"]
PORT = "receiver:in"
# Keeps real-time priority and niceness from a command that the superuser runs.
UNPRIVILEGED = (
    ["setpriv", "--inh-caps", "-sys_nice", "--bounding-set", "-sys_nice"]
    if sys.platform == "linux" and os.geteuid() == 0
    else []
)


@contextlib.contextmanager
def running(
    command: Sequence[str],
    source: int = subprocess.DEVNULL,
    output: str | Path = os.devnull,
    *,
    terminal: bool = False,
) -> Iterator[None]:
    """Run a process meanwhile, in a session of its own; in a terminal if its source is one."""
    with open(output, "wb") as file:
        outputs = (source, source) if terminal else (file, subprocess.DEVNULL)
        process = subprocess.Popen(
            command,
            stdin=source,
            stdout=outputs[0],
            stderr=outputs[1],
            start_new_session=True,
        )
        try:
            yield
        finally:
            process.terminate()
            process.wait()


@contextlib.contextmanager
def screen(folder: Path, sample: Sample, *, busy: bool) -> Iterator[None]:
    """Have a chartwalk on a screen that a process of its own reads, and a writer if it is busy."""
    told = folder / "screen.json"
    ours, theirs = pty.openpty()
    fcntl.ioctl(theirs, termios.TIOCSWINSZ, struct.pack("HHHH", 40, 120, 0, 0))
    command = [*PLAYERS, "screen", str(told), str(SONG), "busy" if busy else ""]
    with contextlib.ExitStack() as stack:
        stack.callback(os.close, ours)
        stack.callback(os.close, theirs)
        stack.enter_context(running(["cat"], source=ours))
        stack.enter_context(running(command, source=theirs, terminal=True))
        if busy:
            stack.enter_context(running([*PLAYERS, "writer", str(folder / "load.db")]))
        time.sleep(3)  # the start of a screen is a load of another kind
        yield
    found = json.loads(told.read_text(encoding="utf-8"))
    sample.add(found["late"])
    print(f"the screen was drawn {RATE * found['drawn'] / len(found['late']):.0f} times a second")


@contextlib.contextmanager
def sound_server() -> Iterator[bool]:
    """Run a sound server if there is one; give whether there is."""
    if shutil.which("jackd") is None:
        yield False
        return
    name = f"chartwalk-bench-{os.getpid()}"
    with pytest.MonkeyPatch.context() as patch, running(["jackd", "-n", name, *SERVER]):
        patch.setenv("JACK_DEFAULT_SERVER", name)
        while midi.output_ports(10).problem not in {None, midi.NO_OUTPUT}:
            time.sleep(0.1)
        yield True


def sleep_to_the_deadlines(*wishes: str) -> list[float]:
    """Have a bare process do it for a round.

    In a session of its own as the clock: Linux shares its processors out by sessions.
    """
    command = [*UNPRIVILEGED, *PLAYERS, "sleeper", str(SECONDS), *wishes]
    late: list[float] = json.loads(subprocess.check_output(command, start_new_session=True))["late"]
    return late


def play(folder: Path, port: str | None, privilege: Sequence[str]) -> dict[str, Any]:
    """Have the clock play a round of notes on and off; return what its process told."""
    told = folder / "clock.json"
    events = tuple(
        Event(96 * number, bytes([0x89 if number % 2 else 0x99, 76, 84])) for number in range(RATE)
    )
    command = [*privilege, *PLAYERS, "clock", str(told)]
    with Clock(port, spawn=lambda: Subprocess(command)) as clock:
        while not clock.sound.settled:
            time.sleep(0.05)
        clock.load([ScheduledBar(96 * RATE, 1 / (96 * RATE), events)] * SECONDS)
        clock.run()
        while (place := clock.place()) is not None and place.state is State.RUNNING:
            time.sleep(0.25)
    found: dict[str, Any] = json.loads(told.read_text(encoding="utf-8"))
    return found


def play_and_hear(
    folder: Path, samples: dict[str, Sample], heard: bool, privilege: Sequence[str]
) -> None:
    """Have the clock play a round, and hear what arrives."""
    if not heard:
        found = play(folder, None, privilege)
        samples[REAL_TIME if found["real time"] else OURS].add(found["late"])
        return
    output = folder / "heard.txt"
    with running([*PLAYERS, "receiver"], output=output):
        while PORT not in midi.output_ports(10).outputs:
            time.sleep(0.1)
        found = play(folder, PORT, privilege)
    told = json.loads(output.read_text(encoding="utf-8"))
    gaps = [gap for gap, status in told if status in {0x89, 0x99}]
    arrived = list(itertools.accumulate((gap - 1 / RATE for gap in gaps[1:]), initial=0.0))
    name = REAL_TIME if found["real time"] else OURS
    samples[name].add(found["late"])
    samples[f"{name}, {RECEIVED}"].add(arrived, len(found["late"]))


@pytest.mark.skipif(sys.platform == "win32", reason="the screen is in a POSIX terminal")
@pytest.mark.parametrize("busy", [False, True], ids=["at rest", "under load"])
def test_how_late(busy: bool, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Print the table and what it says about the goals."""
    samples: dict[str, Sample] = defaultdict(Sample)
    privileges = [UNPRIVILEGED, []] if UNPRIVILEGED else [[]]
    with capsys.disabled():
        print(f"\n{'under load' if busy else 'at rest'}: {ROUNDS} rounds of {SECONDS} s each")
        with sound_server() as heard, screen(tmp_path, samples[LOOP], busy=busy):
            for _ in range(ROUNDS):
                samples[FLOOR].add(sleep_to_the_deadlines())
                samples[FINE_FLOOR].add(sleep_to_the_deadlines("wishes"))
                for privilege in privileges:
                    play_and_hear(tmp_path, samples, heard, privilege)
        print(*table(samples), *goals(samples), sep="\n")
