"""Text for a terminal: what comes from files made safe, and numbers of things."""

import re
from typing import Final

# C0 and C1 steer a terminal; the others turn the direction of the text around them (Unicode,
# bidirectional formatting characters).
_STEERING: Final = re.compile("[\x00-\x09\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]")


def printable(text: str) -> str:
    r"""Return a text with a · for every character that would steer the terminal.

    >>> printable("low\x1b[2J tide")
    'low·[2J tide'
    """
    return _STEERING.sub("·", text)


def count(number: int, word: str) -> str:
    """Write a number of things.

    >>> count(1, "bar"), count(24, "bar")
    ('1 bar', '24 bars')
    """
    return f"{number} {word}" + ("" if number == 1 else "s")
