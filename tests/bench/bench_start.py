"""Time to the first screen in a pseudo-terminal, against a bare Textual app (the reference)."""

import fcntl
import os
import pty
import select
import struct
import subprocess
import sys
import termios
import time
from collections.abc import Callable, Sequence
from pathlib import Path

import pytest

SONG = Path(__file__).parents[2] / "songs" / "lanterns-at-low-tide.lead"
BARE = """
from textual.app import App
from textual.widgets import Static
class Bare(App):
    def compose(self):
        yield Static("here it is")
Bare().run()
"""


def first_screen(command: Sequence[str], sign: bytes, home: Path) -> None:
    """Start a program in a terminal of 100x30, wait for a text on its screen, end it."""
    ours, theirs = pty.openpty()
    fcntl.ioctl(theirs, termios.TIOCSWINSZ, struct.pack("HHHH", 30, 100, 0, 0))
    # As installed: a package comes with its compiled code, a checkout compiles its own once.
    environment = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"} | {
        "CHARTWALK_HOME": str(home), "TERM": "xterm-256color", "COLORTERM": "truecolor",
    }  # fmt: skip
    program = subprocess.Popen(
        command, stdin=theirs, stdout=theirs, stderr=theirs, env=environment, close_fds=True
    )
    os.close(theirs)
    seen = b""
    limit = time.monotonic() + 20
    while sign not in seen and time.monotonic() < limit:
        if select.select([ours], [], [], 0.1)[0]:
            seen += os.read(ours, 65536)
    program.kill()
    program.wait()
    os.close(ours)
    assert sign in seen


@pytest.mark.benchmark(group="first screen", min_rounds=12)
def test_chartwalk(benchmark: Callable[..., object], tmp_path: Path) -> None:
    """The Stand on a demo song, to the last line of its screen."""
    command = [sys.executable, "-m", "chartwalk_tui", str(SONG)]
    benchmark(lambda: first_screen(command, b"next bar", tmp_path))


@pytest.mark.benchmark(group="first screen", min_rounds=12)
def test_bare_textual(benchmark: Callable[..., object], tmp_path: Path) -> None:
    """The least that Textual can show."""
    benchmark(lambda: first_screen([sys.executable, "-c", BARE], b"here it is", tmp_path))
