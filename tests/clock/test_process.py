"""The clock as it is used: real processes, real pipes, no port."""

import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING

import pytest

from chartwalk.clock.client import Clock
from chartwalk.clock.schedule import ScheduledBar
from chartwalk.clock.spawn import Subprocess
from chartwalk.clock.state import State

if TYPE_CHECKING:
    from tests.clock.conftest import Started

Until = Callable[[Callable[[], object]], None]
Click = Callable[..., list[ScheduledBar]]
Gone = Callable[[int], bool]

posix_only = pytest.mark.skipif(sys.platform == "win32", reason="signals as on POSIX")

PARENT = """
import sys, time
from chartwalk.clock.client import Clock
from chartwalk.clock.schedule import ScheduledBar
from chartwalk.clock.spawn import Subprocess, module_command
pids = []
def spawn():
    child = Subprocess(module_command("chartwalk.clock.process"))
    pids.append(child._process.pid)
    return child
clock = Clock(None, spawn=spawn)
clock.load([ScheduledBar(960, 1 / 960)] * 100)
clock.run()
while clock.place().tick == 0:
    time.sleep(0.01)
print(*pids, flush=True)
time.sleep(600)
"""


@pytest.fixture
def clock(started: "Started") -> Iterator[Clock]:
    with Clock(None, spawn=started) as clock:
        yield clock


def bar_of(clock: Clock) -> int:
    place = clock.place()
    return -1 if place is None else place.bar


def state_of(clock: Clock) -> State | None:
    place = clock.place()
    return None if place is None else place.state


def test_a_silent_clock_runs_to_the_end(clock: Clock, click: Click, until: Until) -> None:
    clock.load(click(bars=3, tempo=960))
    begun = time.monotonic()
    clock.run()
    seen = set()

    def over() -> bool:
        seen.add(bar_of(clock))
        return state_of(clock) is State.STOPPED

    until(over)
    assert time.monotonic() - begun >= 0.75  # never early
    assert {0, 2} <= seen
    assert bar_of(clock) == 2
    assert clock.take_message() is None
    assert clock.sound.port is None


def test_a_new_rate_lands_at_the_bar_line(clock: Clock, click: Click, until: Until) -> None:
    bars = click(bars=12, tempo=240)  # a second a bar
    clock.load(bars)
    clock.run()
    until(lambda: bar_of(clock) == 1)
    asked = time.monotonic()
    place = clock.place(asked)
    assert place is not None
    clock.rate(10.0)
    until(lambda: bar_of(clock) == 2)
    left = (bars[1].ticks - place.tick) * bars[1].tick_seconds
    assert time.monotonic() - asked >= left - 0.001  # the bar went on as it was
    until(lambda: state_of(clock) is State.STOPPED)
    assert time.monotonic() - asked < 8  # and the rest took a second, not ten


def test_stop_holds_at_once_and_running_goes_on_from_any_bar(
    clock: Clock, click: Click, until: Until
) -> None:
    clock.load(click(bars=50, tempo=240))
    clock.run(20)
    until(lambda: (place := clock.place()) is not None and place.tick > 0)
    clock.stop()
    place = clock.place()
    time.sleep(0.05)
    assert clock.place() == place
    clock.run(40)
    until(lambda: bar_of(clock) == 41)


def test_a_long_schedule_arrives_whole(clock: Clock, click: Click, until: Until) -> None:
    clock.load(click(bars=3000, tempo=9600))
    clock.run(2990)
    until(lambda: state_of(clock) is State.STOPPED)
    assert bar_of(clock) == 2999
    assert clock.take_message() is None


def test_chords_on_a_silent_clock_do_nothing_and_stop_nothing(
    clock: Clock, click: Click, until: Until
) -> None:
    clock.load(click(bars=12, tempo=960))
    clock.run()

    def over() -> bool:
        clock.strike(range(60, 60 + bar_of(clock)))
        return state_of(clock) is State.STOPPED

    until(over)
    assert bar_of(clock) == 11
    assert clock.take_message() is None
    assert clock.alive


