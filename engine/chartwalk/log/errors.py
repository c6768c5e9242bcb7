"""The one error of the log."""

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Final

DAMAGE: Final = frozenset({sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB})


class LogError(Exception):
    """The log can't be opened, read or written; the message is one line for the player."""


@contextmanager
def told(what: str) -> Iterator[None]:
    """Turn the database's and the disk's errors into one line for the player.

    A ValueError is a time or a number in the file that is none.
    """
    try:
        yield
    except (sqlite3.Error, OSError, ValueError, OverflowError) as error:
        reason = error.strerror if isinstance(error, OSError) else None
        raise LogError(f"{what}: {reason.lower() if reason else error}") from error


def is_damage(error: BaseException | None) -> bool:
    """Whether an error says that the file itself is damaged."""
    code = getattr(error, "sqlite_errorcode", None)  # the low byte is the kind of error
    return isinstance(code, int) and code & 0xFF in DAMAGE
