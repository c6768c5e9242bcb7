"""What the tests of the commands share: running them in this process, and as a player would."""

import json
import os
import subprocess
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from chartwalk_tui.cli import main


@dataclass(frozen=True)
class Outcome:
    """What a command gave: its exit status, what it printed and what it complained of."""

    status: int
    out: str
    err: str

    @property
    def json(self) -> Any:  # noqa: ANN401 - whatever JSON can hold
        """The one value that was printed."""
        return json.loads(self.out)

    @property
    def lines(self) -> list[str]:
        """The lines that were printed."""
        return self.out.splitlines()


Run = Callable[..., Outcome]

CHART = """title    Low [A] Tide
key      G major
meter    4/4
tempo    84

section  Verse
road     | pickup |      |             | 1.          | 2.   |      |
chords   | D7     |: G   | C7[b9] F#m7b5 | D7        :| G    | N.C. |
tune     | D4:1   | G4:4 | E4:4        | D4:4        | G4:4 | r:4  |
"""


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Give every test a folder of its own for the player's data."""
    folder = tmp_path / "home"
    monkeypatch.setenv("CHARTWALK_HOME", str(folder))
    return folder


@pytest.fixture
def chart(tmp_path: Path) -> Path:
    """A small chart with a pickup, a repeat and two endings."""
    path = tmp_path / "tide.lead"
    path.write_text(CHART, encoding="utf-8")
    return path


@pytest.fixture
def lead(tmp_path: Path) -> Callable[[str, str], Path]:
    """Write a chart file."""

    def write(name: str, text: str) -> Path:
        path = tmp_path / name
        path.write_text(text, encoding="utf-8")
        return path

    return write


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str]) -> Run:
    """Run a command in this process."""

    def call(*words: object) -> Outcome:
        try:
            status = main([str(word) for word in words])
        except SystemExit as stop:  # how bad usage and --help leave
            status = stop.code if isinstance(stop.code, int) else 1
        printed = capsys.readouterr()
        return Outcome(status, printed.out, printed.err)

    return call


@pytest.fixture
def command() -> Run:
    """Run a command as a process of its own."""

    def call(*words: object, stdin: str = "", **environment: str) -> Outcome:
        done = subprocess.run(
            [sys.executable, "-m", "chartwalk_tui", *map(str, words)],
            input=stdin,
            capture_output=True,
            text=True,
            encoding="utf-8",
            env=os.environ | {"PYTHONWARNINGS": "error"} | environment,
            timeout=60,
            check=False,
        )
        return Outcome(done.returncode, done.stdout, done.stderr)

    return call
