"""Short ways to write a tune and a singer."""

from collections.abc import Callable

import pytest

from chartwalk.chart import Chart
from chartwalk.leadfile import loads


def _sheet(rows: str, key: str = "C major", meter: str = "4/4", head: str = "") -> Chart:
    return loads(f"title T\nkey {key}\nmeter {meter}\n{head}\n\n{rows}\n").chart


@pytest.fixture(scope="session")
def sheet() -> Callable[..., Chart]:
    """Read rows of a song in a key (C major unless told) and a meter (4/4)."""
    return _sheet
