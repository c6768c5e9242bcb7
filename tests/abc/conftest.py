"""Reading tunes written short: a head for the music, and bars written back as text."""

from collections.abc import Callable

import pytest

from chartwalk.abc import loads
from chartwalk.chart import Bar, Chart
from chartwalk.reading import Reading
from chartwalk.roadmap import unroll


@pytest.fixture(scope="session")
def tune() -> Callable[..., Reading]:
    """Read music in C, 4/4, quarter notes; fields given as keywords replace the head's."""

    def read(music: str, **fields: str) -> Reading:
        head = {"X": "1", "T": "Ebb Tide", "M": "4/4", "L": "1/4", "K": "C"}
        given = {**{name: value for name, value in head.items() if name != "K"}, **fields}
        key = given.pop("K", head["K"])
        lines = [f"{name}:{value}" for name, value in given.items() if value]
        return loads("\n".join([*lines, f"K:{key}", music]), "tune.abc")

    return read


def _bar(bar: Bar) -> str:
    notes = [
        f"{note.pitch.ascii if note.pitch else 'r'}:{note.length}{'~' * note.tied}"
        for note in bar.tune
    ]
    return " ".join(notes) or "."


@pytest.fixture(scope="session")
def notes() -> Callable[[Chart], str]:
    """Write every bar's notes: C4:1 is a quarter, r a rest, ~ a tie, . a bar without notes."""

    def written(chart: Chart) -> str:
        return " | ".join(_bar(bar) for bar in chart.bars)

    return written


@pytest.fixture(scope="session")
def order() -> Callable[[Chart], str]:
    """Return the bars in the order they are played, counted from 1 on the page."""

    def played(chart: Chart) -> str:
        return " ".join(str(step.bar + 1) for step in unroll(chart))

    return played


@pytest.fixture(scope="session")
def told() -> Callable[[Reading], list[str]]:
    """Return the warnings with their line and column."""

    def warnings(reading: Reading) -> list[str]:
        return [f"{w.line}:{w.column} {w.message}" for w in reading.warnings]

    return warnings
