"""What the tests of the analysis share: one real worker a module, and asking until it is known."""

import time
from collections.abc import Callable, Iterable, Iterator
from functools import partial
from typing import Any

import pytest

from chartwalk.analysis import KeyGuess
from chartwalk.analysis.analyst import Analyst
from chartwalk.chart import Chart
from chartwalk.chord import ChordSymbol
from chartwalk.key import Key

PATIENCE = 60.0  # seconds; only a broken worker needs them


def wait_for(condition: Callable[[], object]) -> None:
    """Wait until something is true, however busy the machine is."""
    end = time.monotonic() + PATIENCE
    while not condition():
        assert time.monotonic() < end, "waited in vain"
        time.sleep(0.005)


class Asked:
    """A real analyst that is asked until it knows."""

    def __init__(self) -> None:
        self.analyst = Analyst()

    def numerals(self, pairs: Iterable[tuple[str, Key]]) -> list[str]:
        """The numerals of symbols in their keys, all asked for at once."""
        read = [(ChordSymbol.parse(text), key) for text, key in pairs]
        for symbol, key in read:
            self.analyst.numeral(symbol, key)
        return [self._wait(partial(self.analyst.numeral, symbol, key)) for symbol, key in read]

    def in_key(self, key: str, symbols: str) -> str:
        """The numerals of a row of symbols in one key."""
        return " ".join(self.numerals((text, Key.parse(key)) for text in symbols.split()))

    def key_of(self, chart: Chart) -> KeyGuess:
        """The guess at a chart's key."""
        guess = self._wait(partial(self.analyst.key_of, chart))
        assert isinstance(guess, KeyGuess)
        return guess

    def _wait(self, ask: Callable[[], Any]) -> Any:  # noqa: ANN401 - whatever is asked for
        wait_for(lambda: ask() is not None or self.analyst.trouble)
        assert not self.analyst.trouble
        return ask()


@pytest.fixture(scope="module")
def asked() -> Iterator[Asked]:
    """Ask a real worker."""
    asked = Asked()
    yield asked
    asked.analyst.close()


@pytest.fixture(scope="session")
def until() -> Callable[[Callable[[], object]], None]:
    """Wait until something is true, however busy the machine is."""
    return wait_for
