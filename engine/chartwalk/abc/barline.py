"""Bar lines: any row of thin lines, thick lines and dots.

Source: ABC 2.1 section 4.8 (bar lines "may have any shape"; two dots repeat twice, more dots more
often).
"""

import re
from dataclasses import dataclass
from typing import Final

from chartwalk.chart import MOST_TIMES

_INVISIBLE: Final = re.compile(r"\[\|\]|[.]")


@dataclass(frozen=True, slots=True)
class Barline:
    """What a bar line says: how often the bars before and after it are played in all (1: once).

    ``double`` is a line with two strokes, thin or thick, without dots.
    """

    closes: int = 1
    opens: int = 1
    double: bool = False

    @property
    def divides(self) -> bool:
        """Whether it parts two stretches of the tune."""
        return self.double or self.closes > 1 or self.opens > 1


def read_barline(text: str) -> Barline:
    """Read a row of lines and dots.

    >>> read_barline(":|:"), read_barline("::") == read_barline(":||:")
    (Barline(closes=2, opens=2, double=False), True)
    >>> read_barline("|::").opens, read_barline("|]").double, read_barline("[|]").double
    (3, True, False)
    """
    shape = _INVISIBLE.sub("", text)
    lines = shape.strip(":")
    if lines:
        closes = len(shape) - len(shape.lstrip(":"))
        opens = len(shape) - len(shape.rstrip(":"))
    else:
        closes, opens = len(shape) // 2, len(shape) - len(shape) // 2
    double = len(lines) > 1 and not closes and not opens
    return Barline(min(closes + 1, MOST_TIMES), min(opens + 1, MOST_TIMES), double)
