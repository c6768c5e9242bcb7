"""A log and a song in it, programs that write, and a folder that takes no files."""

import os
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from chartwalk.log import Store

PATIENCE = 60.0  # seconds; only a broken program needs them
START = datetime(2024, 5, 6, 7, 8, 9, tzinfo=UTC)

Spawn = Callable[..., "subprocess.Popen[str]"]

WRITER = """
import sys
from datetime import UTC, date, datetime
from fractions import Fraction
from pathlib import Path
from chartwalk.log import Anchor, Kind, MarkRecord, Store, new_id

folder, name, count = Path(sys.argv[1]), sys.argv[2], int(sys.argv[3])
print("ready", flush=True)
sys.stdin.readline()
store = Store.open(folder)
song = store.song_opened(f"/{name}", name).id
for number in range(count):
    anchor = Anchor("", "", "", number, str(number))
    store.mark(
        MarkRecord(new_id(), song, anchor, Fraction(1), "C", "", 1, Kind.UNSAID, "", 80.0, 80.0,
                   datetime.now(UTC), date(2024, 5, 6), number)
    )
    print("marked", number, flush=True)
print("done", flush=True)
sys.stdin.readline()
"""


class Hours:
    """A clock that is an hour later each time it is read."""

    def __init__(self) -> None:
        self.count = 0

    def __call__(self) -> datetime:
        self.count += 1
        return START + timedelta(hours=self.count)


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    """A log in a folder, whose clock goes on by an hour."""
    opened = Store.open(tmp_path, Hours())
    yield opened
    opened.close()


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
