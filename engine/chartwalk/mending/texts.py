"""Texts of a file as the player may see them: one line, quoted, nothing that steers a terminal."""

import re
from collections.abc import Iterable
from typing import Final

LONGEST_QUOTE: Final = 40
MOST_QUOTED: Final = 3
_CONTROL: Final = re.compile(r"[\x00-\x1f\x7f-\x9f]")
_SURROGATE: Final = re.compile("[\ud800-\udfff]")


def one_line(text: str) -> str:
    """Return a text without line breaks and without characters that would steer a terminal.

    Halves of characters, which no file can hold, are put together or replaced.
    """
    if text.isalnum():  # most texts of a file are one number or one word
        return text
    if _SURROGATE.search(text):
        text = text.encode("utf-16", "surrogatepass").decode("utf-16", "replace")
    return " ".join(_CONTROL.sub(" ", text).split())


def quoted(text: str) -> str:
    """Quote a text of the file for a warning, no longer than a line.

    >>> quoted("It+6"), len(quoted("x" * 1000))
    ("'It+6'", 43)
    """
    return repr(text if len(text) <= LONGEST_QUOTE else f"{text[:LONGEST_QUOTE]}…")


def listed(texts: Iterable[str]) -> str:
    """Quote the first of some texts, and count the rest.

    >>> listed(["one", "two", "three", "four", "five"])
    "'one', 'two', 'three' and 2 more"
    """
    texts = list(texts)
    more = len(texts) - MOST_QUOTED
    tail = f" and {more} more" if more > 0 else ""
    return ", ".join(map(quoted, texts[:MOST_QUOTED])) + tail
