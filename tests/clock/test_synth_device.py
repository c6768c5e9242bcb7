"""The loudspeaker as an output of the clock: real processes, on a device that nobody hears."""

import json
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from chartwalk.clock import ports
from chartwalk.clock.client import Clock
from chartwalk.clock.ports import BUILT_IN, MISSING, NO_SYSTEM, PortError
from chartwalk.clock.schedule import ScheduledBar
from chartwalk.clock.spawn import Subprocess
from chartwalk.clock.synth import RATE

pytest.importorskip("miniaudio", reason="miniaudio is not installed")

Until = Callable[[Callable[[], object]], None]
Click = Callable[..., list[ScheduledBar]]
Gone = Callable[[int], bool]

# The clock's process with miniaudio's null device; what it played is written down at its end.
CHILD = """
import json, sys
report, sys.path[:] = sys.argv[1], sys.argv[2:]
from chartwalk.clock import ports, process
from chartwalk.clock.synth import device
from chartwalk.clock.synth.stream import Stream
peaks = []
fill = Stream.fill
def kept(stream, count, now):
    samples = fill(stream, count, now)
    peaks.append(float(abs(samples).max()))
    return samples
Stream.fill = kept
ports._loudspeaker = lambda: device.Loudspeaker(["NULL"])
process.main()
if report:
    with open(report, "w") as file:
        json.dump(peaks, file)
"""

PARENT = """
import sys, time
child, sys.path[:] = sys.argv[1], sys.argv[2:]
from chartwalk.clock.client import Clock
from chartwalk.clock.ports import BUILT_IN
from chartwalk.clock.schedule import Event, ScheduledBar
from chartwalk.clock.spawn import Subprocess
pids = []
def spawn():
    process = Subprocess([sys.executable, "-c", child, "", *sys.path])
    pids.append(process._process.pid)
    return process
clock = Clock(BUILT_IN, spawn=spawn)
while clock.sound.port != BUILT_IN:
    time.sleep(0.01)
clock.load([ScheduledBar(960, 1 / 960, (Event(0, bytes([0x99, 76, 100])),))] * 100)
clock.run()
while clock.place().tick == 0:
    time.sleep(0.01)
print(*pids, flush=True)
time.sleep(600)
"""


class Played:
    """Clock processes on the null device, and what they played."""

    def __init__(self, report: Path) -> None:
        self.pids: list[int] = []
        self._report = report

    def __call__(self) -> Subprocess:
        child = Subprocess([sys.executable, "-c", CHILD, str(self._report), *sys.path])
        self.pids.append(child._process.pid)
        return child

    @property
    def peaks(self) -> list[float]:
        """The loudest sample of each period of 10 ms, once the process has ended."""
        peaks: list[float] = json.loads(self._report.read_text(encoding="utf-8"))
        return peaks


@pytest.fixture
def played(tmp_path: Path) -> Played:
    return Played(tmp_path / "peaks")


@pytest.fixture
def clock(played: Played, until: Until) -> Iterator[Clock]:
    with Clock(BUILT_IN, spawn=played) as clock:
        until(lambda: clock.sound.settled)
        yield clock


def stopped(clock: Clock) -> bool:
    place = clock.place()
    return place is not None and place.state.name == "STOPPED"


def begins(peaks: list[float], loud: float) -> int:
    """How often it becomes loud after two periods or more that are not."""
    return sum(
        peak > loud and max(peaks[max(0, at - 2) : at], default=0.0) <= loud
        for at, peak in enumerate(peaks)
    )


def test_a_click_is_played_whole_and_the_process_ends_in_silence(
    clock: Clock, played: Played, click: Click, until: Until, gone: Gone
) -> None:
    assert clock.sound.port == BUILT_IN
    clock.load(click(bars=2, tempo=240))
    clock.run()
    until(lambda: stopped(clock))
    assert clock.take_message() is None
    assert clock.alive
    clock.close()
    assert gone(played.pids[0])
    assert begins(played.peaks, 0.02) == 8
    assert played.peaks[-1] == 0
    assert max(played.peaks) < 0.5


