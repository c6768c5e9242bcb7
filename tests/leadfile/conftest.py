"""Short ways to read a few rows of a `.lead` text and to say what came of them."""

from collections.abc import Callable

import pytest

from chartwalk.chart import Bar, Note, Syllable
from chartwalk.leadfile import loads
from chartwalk.problems import ChartError

HEAD = "title T\nmeter {}\n\n"


def _bars(rows: str, meter: str = "4/4") -> tuple[Bar, ...]:
    return loads(HEAD.format(meter) + rows + "\n").chart.bars


def _problems(text: str) -> list[str]:
    try:
        loads(text, "x.lead")
    except ChartError as error:
        return [str(problem) for problem in error.problems]
    return []


@pytest.fixture(scope="session")
def bars() -> Callable[..., tuple[Bar, ...]]:
    """Read rows of a song in a meter, 4/4 unless told; the first row is line 4 of the text."""
    return _bars


@pytest.fixture(scope="session")
def chords() -> Callable[..., list[str]]:
    """Read a chords row; a bar gives its changes as `place symbol` pairs, commas between."""

    def read(rows: str, meter: str = "4/4") -> list[str]:
        return [
            ", ".join(f"{change.at} {change.symbol.text}" for change in bar.changes)
            for bar in _bars(rows if "chords" in rows else f"chords {rows}", meter)
        ]

    return read


@pytest.fixture(scope="session")
def tune() -> Callable[[Bar], str]:
    """Write the notes of a bar as `pitch length` pairs, commas between, ~ for a tie."""

    def note(note: Note) -> str:
        return f"{note.pitch.ascii if note.pitch else 'r'} {note.length}{'~' * note.tied}"

    return lambda bar: ", ".join(note(each) for each in bar.tune)


@pytest.fixture(scope="session")
def words() -> Callable[[Bar], list[str]]:
    """Write the verses of a bar; an empty syllable is ( )."""

    def syllable(syllable: Syllable) -> str:
        return (syllable.text or "( )") + "-" * syllable.joined

    return lambda bar: [" ".join(syllable(each) for each in verse) for verse in bar.words]


@pytest.fixture(scope="session")
def problems() -> Callable[[str], list[str]]:
    """Read a text as the file x.lead and return its problems as they are shown."""
    return _problems


@pytest.fixture(scope="session")
def problems_in_rows() -> Callable[..., list[str]]:
    """Read rows under a sound head; the first row is line 4."""
    return lambda rows, meter="4/4": _problems(HEAD.format(meter) + rows + "\n")
