"""When a clock process counts as lost, and what to do about it. No time is read here."""

from enum import Enum, unique
from typing import Final

PATIENCE: Final = 2.0  # seconds without a sign of life
OWN_GAP: Final = 1.0  # seconds between two looks after which it was us who were held up
MEMORY: Final = 30.0  # seconds for which a loss counts


class Watch:
    """Tells whether a process has been silent for too long.

    >>> watch = Watch(now=10.0)
    >>> [watch.overdue(now) for now in (10.5, 11.2, 11.9, 12.1)]
    [False, False, False, True]
    """

    def __init__(self, now: float) -> None:
        self._heard = now
        self._looked = now

    def heard(self, now: float) -> None:
        """Take a sign of life."""
        self._heard = now

    def overdue(self, now: float) -> bool:
        """Whether the last sign is too old; a gap in our own looking proves nothing."""
        if now - self._looked > OWN_GAP:
            self._heard = now
        self._looked = now
        return now - self._heard > PATIENCE


@unique
class Remedy(Enum):
    """What to do about a lost process."""

    AGAIN = "start it again"
    SILENT = "start it again without a port"
    GIVE_UP = "leave it"


REMEDIES: Final = (Remedy.AGAIN, Remedy.SILENT, Remedy.GIVE_UP)


class Losses:
    """Chooses a stronger remedy for each loss that follows closely on another.

    >>> losses = Losses()
    >>> [losses.remedy(now).name for now in (0.0, 60.0, 62.0, 64.0)]
    ['AGAIN', 'AGAIN', 'SILENT', 'GIVE_UP']
    """

    def __init__(self) -> None:
        self._moments: list[float] = []

    def remedy(self, now: float) -> Remedy:
        """Count a loss and return what to do."""
        recent = [moment for moment in self._moments if now - moment <= MEMORY]
        self._moments = [*recent, now]
        return REMEDIES[min(len(recent), len(REMEDIES) - 1)]
