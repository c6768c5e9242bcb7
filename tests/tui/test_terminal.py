"""chartwalk in a real terminal, without colour: what is seen, and what is left afterwards."""

import os
import re
import shlex
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

import pytest

PATIENCE = 30.0  # seconds; only a broken screen needs them


@dataclass
class Terminal:
    """A terminal of its own, 80 by 24."""

    socket: str

    def tmux(self, *words: str) -> str:
        done = subprocess.run(
            ["tmux", "-L", self.socket, *words],
            capture_output=True,
            encoding="utf-8",
            check=True,
            timeout=PATIENCE,
        )
        return done.stdout

    def prompt(self) -> bool:
        """Whether the shell is there."""
        return bool(self.text.strip())

    def keys(self, *keys: str) -> None:
        self.tmux("send-keys", "-t", "stage", *keys)

    @property
    def text(self) -> str:
        return self.tmux("capture-pane", "-p", "-t", "stage")

    @property
    def coloured(self) -> str:
        return self.tmux("capture-pane", "-e", "-p", "-t", "stage")

    def sees(self, text: str) -> None:
        self.until(lambda: text in self.text)

    def until(self, condition: Callable[[], object]) -> None:
        end = time.monotonic() + PATIENCE
        while not condition():
            assert time.monotonic() < end, "waited in vain before\n" + self.text
            time.sleep(0.05)

    @property
    def alternate(self) -> bool:
        """Whether a program has the whole screen."""
        return self.tmux("display-message", "-p", "-t", "stage", "#{alternate_on}").strip() == "1"

    def children(self, home: Path, word: bytes = b"python") -> list[int]:
        """The processes that know the home of this test, but for the terminal's own."""
        found = []
        for folder in Path("/proc").glob("[0-9]*"):
            with suppress(OSError):
                command = (folder / "cmdline").read_bytes()
                if str(home).encode() in (folder / "environ").read_bytes() and word in command:
                    found.append(int(folder.name))
        return found


def grey(codes: str) -> bool:
    """Whether a change of the terminal's style asks for no colour, or for a shade of grey."""
    red, green, blue = "0", "0", "0"
    if found := re.search(r"[34]8;2;(\d+);(\d+);(\d+)", codes):
        red, green, blue = found.groups()
    elif found := re.search(r"[34]8;5;(\d+)", codes):
        return int(found[1]) in {0, 7, 8, 15, 16, 59, 102, 145, 188, 231, *range(232, 256)}
    return red == green == blue and not re.search(r"(^|;)[349][1-6](;|$)", codes)


@pytest.fixture
def terminal(tmp_path: Path, home: Path) -> Iterator[Terminal]:
    """Start a terminal with a shell that knows no colour."""
    if shutil.which("tmux") is None:
        pytest.skip("tmux is not installed")
    if not Path("/proc/self/environ").exists():
        pytest.skip("this system does not show its processes as files")
    stage = Terminal(f"chartwalk-{os.getpid()}-{tmp_path.name}")
    environment = {"CHARTWALK_HOME": str(home), "NO_COLOR": "1", "LC_ALL": "C.UTF-8"}
    settings = [word for item in environment.items() for word in ("-e", "=".join(item))]
    stage.tmux(
        "-f", os.devnull, "new-session", "-d", "-s", "stage", "-x", "80", "-y", "24",
        "-c", str(tmp_path), *settings, "sh",
    )  # fmt: skip
    socket = Path(stage.tmux("display-message", "-p", "#{socket_path}").strip())
    try:
        stage.until(stage.prompt)
        yield stage
    finally:
        for number in stage.children(home):
            with suppress(ProcessLookupError):
                os.kill(number, signal.SIGKILL)
        with suppress(subprocess.CalledProcessError):
            stage.tmux("kill-server")
        socket.unlink(missing_ok=True)


def start(terminal: Terminal, *words: object) -> None:
    """Type the command that starts chartwalk."""
    line = shlex.join([sys.executable, "-W", "error", "-m", "chartwalk_tui", *map(str, words)])
    terminal.keys("-l", f"clear; {line}; echo status $?")
    terminal.keys("Enter")


