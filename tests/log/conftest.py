"""Marks to write, programs that write them, and a folder that takes no files."""

import os
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from chartwalk.log import Mark

PATIENCE = 60.0  # seconds; only a broken program needs them
START = datetime(2024, 5, 6, 7, 8, 9, 123456, tzinfo=UTC)

Spawn = Callable[..., "subprocess.Popen[str]"]

WRITER = """
import sys
from datetime import UTC, datetime
from pathlib import Path
from chartwalk.log import Mark, Store

folder, name, count = Path(sys.argv[1]), sys.argv[2], int(sys.argv[3])
print("ready", flush=True)
sys.stdin.readline()
store = Store.open(folder)
for number in range(count):
    store.mark(Mark(f"/{name}", name, number, str(number), 1, "C", 80.0, datetime.now(UTC)))
    print("marked", number, flush=True)
print("done", flush=True)
sys.stdin.readline()
"""


@pytest.fixture(scope="session")
def mark() -> Callable[..., Mark]:
    """Make a mark some seconds after the start of the tests' day."""

    def make(number: int = 0, path: str = "/songs/a.lead", title: str = "A") -> Mark:
        time = START + timedelta(seconds=number)
        return Mark(path, title, number, str(number + 1), 1, "E♭maj9/G", 80.5, time)

    return make


@pytest.fixture
def spawn() -> Iterator[Spawn]:
    """Start another program that opens the log in a folder and marks; it waits for two lines."""
    started: list[subprocess.Popen[str]] = []

    def start(folder: Path, name: str, count: int) -> "subprocess.Popen[str]":
        child = subprocess.Popen(
            [sys.executable, "-c", WRITER, str(folder), name, str(count)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )
        started.append(child)
        assert child.stdout is not None
        assert child.stdout.readline() == "ready\n"
        return child

    yield start
    for child in started:
        child.kill()
        child.communicate(timeout=PATIENCE)


@pytest.fixture
def unwritable() -> Iterator[Path]:
    """A folder that takes no files, also where the tests run as the superuser."""
    with tempfile.TemporaryDirectory() as name:
        outer = Path(name)
        folder = outer / "data"
        folder.mkdir()
        outer.chmod(0o755)
        folder.chmod(0o555)
        superuser = hasattr(os, "geteuid") and os.geteuid() == 0
        if superuser:
            os.seteuid(65534)
        try:
            if os.access(folder, os.W_OK, effective_ids=superuser):
                pytest.skip("this system lets everybody write everywhere")
            yield folder
        finally:
            if superuser:
                os.seteuid(0)
            folder.chmod(0o755)
