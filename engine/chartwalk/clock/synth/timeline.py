"""Which sample of a device's stream a moment falls on, though no device keeps its rate exactly.

A device takes up to some 0.5 % more or fewer samples a second than it says, and asks for them now
early, now late. So the line that leads from moments to samples is estimated from all that it asked
for: by a Kalman filter with two unknowns, how far the device's time is ahead of ours and how fast
that grows (R. E. Kalman 1960, Journal of Basic Engineering 82:35-45). It settles within seconds and
then forgets so slowly, over about a minute, that a steady row of moments has steady intervals.
"""

import math
from typing import Final

GULP: Final = 0.003  # seconds: requests closer than this are one, and the first of them counts
JITTER: Final = 0.002  # seconds by which the moment of a request is usually off
AT_FIRST: Final = 0.05  # seconds by which the first request may be off: a buffer is filled
DRIFT: Final = 0.005  # by which a rate is usually off
WANDER: Final = 3e-15  # square of the drift's own change, a second: forgets over about a minute
UNLIKELY: Final = 4.0  # times the usual error, beyond which an error counts no more
JUMP: Final = 0.05  # seconds: an error that is no jitter
JUMPS: Final = 5  # such errors in a row, after which the device is somewhere else


class Timeline:
    """The line of one device with ``rate`` samples a second by its own account.

    >>> line = Timeline(48_000)
    >>> for request in range(1000):
    ...     line.asked(5.0 + request * 0.01, request * 480)
    >>> round(line.position(25.0))
    960000
    """

    def __init__(self, rate: int) -> None:
        self._rate = rate
        self._moment = math.nan  # of the newest request
        self._ahead = 0.0  # seconds that the device's time is ahead of ours by then
        self._drift = 0.0  # seconds by which that grows a second
        # How far off these two may be, squared, and what they have in common.
        self._doubt = (AT_FIRST**2, 0.0, DRIFT**2)
        self._jumps = 0

    def asked(self, moment: float, position: int) -> None:
        """Learn that the device asked for the sample at ``position`` at a moment, in seconds."""
        ahead = position / self._rate - moment
        if math.isnan(self._moment):
            self._moment, self._ahead = moment, ahead
        if moment - self._moment < GULP:
            return
        self._go_to(moment)
        error = ahead - self._ahead
        if abs(error) <= JUMP:
            self._jumps = 0
            self._learn(error)
        elif self._jumps < JUMPS:
            self._jumps += 1
        else:
            self._jumps = 0
            self._ahead = ahead
            self._doubt = (AT_FIRST**2, 0.0, self._doubt[2])

    def position(self, moment: float) -> float:
        """Return where in the stream a moment falls; it may lie some seconds before or after."""
        ahead = self._ahead + self._drift * (moment - self._moment)
        return (moment + ahead) * self._rate

    def _go_to(self, moment: float) -> None:
        passed = moment - self._moment
        ahead, common, drift = self._doubt
        self._moment = moment
        self._ahead += self._drift * passed
        self._doubt = (
            ahead + (2 * common + drift * passed) * passed,
            common + drift * passed,
            drift + WANDER * passed,
        )

    def _learn(self, error: float) -> None:
        ahead, common, drift = self._doubt
        spread = ahead + JITTER**2
        most = UNLIKELY * math.sqrt(spread)
        error = min(max(error, -most), most)
        share = ahead / spread
        self._ahead += share * error
        self._drift += common / spread * error
        self._doubt = (
            (1 - share) * ahead,
            (1 - share) * common,
            drift - common * common / spread,
        )
