"""Whether the terminal is still there after a hang-up."""

import sys


def terminal_gone() -> bool:
    """Whether standard input was a terminal that has been closed; False where that can't be told.

    A hang-up may be a mere signal, sent by hand; then the terminal still wants its screen back.
    """
    try:
        import termios  # noqa: PLC0415 - Windows has none
    except ImportError:
        return False
    try:
        termios.tcgetattr(sys.__stdin__.fileno() if sys.__stdin__ else 0)
    except termios.error:
        return True
    return False
