"""Lines from the terminal or a pipe, read aside, so that nothing waits for them."""

import threading
from queue import SimpleQueue

Lines = SimpleQueue[str | None]
"""The lines as they come, without their ends; None once there are no more."""


def lines_from(source: int) -> Lines:
    """Return the lines of a file descriptor; what is no UTF-8 is replaced.

    The reading is not buffered: a buffer in use would hold up the end of the program.
    """
    lines: Lines = SimpleQueue()
    threading.Thread(target=_read, args=(source, lines), daemon=True).start()
    return lines


def _read(source: int, lines: Lines) -> None:
    try:
        with open(source, "rb", buffering=0, closefd=False) as raw:
            while data := raw.readline():
                lines.put(data.decode("utf-8", "replace").rstrip("\r\n"))
    except OSError:  # the terminal is gone
        pass
    finally:
        lines.put(None)
