"""Small readings of one element: its text and its numbers, whatever a file may hold there."""

import re
from fractions import Fraction
from functools import lru_cache
from itertools import islice
from typing import Final
from xml.etree.ElementTree import Element

from chartwalk.mending.texts import one_line

MOST_PIECES: Final = 40
LONGEST_PIECE: Final = 400
# The length is bounded: a number of a million digits is no number of music.
_NUMBER: Final = re.compile(r"[+-]?(?:\d{1,9}(?:\.\d{0,12})?|\.\d{1,12})", re.ASCII)


def text_of(element: Element | None, path: str = "") -> str:
    """Return the text of an element, or of the first one at a path below it, in one line.

    Empty where there is none.
    """
    if element is not None and path:
        element = element.find(path)
    return one_line(element.text or "") if element is not None else ""


def direction_texts(direction: Element) -> tuple[str, ...]:
    """Return the words of a direction: put together first, then one by one if there are several.

    A phrase is often cut into pieces of different print. No sign is as long as what is cut off.
    """
    found = islice(direction.iterfind("direction-type/words"), MOST_PIECES)
    pieces = [piece for words in found if (piece := text_of(words)[:LONGEST_PIECE])]
    return (" ".join(pieces), *pieces) if len(pieces) > 1 else tuple(pieces)


@lru_cache(maxsize=4096)
def number(text: str) -> Fraction | None:
    """Read a decimal number exactly; None where the text is none.

    >>> number("2.5"), number("1e9"), number("-1")
    (Fraction(5, 2), None, Fraction(-1, 1))
    """
    text = text.strip()
    return Fraction(text) if _NUMBER.fullmatch(text) else None


def whole(text: str) -> int | None:
    """Read a whole number, ``-1.0`` among them; None where the text is none.

    >>> whole("-1.0"), whole("0.5"), whole("")
    (-1, None, None)
    """
    value = number(text)
    return int(value) if value is not None and value.denominator == 1 else None
