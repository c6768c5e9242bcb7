"""The worker as it is used: real processes, real pipes."""

import json
import os
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import closing, suppress
from pathlib import Path
from typing import Any

import pytest

from chartwalk.analysis.analyst import Analyst
from chartwalk.analysis.child import COMMAND, WorkerError, WorkerProcess
from chartwalk.analysis.question import NumeralQuestion
from chartwalk.chord import ChordSymbol
from chartwalk.key import Key

Until = Callable[[Callable[[], object]], None]

G7, D7 = ChordSymbol.parse("G7"), ChordSymbol.parse("D7")
DOMINANT = NumeralQuestion(("G4", "B4", "D5"), "C", "major", False)
RIGHT = ["NumeralQuestion", {"triad": ["F4", "A4", "C5"], "tonic": "C", "mode": "major",
                             "secondary": False}]  # fmt: skip

posix_only = pytest.mark.skipif(sys.platform == "win32", reason="signals as on POSIX")

BROKEN = """
import types
class Broken(types.ModuleType):
    def __getattr__(self, name):
        raise RuntimeError
sys.modules['music21'] = Broken('music21')
"""

PARENT = """
import sys, time
from chartwalk.analysis.analyst import Analyst
from chartwalk.analysis.child import WorkerProcess
from chartwalk.chord import ChordSymbol
from chartwalk.key import Key
started = []
def start():
    started.append(WorkerProcess())
    return started[-1]
analyst = Analyst(start)
while analyst.numeral(ChordSymbol.parse("G7"), Key()) is None:
    time.sleep(0.01)
print(started[0]._process.pid, flush=True)
"""


@pytest.fixture(scope="module")
def shared() -> Iterator[WorkerProcess]:
    """One worker for the tests that leave it as it was."""
    with closing(WorkerProcess()) as worker:
        worker.wait_until_ready()
        yield worker


def has_ended(pid: int) -> bool:
    """Whether a process has ended, even where nobody has collected it yet."""
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return True
    with suppress(OSError):
        stat = Path(f"/proc/{pid}/stat").read_text(encoding="utf-8")
        return stat.rpartition(")")[2].split()[0] == "Z"
    return False


def say(worker: WorkerProcess, line: bytes) -> Any:  # noqa: ANN401 - what a line of JSON holds
    """Send a line of anything and read the answer."""
    worker._input.write(line + b"\n")
    worker._input.flush()
    return worker._read()


@pytest.mark.parametrize(
    "line",
    [
        b"",
        b"{",
        b"\xff\xfe",
        b"null",
        b"7",
        b"{}",
        b"[" * 100_000,
        b"[]",
    ],
    ids=["empty", "broken", "no UTF-8", "null", "number", "object", "deep", "no question"],
)
def test_a_line_without_questions_is_answered_by_an_empty_list(
    shared: WorkerProcess, line: bytes
) -> None:
    assert say(shared, line) == []
    assert shared.ask([DOMINANT]) == ["V"]


def test_nonsense_among_questions_has_no_answer(shared: WorkerProcess) -> None:
    chord = {"triad": ["H4", "", "Q"], "tonic": "C", "mode": "major", "secondary": False}
    nonsense = [
        None,
        7,
        "KeyQuestion",
        ["os.system", {"command": "true"}],
        ["NumeralQuestion", {}],
        ["NumeralQuestion", chord],
        ["NumeralQuestion", {**chord, "triad": ["C4", "E4", "G4"], "tonic": "H"}],
        ["KeyQuestion", {"lengths": []}],
        ["KeyQuestion", {"lengths": [["C", "long"]]}],
    ]
    answers = say(shared, json.dumps([*nonsense, RIGHT]).encode())
    assert answers == [None] * len(nonsense) + ["IV"]


def test_many_questions_more_than_a_pipe_holds(shared: WorkerProcess) -> None:
    assert shared.ask([DOMINANT] * 1000) == ["V"] * 1000


@posix_only
def test_a_killed_worker_leaves_what_is_known(until: Until) -> None:
    started: list[WorkerProcess] = []

    def start() -> WorkerProcess:
        started.append(WorkerProcess())
        return started[-1]

    analyst = Analyst(start)
    until(lambda: analyst.numeral(G7, Key()))
    os.kill(started[0]._process.pid, signal.SIGKILL)
    assert analyst.numeral(D7, Key()) is None
    until(lambda: analyst.trouble)
    assert "their process has ended" in analyst.trouble
    assert analyst.numeral(G7, Key()) == "V7"
    assert analyst.numeral(D7, Key()) is None
    assert len(started) == 1
    analyst.close()


