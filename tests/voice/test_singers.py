"""The singer's range: as typed, as in the handbook, as on the sheet."""

from collections.abc import Callable
from fractions import Fraction

import pytest

from chartwalk.chart import Chart
from chartwalk.pitch import Pitch
from chartwalk.voice import VOICE_TYPES, SingerRange, sheet_range

# New Harvard Dictionary of Music, as given by the Yale library's page for music cataloging
# (web.library.yale.edu/cataloging/music/vocal-ranges).
HANDBOOK = {
    "soprano": ("C4", "A5"), "mezzo": ("A3", "F5"), "alto": ("F3", "D5"),
    "tenor": ("B2", "G4"), "baritone": ("G2", "E4"), "bass": ("E2", "C4"),
}  # fmt: skip


def test_the_voices_of_the_handbook() -> None:
    found = {name: (each.low.ascii, each.high.ascii) for name, each in VOICE_TYPES.items()}
    assert found == HANDBOOK
    assert list(found) == list(HANDBOOK), "from high to low"


@pytest.mark.parametrize(
    "text",
    ["A3 Bb4", "a3 bb4", " A3  B♭4 ", "A3-Bb4", "A3 - Bb4", "A3–B♭4", "a3 to bb4", "A3to Bb4"],
)
def test_a_range_as_players_type_it(text: str) -> None:
    if "3to" in text:
        with pytest.raises(ValueError, match="is no "):
            SingerRange.parse(text)
        return
    assert SingerRange.parse(text) == SingerRange(Pitch.parse("A3"), Pitch.parse("Bb4"))


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("", "is no range"), ("A3", "is no range"), ("A3 C4 E4", "is no range"),
        ("alto", "is no range"), ("H3 D5", "'H3' is no pitch"), ("A D", "'A' is no pitch"),
        ("D5 A3", "the low note D5 lies above the high note A3"),
        ("A3 C9", "beyond the piano"), ("G0 D5", "beyond the piano"),
        ("A3 D99999", "beyond the piano"),
    ],
)  # fmt: skip
def test_what_is_no_range_is_told(text: str, told: str) -> None:
    with pytest.raises(ValueError, match=told):
        SingerRange.parse(text)


@pytest.mark.parametrize("text", ["A0 C8", "C4 C4", "B3 Cb4", "Cb4 B3", "F#3 C#5"])
def test_a_range_is_written_as_it_is_read(text: str) -> None:
    singer = SingerRange.parse(text)
    assert singer.ascii == text
    assert SingerRange.parse(singer.ascii) == singer


def test_the_middle_of_a_range_lies_between_its_notes() -> None:
    assert SingerRange.parse("A3 D5").centre == Fraction(57 + 74, 2)
    assert SingerRange.parse("C4 C4").centre == 60


@pytest.mark.parametrize(
    ("note", "beyond"),
    [("G#3", -1), ("A2", -12), ("A3", 0), ("G##3", 0), ("D5", 0), ("C##5", 0), ("D#5", 1)],
)
def test_how_far_a_note_lies_outside(note: str, beyond: int) -> None:
    assert SingerRange.parse("A3 D5").beyond(Pitch.parse(note)) == beyond


def test_the_range_that_a_sheet_names(sheet: Callable[..., Chart]) -> None:
    assert sheet_range(sheet("chords | C |", head="voice A3 D5")) == SingerRange.parse("A3 D5")
    assert sheet_range(sheet("chords | C |")) is None
