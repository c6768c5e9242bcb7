"""How late messages were sent: a histogram that costs nothing while playing."""

from typing import Final

STEP: Final = 10e-6  # seconds a step of the histogram
STEPS: Final = 5000  # 50 ms; later ones count as the last step


class Lateness:
    """Counts how late messages were, in seconds, and answers in milliseconds.

    >>> late = Lateness()
    >>> for seconds in (0.0, 0.000_02, 0.004):
    ...     late.add(seconds)
    >>> late.count, late.percentile(50), round(late.worst, 3)
    (3, 0.02, 4.0)
    """

    def __init__(self) -> None:
        self._steps = [0] * STEPS
        self._worst = 0.0
        self.count = 0

    def add(self, seconds: float) -> None:
        """Count one message."""
        self._steps[min(max(int(seconds / STEP), 0), STEPS - 1)] += 1
        self.count += 1
        self._worst = max(self._worst, seconds)

    def percentile(self, percent: float) -> float:
        """Give the lateness that so many percent of the messages did not pass, to 0.01 ms."""
        left = self.count * percent / 100
        for step, count in enumerate(self._steps):
            left -= count
            if left <= 0 and count:
                return round(step * STEP * 1000, 3)
        return 0.0

    @property
    def worst(self) -> float:
        """The worst of all, in milliseconds."""
        return self._worst * 1000
