"""Writing a chart of 10,000 bars, and one of 20,000: twice the bars are twice the work."""

from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

import pytest

from chartwalk.chart import Bar, Change, Chart, Note, RoadMark, Section, Sign, Syllable
from chartwalk.chord import ChordSymbol
from chartwalk.leadfile import dumps
from chartwalk.musicxml import read_bytes
from chartwalk.musicxml.out import write
from chartwalk.pitch import Pitch
from chartwalk.roadmap import unroll
from chartwalk.song import Song
from chartwalk.unrolled import unrolled

BARS = 10_000
SIZES = (BARS, 2 * BARS)
CHORDS = [ChordSymbol.parse(text) for text in ("Dm9", "G13", "Cmaj7", "A7b9/C#")]
NOTES = tuple(
    Note(Pitch.parse(name), Fraction(length))
    for name, length in (("D4", "3/2"), ("F4", "1/2"), ("A4", "2/3"), ("C5", "4/3"))
)


def chart(size: int) -> Chart:
    """Repeats of ten bars with two endings; two chords, four notes and two verses a bar."""
    marks = {
        0: RoadMark(Sign.REPEAT_START), 6: RoadMark(Sign.ENDING, (1,)),
        7: RoadMark(Sign.REPEAT_END), 8: RoadMark(Sign.ENDING, (2,)),
    }  # fmt: skip
    words = tuple(Syllable(text) for text in ("one", "more", "cof", "fee"))
    bars = tuple(
        Bar(
            str(number + 1),
            changes=tuple(
                Change(Fraction(place), CHORDS[(number + place) % 4]) for place in (0, 2)
            ),
            tune=NOTES,
            words=(words, words),
            marks=(marks[number % 10],) if number % 10 in marks else (),
        )
        for number in range(size)
    )
    return Chart("Long", (Section("", bars),))


@pytest.fixture(scope="module")
def charts() -> dict[int, Chart]:
    """The charts by how many bars they have."""
    return {size: chart(size) for size in SIZES}


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.benchmark(group="MusicXML", min_rounds=2)
def test_musicxml(benchmark: Callable[..., object], charts: dict[int, Chart], size: int) -> None:
    """Write MusicXML."""
    benchmark(lambda: write(charts[size]))


@pytest.mark.parametrize("size", [BARS // 4, BARS // 2])
@pytest.mark.benchmark(group="our MusicXML read back", min_rounds=2)
def test_read_back(benchmark: Callable[..., object], size: int) -> None:
    """Read what was written; the reader refuses files of a million tags, some 7,000 such bars."""
    data = write(chart(size)).data
    benchmark(lambda: read_bytes(data, "x"))


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.benchmark(group=".lead", min_rounds=2)
def test_lead(benchmark: Callable[..., object], charts: dict[int, Chart], size: int) -> None:
    """Write a .lead file."""
    benchmark(lambda: dumps(charts[size]))


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.benchmark(group="unrolled", min_rounds=2)
def test_unrolled(benchmark: Callable[..., object], charts: dict[int, Chart], size: int) -> None:
    """Write a song out in play order."""
    song = Song(Path("x.lead"), charts[size], unroll(charts[size]))
    benchmark(lambda: unrolled(song))
