"""`chartwalk --plain FILE` as a process of its own, its lines through pipes."""

import os
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from tests.plain.listener import SONGS

from chartwalk.log import Store

SONG = SONGS / "first-lamp.lead"
PATIENCE = 60.0  # seconds; only what is broken needs them
SIGNS = "\x1b\r\x07\x08│─█♯♭"


def command(*words: object) -> list[str]:
    return [sys.executable, "-m", "chartwalk_tui", *map(str, words)]


def environment(home: Path) -> dict[str, str]:
    return os.environ | {"CHARTWALK_HOME": str(home), "PYTHONWARNINGS": "error"}


def plain(home: Path, *words: object, typed: str = "") -> subprocess.CompletedProcess[str]:
    """Practise by lines that are all there from the beginning."""
    return subprocess.run(
        command("--plain", *words),
        input=typed,
        capture_output=True,
        text=True,
        encoding="utf-8",
        env=environment(home),
        timeout=PATIENCE,
        check=False,
    )


@contextmanager
def practising(home: Path) -> Iterator["subprocess.Popen[str]"]:
    """Practise by lines that come one by one."""
    with subprocess.Popen(
        command("--plain", SONG),
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        encoding="utf-8",
        env=environment(home),
    ) as process:
        try:
            yield process
        finally:
            process.kill()


def until(process: "subprocess.Popen[str]", line: str) -> None:
    """Read on until a line is told."""
    assert process.stdout
    told = []
    for found in process.stdout:
        told.append(found)
        if found.rstrip("\n") == line:
            return
    pytest.fail(f"{line!r} is not in {told}")


def types(process: "subprocess.Popen[str]", text: str) -> None:
    assert process.stdin
    process.stdin.write(text)
    process.stdin.flush()


def test_lines_go_in_and_lines_come_out(tmp_path: Path) -> None:
    done = plain(tmp_path, SONG, typed="\nm c\ng 12\nq\nnever read\n")
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.splitlines() == [
        "The First Lamp.",
        "C major, no sharps or flats. 4/4, tempo 80. Chords as written.",
        "Bar 1, step 1 of 20, Verse. C: C, E, G.",
        "Next, F next bar: C stays, E to F, G to A; bass C to F.",
        "Type a letter and Enter; Enter alone is the next bar. ? lists all, q leaves.",
        "Bar 2, step 2 of 20, Verse. F: F, A, C.",
        "Next, C next bar: C stays, F to E, A to G; bass F to C.",
        "Marked bar 2, F: chord.",
        "Bar 12, step 20 of 20, Good Night. C: C, E, G.",
        "No more changes.",
        "Last bar.",
    ]
    assert not set(done.stdout) & set(SIGNS)
    store = Store.open(tmp_path)
    assert [mark.anchor.number for mark in store.marks()] == ["2"]
    store.close()


def test_the_end_of_the_input_is_the_end_of_the_practice(tmp_path: Path) -> None:
    done = plain(tmp_path, SONG, typed="\n")
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.splitlines()[-2].startswith("Bar 2, ")


def test_a_run_goes_on_while_no_line_comes(tmp_path: Path) -> None:
    with practising(tmp_path) as process:
        types(process, "b 800\nZ\nr\n")
        until(process, "The end.")
        types(process, "q\n")
        assert process.wait(PATIENCE) == 0
    store = Store.open(tmp_path)
    assert [(played.kind, played.whole) for played in store.passes()] == [("run", True)]
    store.close()


@pytest.mark.skipif(sys.platform == "win32", reason="signals of POSIX")
@pytest.mark.parametrize("name", ["SIGINT", "SIGTERM", "SIGHUP"])
def test_a_signal_leaves_cleanly_and_what_was_played_is_written(tmp_path: Path, name: str) -> None:
    with practising(tmp_path) as process:
        types(process, "y\nb 300\nr\n")
        until(process, "Bar 2. F.")
        process.send_signal(getattr(signal, name))
        assert process.wait(PATIENCE) == 0
        assert process.stderr
        assert process.stderr.read() == ""
    store = Store.open(tmp_path)
    assert [(played.kind, played.whole) for played in store.passes()] == [("run", False)]
    store.close()


def test_a_reader_that_leaves_early_is_no_error(tmp_path: Path) -> None:
    with practising(tmp_path) as process:
        assert process.stdout
        process.stdout.readline()
        process.stdout.close()
        types(process, "?\n" * 3)
        assert process.wait(PATIENCE) == 0
        assert process.stderr
        assert process.stderr.read() == ""


def test_a_file_that_can_not_be_opened(tmp_path: Path) -> None:
    done = plain(tmp_path, tmp_path / "missing.lead")
    assert (done.returncode, done.stdout) == (1, "")
    assert "no such file" in done.stderr
    without = plain(tmp_path)
    assert (without.returncode, without.stdout) == (2, "")
    assert "--plain needs a FILE" in without.stderr


def test_a_book_of_tunes_names_its_tunes(tmp_path: Path) -> None:
    book = tmp_path / "book.abc"
    tune = "X:{n}\nT:{title}\nM:4/4\nL:1/4\nK:C\nCDEF|\n\n"
    text = tune.format(n=1, title="Low Tide") + tune.format(n=2, title="High Tide")
    book.write_text(text, encoding="utf-8")
    done = plain(tmp_path, book)
    assert done.returncode == 1
    assert f"{book}#2 High Tide" in done.stderr
    assert plain(tmp_path, f"{book}#2").stdout.startswith("High Tide.")
