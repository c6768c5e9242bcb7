"""Starts a module of chartwalk as a process of its own and holds the pipes to it."""

import subprocess
import sys
from collections.abc import Sequence
from typing import Final, Protocol

# The child finds modules exactly where this process does, never in the current folder by chance.
_BOOT: Final = (
    "import sys; sys.path[:] = sys.argv[2:]; "
    "from importlib import import_module; import_module(sys.argv[1]).main()"
)
READ_SIZE: Final = 65536


def module_command(module: str) -> list[str]:
    """Return the command that runs ``main`` of a module, installed in whatever way it is.

    >>> module_command("chartwalk.clock.process")[1:3]
    ['-P', '-c']
    """
    return [sys.executable, "-P", "-c", _BOOT, module, *(path for path in sys.path if path)]


class Child(Protocol):
    """A process at the other end of two pipes."""

    def write(self, data: bytes) -> None:
        """Write all of it, waiting for as long as that takes; raise OSError once nobody reads."""

    def read(self) -> bytes:
        """Wait for bytes; none at the end."""

    def kill(self) -> None:
        """End the process at once."""

    def wait(self, seconds: float) -> bool:
        """Wait for the process to end; return whether it did."""

    def close(self) -> None:
        """Let go of the pipes of a process that has ended."""


class Subprocess:
    """A child in a session of its own: keys that interrupt the terminal don't reach it.

    Raises OSError where it can't be started.
    """

    def __init__(self, command: Sequence[str]) -> None:
        if sys.platform == "win32":
            flags = (
                subprocess.CREATE_NO_WINDOW
                | subprocess.CREATE_NEW_PROCESS_GROUP
                | subprocess.HIGH_PRIORITY_CLASS
            )
        else:
            flags = 0
        self._process = subprocess.Popen(
            command,
            bufsize=0,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            start_new_session=True,
            creationflags=flags,
        )
        if self._process.stdin is None or self._process.stdout is None:
            raise OSError("the process has no pipes")
        self._input = self._process.stdin
        self._output = self._process.stdout

    def write(self, data: bytes) -> None:
        """Write all of it, waiting for as long as that takes; raise OSError once nobody reads."""
        left = memoryview(data)
        while left:
            left = left[self._input.write(left) :]

    def read(self) -> bytes:
        """Wait for bytes; none at the end."""
        return self._output.read(READ_SIZE)

    def kill(self) -> None:
        """End the process at once."""
        self._process.kill()

    def wait(self, seconds: float) -> bool:
        """Wait for the process to end; return whether it did."""
        try:
            self._process.wait(seconds)
        except subprocess.TimeoutExpired:
            return False
        return True

    def close(self) -> None:
        """Let go of the pipes of a process that has ended."""
        self._input.close()
        self._output.close()