def test_a_sign_of_life_comes_with_figures(clock: Clock, click: Click, until: Until) -> None:
    clock.load(click(bars=100, tempo=960))
    clock.run()
    until(lambda: clock.statistics.count > 0)
    late = clock.statistics
    assert 0 <= late.p50 <= late.p99
    assert late.worst >= 0


def test_a_clock_that_dies_is_started_again_and_that_is_said(
    clock: Clock, started: "Started", click: Click, until: Until
) -> None:
    clock.load(click(bars=50))
    clock.run()
    until(lambda: (place := clock.place()) is not None and place.tick > 0)
    started.children[0].kill()
    until(lambda: len(started.children) == 2)
    assert state_of(clock) is State.STOPPED
    assert "started again" in (clock.take_message() or "")
    clock.run(10)
    until(lambda: bar_of(clock) == 11)
    assert clock.alive


@posix_only
def test_a_clock_that_hangs_is_started_again(
    clock: Clock, started: "Started", until: Until
) -> None:
    os.kill(started.first, signal.SIGSTOP)
    until(lambda: len(started.children) == 2)
    assert clock.take_message() is not None


def test_closing_ends_the_process(started: "Started", click: Click, gone: Gone) -> None:
    with Clock(None, spawn=started) as clock:
        clock.load(click())
        clock.run()
    assert not clock.alive
    assert gone(started.first)


@posix_only
@pytest.mark.parametrize("name", ["SIGTERM", "SIGINT", "SIGHUP"])
def test_a_signal_ends_the_process_cleanly(started: "Started", name: str) -> None:
    child = started()
    assert child.read()  # ready
    os.kill(started.first, getattr(signal, name))
    while child.read():
        pass
    assert child.wait(20)
    child.close()


@posix_only
def test_a_killed_screen_takes_the_clock_with_it(gone: Gone, until: Until) -> None:
    parent = subprocess.Popen(
        [sys.executable, "-c", "import sys; sys.path[:] = sys.argv[1:]\n" + PARENT, *sys.path],
        stdout=subprocess.PIPE,
        text=True,
    )
    assert parent.stdout is not None
    pid = int(parent.stdout.readline())
    assert not gone(pid)
    parent.kill()
    parent.wait()
    parent.stdout.close()
    until(lambda: gone(pid))


def test_a_clock_that_is_never_closed_ends_with_its_program(gone: Gone, until: Until) -> None:
    program = PARENT.replace("time.sleep(600)", "")
    code = "import sys; sys.path[:] = sys.argv[1:]\n" + program
    parent = subprocess.run(
        [sys.executable, "-c", code, *sys.path], capture_output=True, text=True, check=True
    )
    assert parent.stderr == ""
    until(lambda: gone(int(parent.stdout)))


def test_whatever_is_printed_in_the_process_stays_out_of_the_frames(until: Until) -> None:
    code = (
        "import os, sys; sys.path[:] = sys.argv[1:]\n"
        "from chartwalk.clock import output, process\n"
        "opening = output.Output.open\n"
        "def noisy(self, name):\n"
        "    os.write(1, b'noise' * 100)\n"
        "    os.write(2, b'noise' * 100)\n"
        "    print('noise', flush=True)\n"
        "    return opening(self, name)\n"
        "output.Output.open = noisy\n"
        "process.main()\n"
    )
    command = [sys.executable, "-c", code, *sys.path]
    with Clock("x", spawn=lambda: Subprocess(command)) as clock:
        until(lambda: "opening" not in clock.sound.note)
        assert clock.alive
        assert clock.take_message() is None


def test_the_process_loads_nothing_heavy() -> None:
    heavy = "asyncio, chartwalk.clock.client, chartwalk.midi, ctypes, json, logging, mido, rtmidi"
    code = (
        "import sys; sys.path[:] = sys.argv[1:]; import chartwalk.clock.process\n"
        f"heavy = {heavy.split(', ')} + ['subprocess', 'textual']\n"
        "print(*sorted(set(heavy) & set(sys.modules)))"
    )
    loaded = subprocess.run(
        [sys.executable, "-P", "-c", code, *sys.path], capture_output=True, text=True, check=True
    )
    assert loaded.stdout == "\n"
