"""The passes an ending serves, as files number them."""

import re
from typing import Final

MOST_PASSES: Final = 32
_RANGE: Final = re.compile(r"(\d{1,2})(?:\s*[-–]\s*(\d{1,2}))?", re.ASCII)


def read_passes(text: str) -> tuple[int, ...]:
    """Read the passes of an ending; those beyond any use are left out.

    >>> read_passes("1,3,5-7"), read_passes("1-3"), read_passes("2."), read_passes("0, 99")
    ((1, 3, 5, 6, 7), (1, 2, 3), (2,), ())
    """
    passes: set[int] = set()
    for match in _RANGE.finditer(text):
        low = int(match[1])
        passes |= set(range(low, int(match[2] or low) + 1))
    return tuple(sorted(number for number in passes if 0 < number <= MOST_PASSES))
