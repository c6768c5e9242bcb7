"""The one clock that every process of chartwalk reads, in seconds.

Its values may be compared across processes. Before Python 3.13 ``time.monotonic`` moves in steps
of 15.6 ms on Windows; ``time.perf_counter`` reads the fine counter of the whole system there.
Elsewhere both read the same clock.
"""

import sys
import time
from collections.abc import Callable
from typing import Final

moment: Final[Callable[[], float]] = (
    time.perf_counter if sys.platform == "win32" else time.monotonic
)
