"""Where the chords change: places, offsets, several at one place, and words for chords."""

from collections.abc import Callable

import pytest

from chartwalk.chart import Bar
from chartwalk.reading import Reading

Read = Callable[..., Reading]


def places(bar: Bar) -> str:
    """Write a bar's changes: C@0 F@3/2."""
    return " ".join(f"{change.symbol.text}@{change.at}" for change in bar.changes)


def offset_harmony(divisions: int) -> str:
    """Write a G that stands some divisions (24 a quarter) after its place in the file."""
    root = "<root><root-step>G</root-step></root>"
    return f"<harmony>{root}<kind>major</kind><offset>{divisions}</offset></harmony>"


def test_places_follow_the_notes(read_sheet: Read) -> None:
    bars = read_sheet("h:C C5:1.5 h:F D5:2.5 / E5:4 / h:G").chart.bars
    assert [places(bar) for bar in bars] == ["C@0 F@3/2", "", "G@0"]


def test_offsets_move_a_chord(read_sheet: Read) -> None:
    late = offset_harmony(48)
    (bar,) = read_sheet("h:C {late} C5:4", late=late).chart.bars
    assert places(bar) == "C@0 G@2"
    early = offset_harmony(-24)
    (bar,) = read_sheet("h:C C5:4 {early}", early=early).chart.bars
    assert places(bar) == "C@0 G@3"


def test_backup_and_forward_are_followed(read_sheet: Read) -> None:
    back = "<backup><duration>96</duration></backup>"
    ahead = "<forward><duration>36</duration></forward>"
    (bar,) = read_sheet("C5:4 {back} h:C {ahead} h:F", back=back, ahead=ahead).chart.bars
    assert places(bar) == "C@0 F@3/2"


def test_several_at_one_place_share_the_note_that_follows(read_sheet: Read) -> None:
    bars = read_sheet(
        "h:C h:F C5:2 D5:2 / h:C h:F h:G r:3 C5:1 / h:C h:F / h:C h:F D5:4"
    ).chart.bars
    assert [places(bar) for bar in bars] == ["C@0 F@1", "C@0 F@1 G@2", "C@0 F@2", "C@0 F@2"]


def test_they_share_no_more_than_the_room_to_the_next_chord(read_sheet: Read) -> None:
    late = offset_harmony(48)
    (bar,) = read_sheet("h:C h:F {late} C5:4", late=late).chart.bars
    assert places(bar) == "C@0 F@1 G@2"


def test_a_chord_written_twice_at_one_place_is_one(read_sheet: Read) -> None:
    assert places(read_sheet("h:C h:C C5:4").chart.bars[0]) == "C@0"


def test_a_chord_at_the_end_of_a_bar_belongs_to_the_next(read_sheet: Read) -> None:
    reading = read_sheet("h:C C5:4 h:F / D5:4 / h:C C5:4 h:G")
    assert [places(bar) for bar in reading.chart.bars] == ["C@0", "F@0", "C@0"]
    (warning,) = reading.warnings
    assert "G after the last bar" in warning.message


def test_no_chord_as_words(read_sheet: Read) -> None:
    bars = read_sheet("h:C C5:2 w:N.C. D5:2 / w:NO_CHORD C5:4 / h:C w:NC C5:4").chart.bars
    assert [places(bar) for bar in bars] == ["C@0 N.C.@2", "N.C.@0", "C@0"]


# The sheet, the changes of its second bar, and what is told of the words. The chords share the rest
# of the bar: a beat each where they can, counted by hand.
IN_WORDS = [
    ("C5:4 / w:Bb-Bdim-Cm7-F7 C5:4", "Bb@0 Bdim@1 Cm7@2 F7@3", "read as chords"),
    ("C5:4 / w:Am7_D7 C5:4", "Am7@0 D7@2", "read as chords"),
    ("C5:4 / w:Am7_D7_G7 C5:4", "Am7@0 D7@1 G7@2", "read as chords"),
    ("C5:4 / C5:2 w:D7,_G7 C5:2", "D7@2 G7@3", "read as chords"),
    ("C5:4 / w:Am7,D7,G7,C7,F7 C5:4", "Am7@0 D7@4/5 G7@8/5 C7@12/5 F7@16/5", "read as chords"),
    ("C5:4 / h:C C5:2 w:D7 C5:2", "C@0 D7@2", "read as chords"),
    ("C5:4 / h:C w:Bb-Bdim-Cm7-F7 C5:4", "C@0", "beside others are left out"),
    ("C5:4 / w:Am7 C5:2 h:F C5:2", "F@2", "beside others are left out"),
    ("C5:4 / w:(Am7_D7) C5:4", "", "beside others are left out"),  # ABC 2.1, 4.18: not played
]


@pytest.mark.parametrize(("text", "expected", "told"), IN_WORDS)
def test_chords_in_words(read_sheet: Read, text: str, expected: str, told: str) -> None:
    reading = read_sheet(text)
    assert places(reading.chart.bars[1]) == expected
    (warning,) = reading.warnings
    assert warning.bar == "2"
    assert told in warning.message
    assert "7" in warning.message  # it quotes the words


def test_an_alternative_chord_is_left_out_and_told(read_sheet: Read) -> None:
    root = "<root><root-step>A</root-step></root>"
    other = f'<harmony type="alternate">{root}<kind>minor</kind></harmony>'
    reading = read_sheet("C5:4 / h:C {o} C5:4", o=other)
    assert places(reading.chart.bars[1]) == "C@0"
    (warning,) = reading.warnings
    assert (warning.bar, warning.message) == ("2", "Am stands as an alternative only: left out")


def test_a_chord_between_notes_has_its_own_place(read_sheet: Read) -> None:
    between = offset_harmony(36)  # a beat and a half into a half note
    (bar,) = read_sheet("h:C {b} C5:2 D5:2", b=between).chart.bars
    assert places(bar) == "C@0 G@3/2"


def test_a_chord_at_the_end_of_a_bar_before_one_on_the_next_is_told(read_sheet: Read) -> None:
    reading = read_sheet("h:C C5:4 h:F / h:D D5:4")
    assert [[c.symbol.text for c in bar.changes] for bar in reading.chart.bars] == [["C"], ["D"]]
    assert any("F at the end of the bar before" in told.message for told in reading.warnings)