@posix_only
def test_closing_ends_the_process(until: Until) -> None:
    started: list[WorkerProcess] = []

    def start() -> WorkerProcess:
        started.append(WorkerProcess())
        return started[-1]

    analyst = Analyst(start)
    analyst.numeral(G7, Key())
    until(lambda: started)
    analyst.close()  # while it imports
    until(lambda: has_ended(started[0]._process.pid))
    assert analyst.trouble == ""


@posix_only
def test_a_killed_screen_takes_the_worker_with_it(until: Until) -> None:
    parent = subprocess.Popen(
        [sys.executable, "-c", PARENT + "time.sleep(600)\n"], stdout=subprocess.PIPE, text=True
    )
    assert parent.stdout is not None
    pid = int(parent.stdout.readline())
    assert not has_ended(pid)
    parent.kill()
    parent.wait()
    parent.stdout.close()
    until(lambda: has_ended(pid))


@posix_only
def test_an_analyst_that_is_never_closed_ends_with_its_program(until: Until) -> None:
    parent = subprocess.run(
        [sys.executable, "-c", PARENT], capture_output=True, text=True, check=True
    )
    assert parent.stderr == ""
    until(lambda: has_ended(int(parent.stdout)))


@posix_only
def test_keys_that_interrupt_the_terminal_do_not_reach_the_worker() -> None:
    with closing(WorkerProcess()) as worker:
        assert os.getpgid(worker._process.pid) != os.getpgid(0)


def worker_after(statement: str) -> tuple[str, ...]:
    """The command of a worker that does something first."""
    code = f"import sys\n{statement}\nfrom chartwalk.analysis import worker\nworker.main()"
    return (sys.executable, "-c", code)


@pytest.mark.parametrize(
    ("statement", "reason"),
    [
        ("sys.modules['music21'] = None", "music21 is not installed"),
        (BROKEN, "music21 does not work here"),
        ("sys.exit(3)", "their process has ended"),
    ],
)
def test_a_worker_that_can_not_work_says_why(statement: str, reason: str) -> None:
    worker = WorkerProcess(worker_after(statement))
    with closing(worker), pytest.raises(WorkerError, match=reason):
        worker.wait_until_ready()


def test_whatever_is_printed_stays_out_of_the_answers(capfd: pytest.CaptureFixture[str]) -> None:
    noisy = (
        "import chartwalk.analysis.worker as noisy\n"
        "def loud(**held):\n"
        "    print('noise'); print('noise', file=sys.stderr)\n"
        "    return 'V'\n"
        "noisy.WORK['NumeralQuestion'] = loud"
    )
    with closing(WorkerProcess(worker_after(noisy))) as worker:
        worker.wait_until_ready()
        assert worker.ask([DOMINANT, DOMINANT]) == ["V", "V"]
    assert capfd.readouterr() == ("", "")


@pytest.mark.parametrize(
    ("answer", "reason"),
    [("no JSON", "language"), ('"V"', "not asked"), ('["V", "V"]', "not asked"), ("", "not asked")],
)
def test_a_worker_that_talks_nonsense_is_not_believed(answer: str, reason: str) -> None:
    code = f"print('\"\"', flush=True); input(); print({answer or '[]'!r}, flush=True); input()"
    with closing(WorkerProcess((sys.executable, "-c", code))) as worker:
        worker.wait_until_ready()
        with pytest.raises(WorkerError, match=reason):
            worker.ask([DOMINANT])


def test_a_command_that_is_not_there() -> None:
    with pytest.raises(WorkerError, match="can't be started"):
        WorkerProcess(("/nowhere/python", *COMMAND[1:]))


def test_the_analyst_loads_nothing_heavy() -> None:
    code = (
        "import sys, chartwalk.analysis.analyst\n"
        "print(*{'music21', 'numpy', 'matplotlib', 'asyncio', 'textual'} & set(sys.modules))"
    )
    loaded = subprocess.run(
        [sys.executable, "-P", "-c", code], capture_output=True, text=True, check=True
    )
    assert loaded.stdout == "\n"


def test_asking_loads_nothing_heavy_either() -> None:
    loaded = subprocess.run(
        [sys.executable, "-P", "-c", PARENT + "print('music21' in sys.modules)"],
        capture_output=True,
        text=True,
        check=True,
    )
    assert loaded.stdout.split()[-1] == "False"
