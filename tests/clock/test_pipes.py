"""The child's ends of the pipes: waiting is cut short by bytes, writing never waits."""

import os
import sys
import threading
from collections.abc import Callable, Iterator

import pytest

from chartwalk.clock.pipes import Inbox, Outbox, PollingInbox, ThreadedInbox

Pipe = tuple[int, int]


@pytest.fixture
def pipe() -> Iterator[Pipe]:
    ends = os.pipe()
    yield ends
    for end in ends:
        try:
            os.close(end)
        except OSError:
            continue


@pytest.fixture(params=["polling", "threaded"])
def inbox(request: pytest.FixtureRequest, pipe: Pipe) -> Inbox:
    if request.param == "threaded":
        return ThreadedInbox(pipe[0])
    if sys.platform == "win32":
        pytest.skip("pipes can't be waited for on Windows")
    silent, _ = os.pipe()
    return PollingInbox(pipe[0], silent)


def test_bytes_and_the_end_of_the_pipe_cut_a_wait_short(inbox: Inbox, pipe: Pipe) -> None:
    assert inbox.wait(0.001) == b""
    assert inbox.wait(-1) == b""
    assert not inbox.closed
    threading.Timer(0.05, os.write, (pipe[1], b"hello")).start()
    assert inbox.wait(600) == b"hello"
    threading.Timer(0.05, os.close, (pipe[1],)).start()
    assert inbox.wait(600) == b""
    assert inbox.closed


@pytest.mark.skipif(sys.platform == "win32", reason="no such signals on Windows")
def test_a_signal_ends_the_wait_like_the_end_of_the_pipe(pipe: Pipe) -> None:
    silent, _ = os.pipe()
    inbox = PollingInbox(silent, pipe[0])
    os.write(pipe[1], b"\x0f")
    assert inbox.wait(600) == b""
    assert inbox.closed


@pytest.mark.skipif(sys.platform == "win32", reason="writing waits on Windows")
def test_a_full_pipe_takes_the_newest_later(
    pipe: Pipe, until: Callable[[Callable[[], object]], None]
) -> None:
    outbox = Outbox(pipe[1], room=4)
    frame = b"x" * 500
    for _ in range(300):  # more than any pipe holds
        outbox.put(frame)
        outbox.flush()
    outbox.put(b"newest")
    read = b""
    while len(chunk := os.read(pipe[0], 65536)) == 65536:
        read += chunk
    read += chunk
    assert len(read) % 500 == 0
    outbox.flush()
    assert os.read(pipe[0], 65536) == frame * 3 + b"newest"


@pytest.mark.skipif(sys.platform == "win32", reason="writing waits on Windows")
def test_nobody_reading_is_no_error(pipe: Pipe) -> None:
    outbox = Outbox(pipe[1])
    os.close(pipe[0])
    outbox.put(b"hello")
    outbox.flush()
