"""How the log writes times, days, fractions and lists of fingerprints, and reads them back."""

from datetime import UTC, date, datetime, timedelta
from fractions import Fraction
from functools import lru_cache
from typing import Final

# From midnight where the sun is earliest (UTC+14) to the start of a day in UTC, and to spare.
AHEAD: Final = timedelta(days=1)


def moment(time: datetime) -> str:
    """Return a time in UTC; such texts sort as the times do.

    >>> moment(datetime.fromisoformat("2024-05-06T01:30+02:00"))
    '2024-05-05T23:30:00+00:00'
    """
    return time.astimezone(UTC).isoformat()


def earliest(day: date) -> str:
    """Return a time before which it was that day nowhere on earth."""
    return (day - AHEAD).isoformat() if day - date.min > AHEAD else ""


@lru_cache(maxsize=1024)  # a log has thousands of them, and few different ones
def fraction(text: str | None) -> Fraction | None:
    """Read a fraction, or nothing."""
    return None if text is None else Fraction(text)


def joined(prints: tuple[str, ...]) -> str:
    """Return fingerprints as one text."""
    return " ".join(prints)