def test_a_song_without_colour(terminal: Terminal, demo: Callable[[str], Path], home: Path) -> None:
    start(terminal, demo("lanterns-at-low-tide"))
    terminal.sees("step 1 of 30")
    terminal.sees("? help")
    terminal.keys("Space")
    terminal.sees("bar 1 · step 2 of 30")
    terminal.keys("NPage", "Right")
    terminal.sees("bar 3 · step 4 of 30")
    terminal.keys("PPage")
    terminal.sees("bar 2 · step 3 of 30")
    terminal.keys("m")
    terminal.sees("Marked bar 2, Em7.")
    terminal.keys("c")
    terminal.sees("Bar 2: chord.")
    assert "bar 2 ×1" in terminal.text
    terminal.keys("r")
    terminal.until(lambda: re.search(r"▐\d▌", terminal.text))
    terminal.keys("r")
    terminal.keys("Home")
    terminal.sees("pickup · step 1 of 30")
    assert all(map(grey, re.findall(r"\x1b\[([0-9;]+)m", terminal.coloured))), "no colour"
    assert len(terminal.children(home)) >= 2, "the app and its clock"
    terminal.keys("q")
    terminal.sees("status 0")
    assert "step" not in terminal.text, "the screen is given back"
    terminal.keys("-l", "echo answer $((40 + 2))")
    terminal.sees("40 + 2")
    terminal.keys("Enter")
    terminal.sees("answer 42")
    terminal.until(lambda: not terminal.children(home))


@pytest.mark.parametrize("ending", [signal.SIGTERM, signal.SIGHUP])
def test_a_signal_to_end_gives_the_screen_back_and_leaves_no_clock(
    terminal: Terminal, demo: Callable[[str], Path], home: Path, ending: signal.Signals
) -> None:
    start(terminal, demo("first-lamp"))
    terminal.sees("step 1 of 20")
    terminal.keys("r")
    terminal.until(lambda: re.search(r"▐\d▌", terminal.text))
    (app,) = terminal.children(home, b"chartwalk_tui")
    assert len(terminal.children(home)) >= 2, "the app and its clock"
    assert terminal.alternate
    os.kill(app, ending)
    terminal.sees("status 0")
    assert not terminal.alternate
    assert "step" not in terminal.text, "the screen is given back"
    terminal.until(lambda: not terminal.children(home))
    terminal.keys("-l", "echo answer $((40 + 2))")
    terminal.sees("40 + 2")
    terminal.keys("Enter")
    terminal.sees("answer 42")


def test_a_terminal_that_is_closed_leaves_no_process(
    terminal: Terminal, demo: Callable[[str], Path], home: Path
) -> None:
    start(terminal, demo("first-lamp"))
    terminal.sees("step 1 of 20")
    terminal.until(lambda: len(terminal.children(home)) >= 2)
    terminal.tmux("set-option", "-g", "exit-empty", "off")
    terminal.tmux("kill-session", "-t", "stage")
    end = time.monotonic() + PATIENCE
    while terminal.children(home):
        assert time.monotonic() < end, "a process was left behind"
        time.sleep(0.05)


def test_the_shelf_the_log_and_leaving_by_control_c(terminal: Terminal, home: Path) -> None:
    start(terminal)
    terminal.sees("1/6  This is the Stand.")
    terminal.keys("Escape")
    terminal.until(lambda: "1/6" not in terminal.text)
    terminal.keys("o")
    terminal.sees("Demo songs")
    terminal.keys("Enter")
    terminal.sees("The First Lamp")
    terminal.sees("step 1 of 20")
    terminal.keys("m", "h")
    terminal.sees("Bar 1: hands.")
    terminal.keys("t")
    terminal.sees("› The First Lamp: bar 1, C, 1 mark (hands), not clean yet, goal 80")
    terminal.keys("Escape")
    terminal.sees("step 1 of 20")
    terminal.keys("C-c")
    terminal.sees("status 0")
    terminal.until(lambda: not terminal.children(home))


def test_a_log_that_can_not_be_made_is_told_and_practice_goes_on(
    terminal: Terminal, demo: Callable[[str], Path], home: Path
) -> None:
    home.write_text("a file where the folder should be")
    start(terminal, demo("first-lamp"))
    terminal.sees("Practice goes on")
    terminal.keys("Space", "m")
    terminal.sees("Marked bar 2")
    terminal.keys("q")
    terminal.sees("status 0")


def test_a_file_that_is_no_chart_is_told_in_the_shell(terminal: Terminal, tmp_path: Path) -> None:
    (tmp_path / "x.lead").write_text("chords H\n")
    start(terminal, "x.lead")
    terminal.sees("status 1")
    assert "x.lead:1" in terminal.text
    assert "Traceback" not in terminal.text
