"""The worker's process as its parent sees it: one line of questions, one line of answers."""

import contextlib
import json
import subprocess
import sys
from collections.abc import Sequence
from dataclasses import asdict
from typing import Any, Final, Protocol

from chartwalk.analysis.question import Question

COMMAND: Final = (sys.executable, "-P", "-m", "chartwalk.analysis.worker")
ENDED: Final = "their process has ended"


class WorkerError(Exception):
    """No worker, or no more; the message says why, for a player to read."""


class Worker(Protocol):
    """Something that answers questions and takes its time."""

    def wait_until_ready(self) -> None:
        """Wait for the worker to be able to answer; raise WorkerError where it will not be."""

    def ask(self, questions: Sequence[Question]) -> list[Any]:
        """Wait for the answers; raise WorkerError once there will be none."""

    def end(self) -> None:
        """End the worker at once, from any thread; whoever waits for it has a WorkerError."""

    def close(self) -> None:
        """End the worker and let go of it, from the thread that asks."""


class WorkerProcess:
    """A worker in a process of its own; raises WorkerError where none can be started.

    It has a session of its own, so keys that interrupt the terminal don't reach it, and nothing it
    says on standard error is seen.
    """

    def __init__(self, command: Sequence[str] = COMMAND) -> None:
        try:
            self._process = subprocess.Popen(
                command,
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=subprocess.DEVNULL,
                start_new_session=True,
                creationflags=_no_window(),
            )
        except OSError as error:
            raise WorkerError(f"their process can't be started: {error.strerror}") from error
        if self._process.stdin is None or self._process.stdout is None:
            raise WorkerError("their process has no pipes")
        self._input, self._output = self._process.stdin, self._process.stdout

    def wait_until_ready(self) -> None:
        """Wait for the worker to have imported what it needs."""
        if problem := self._read():
            raise WorkerError(str(problem))

    def ask(self, questions: Sequence[Question]) -> list[Any]:
        """Send the questions in one line and wait for their answers."""
        line = json.dumps([[type(question).__name__, asdict(question)] for question in questions])
        try:
            self._input.write(line.encode() + b"\n")
            self._input.flush()
        except OSError as error:
            raise WorkerError(ENDED) from error
        answers = self._read()
        if not isinstance(answers, list) or len(answers) != len(questions):
            raise WorkerError("their process answers what was not asked")
        return answers

    def end(self) -> None:
        """End the process at once; whoever waits for it has a WorkerError."""
        self._process.kill()

    def close(self) -> None:
        """End the process and let go of it; for the thread that asks."""
        self.end()
        self._process.wait()
        for pipe in (self._input, self._output):
            with contextlib.suppress(OSError):  # questions that nobody took
                pipe.close()

    def _read(self) -> Any:  # noqa: ANN401 - what a line of JSON holds
        line = self._output.readline()
        if not line.endswith(b"\n"):
            raise WorkerError(ENDED)
        try:
            return json.loads(line)
        except ValueError as error:
            raise WorkerError("their process answers in a language of its own") from error


def _no_window() -> int:
    if sys.platform == "win32":
        return subprocess.CREATE_NO_WINDOW
    return 0