def test_stop_silences_a_chord_and_the_click(
    clock: Clock, played: Played, click: Click, until: Until
) -> None:
    clock.load(click(bars=50, tempo=240))
    clock.run()
    clock.strike([48, 52, 55])
    until(lambda: (place := clock.place()) is not None and place.bar == 1)
    clock.stop()
    clock.strike([48, 52, 55])
    until(lambda: stopped(clock))
    clock.close()
    assert len(played.pids) == 1
    # The chord rings on between the clicks, but for its end it is never silent.
    first = next(at for at, peak in enumerate(played.peaks) if peak)
    assert all(played.peaks[first : first + 90])
    assert played.peaks[-1] == 0


def test_another_output_and_back_again(clock: Clock, until: Until) -> None:
    for _ in range(3):
        clock.open(None)
        until(lambda: clock.sound.port is None and clock.sound.settled)
        clock.open(BUILT_IN)
        until(lambda: clock.sound.port == BUILT_IN)
    assert clock.alive
    assert clock.take_message() is None


@pytest.mark.skipif(sys.platform == "win32", reason="kills as on POSIX")
def test_a_killed_screen_takes_the_sound_with_it(gone: Gone, until: Until) -> None:
    parent = subprocess.Popen(
        [sys.executable, "-c", PARENT, CHILD, *sys.path], stdout=subprocess.PIPE, text=True
    )
    assert parent.stdout is not None
    pid = int(parent.stdout.readline())
    assert not gone(pid)
    parent.kill()
    parent.wait()
    parent.stdout.close()
    until(lambda: gone(pid))


def test_a_device_is_listed_while_it_takes_samples(until: Until) -> None:
    from chartwalk.clock.synth.device import Loudspeaker

    speaker = Loudspeaker(["NULL"])
    assert speaker.get_ports() == [BUILT_IN]
    speaker.send_message(bytes([0x90, 60, 100]))
    speaker.send_at(bytes([0x80, 60, 64]), 0.0)
    speaker.close_port()
    speaker.delete()
    until(lambda: speaker.get_ports() == [])


def test_without_a_sound_system_the_reason_is_told() -> None:
    from chartwalk.clock.synth.device import Loudspeaker

    with pytest.raises(PortError, match=NO_SYSTEM):
        Loudspeaker(["no system of that name"])


def python(code: str) -> list[object]:
    """What a fresh interpreter prints, as a list in JSON."""
    code = "import json, sys; sys.path[:] = sys.argv[1:]\n" + code
    done = subprocess.run(
        [sys.executable, "-c", code, *sys.path], capture_output=True, text=True, check=True
    )
    answer: list[object] = json.loads(done.stdout)
    return answer


@pytest.mark.parametrize("missing", ["miniaudio", "numpy"])
def test_without_its_libraries_there_is_no_loudspeaker(missing: str) -> None:
    found, problem = python(
        f"sys.modules[{missing!r}] = None\n"
        "from chartwalk.clock import ports\n"
        "try:\n"
        "    ports.open_output(ports.BUILT_IN)\n"
        "    problem = ''\n"
        "except ports.PortError as error:\n"
        "    problem = str(error)\n"
        "print(json.dumps([ports.loudspeaker_there(), problem]))"
    )
    assert (found, problem) == (False, MISSING)


def test_with_its_libraries_there_is_and_looking_loads_none_of_them() -> None:
    found, loaded = python(
        "from chartwalk.clock import ports\n"
        "there = ports.loudspeaker_there()\n"
        "print(json.dumps([there, sorted({'numpy', 'miniaudio'} & set(sys.modules))]))"
    )
    assert (found, loaded) == (True, [])


def test_the_name_is_taken_to_the_loudspeaker(monkeypatch: pytest.MonkeyPatch) -> None:
    opened = object()
    monkeypatch.setattr(ports, "_loudspeaker", lambda: opened)
    assert ports.open_output(BUILT_IN) is opened


def test_the_lag_leaves_time_for_a_period() -> None:
    from chartwalk.clock.synth import LAG, LATENCY, PERIOD

    assert LAG >= 2 * PERIOD
    assert LATENCY > LAG
    assert (PERIOD * RATE).is_integer()
