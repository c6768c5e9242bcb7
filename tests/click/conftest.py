"""Bars to click."""

from collections.abc import Callable
from fractions import Fraction

import pytest

from chartwalk.chart import Bar, Note
from chartwalk.meter import Meter


def _bar(meter: str, tempo: str = "60", pickup: str | None = None) -> Bar:
    signature = Meter.parse(meter)
    if pickup is None:
        return Bar("1", signature, tempo=Fraction(tempo), length=signature.quarters)
    length = Fraction(pickup)
    rest = Note(None, length)
    return Bar("0", signature, tempo=Fraction(tempo), length=length, pickup=True, tune=(rest,))


@pytest.fixture(scope="session")
def bar() -> Callable[..., Bar]:
    """Make a bar from its meter, its tempo and, in a pickup, its length in quarters."""
    return _bar
