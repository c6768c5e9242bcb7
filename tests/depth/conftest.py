"""Short ways to read a few rows of a `.lead` text and to write the changes of a chart.

A change is written with its beat, ``Dm@3``; bars stand between ``|``, a bar without one is ``-``.
"""

from collections.abc import Callable

import pytest

from chartwalk.chart import Chart
from chartwalk.depth import Depth, at_depth
from chartwalk.leadfile import loads


def _chart(rows: str, meter: str = "4/4", key: str = "C major") -> Chart:
    return loads(f"title T\nkey {key}\nmeter {meter}\n\n{rows}\n").chart


def _line(chart: Chart) -> str:
    return " | ".join(
        " ".join(f"{each.symbol.text}@{float(bar.beat_at(each.at)):.4g}" for each in bar.changes)
        or "-"
        for bar in chart.bars
    )


@pytest.fixture(scope="session")
def chart() -> Callable[..., Chart]:
    """Read rows of a song, in 4/4 and C major unless told."""
    return _chart


@pytest.fixture(scope="session")
def line() -> Callable[[Chart], str]:
    """Write the changes of a chart in one line."""
    return _line


@pytest.fixture(scope="session")
def played() -> Callable[..., str]:
    """Read rows of a song and write its changes at a depth."""
    return lambda depth, rows, *head: _line(at_depth(_chart(rows, *head), Depth(depth)))
