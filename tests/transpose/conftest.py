"""Short ways to move a few rows of a `.lead` text and to say what came of them."""

from collections.abc import Callable

import pytest

from chartwalk.chart import Chart
from chartwalk.leadfile import loads
from chartwalk.transpose import transpose


def _of(rows: str, key: str = "C major", meter: str = "4/4") -> Chart:
    return loads(f"title T\nkey {key}\nmeter {meter}\n\n{rows}\n").chart


def _tune(chart: Chart) -> list[str]:
    return [
        " ".join((note.pitch.ascii if note.pitch else "r") + "~" * note.tied for note in bar.tune)
        for bar in chart.bars
    ]


@pytest.fixture(scope="session")
def of() -> Callable[..., Chart]:
    """Read rows of a song in a key (C major unless told) and a meter (4/4)."""
    return _of


@pytest.fixture(scope="session")
def tune() -> Callable[[Chart], list[str]]:
    """Write the notes of each bar of a chart, ~ for a tie."""
    return _tune


@pytest.fixture(scope="session")
def moved_chords() -> Callable[[str, int, str], str]:
    """Move chord symbols of a key by semitones; give their texts."""

    def move(key: str, semitones: int, symbols: str) -> str:
        row = " | ".join(symbols.split())
        chart = transpose(_of(f"chords | {row} |", key), semitones)
        return " ".join(bar.changes[0].symbol.text for bar in chart.bars)

    return move


@pytest.fixture(scope="session")
def moved_notes() -> Callable[[str, int, str], str]:
    """Move notes of a key by semitones; give their names with octaves."""

    def move(key: str, semitones: int, notes: str) -> str:
        row = " | ".join(f"{note}:4" for note in notes.split())
        return " ".join(_tune(transpose(_of(f"tune | {row} |", key), semitones)))

    return move
