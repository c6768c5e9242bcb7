"""The chords row: how tokens share a bar, held chords, repeated bars, beats given outright."""

from collections.abc import Callable

import pytest

Chords = Callable[..., list[str]]

# Meter, cell, changes as places in quarters after the bar line.
SHARED = [
    # One token fills the bar.
    ("4/4", "C", "0 C"),
    ("7/8", "C", "0 C"),
    ("5/4", "C", "0 C"),
    # As many as beats.
    ("4/4", "C D E F", "0 C, 1 D, 2 E, 3 F"),
    ("3/4", "C D E", "0 C, 1 D, 2 E"),
    ("2/2", "C D", "0 C, 2 D"),
    ("5/4", "C D E F G", "0 C, 1 D, 2 E, 3 F, 4 G"),
    ("6/8", "C D", "0 C, 3/2 D"),
    ("9/8", "C D E", "0 C, 3/2 D, 3 E"),
    ("12/8", "C D E F", "0 C, 3/2 D, 3 E, 9/2 F"),
    ("7/8", "C D E F G A B", "0 C, 1/2 D, 1 E, 3/2 F, 2 G, 5/2 A, 3 B"),
    # A number that divides the beats.
    ("4/4", "C D", "0 C, 2 D"),
    ("6/4", "C D", "0 C, 3 D"),
    ("12/8", "C D", "0 C, 3 D"),
    # Or, in compound meters, the eighths.
    ("6/8", "C D E", "0 C, 1 D, 2 E"),
    ("6/8", "C D E F G A", "0 C, 1/2 D, 1 E, 3/2 F, 2 G, 5/2 A"),
    ("3/8", "C D E", "0 C, 1/2 D, 1 E"),
    ("9/8", "C D E F G A B C D", "0 C, 1/2 D, 1 E, 3/2 F, 2 G, 5/2 A, 3 B, 7/2 C, 4 D"),
    ("12/8", "C D E F G A", "0 C, 1 D, 2 E, 3 F, 4 G, 5 A"),
    # A slash is one more beat of the chord before it.
    ("4/4", "C / / G", "0 C, 3 G"),
    ("4/4", "C G / /", "0 C, 1 G"),
    ("4/4", "C / G /", "0 C, 2 G"),
    ("4/4", "C / / /", "0 C"),
    ("3/4", "C / G7", "0 C, 2 G7"),
    ("6/8", "C / G", "0 C, 2 G"),
    ("4/4", "/ / G /", "2 G"),
    ("4/4", "/", ""),
    # No chord is a change like any other.
    ("4/4", "N.C.", "0 N.C."),
    ("4/4", "C N.C.", "0 C, 2 N.C."),
    # Beats given outright, for pushes; the beat is the meter's own.
    ("4/4", "G@1 C@3.5", "0 G, 5/2 C"),
    ("4/4", "C@2", "1 C"),
    ("4/4", "C@4.75", "15/4 C"),
    ("4/4", "C@4/3 D@5/3", "1/3 C, 2/3 D"),
    ("6/8", "G@1 C@2", "0 G, 3/2 C"),
    ("6/8", "G@1 C@2.5", "0 G, 9/4 C"),
    ("2/2", "G@1 C@2.5", "0 G, 3 C"),
    ("5/4", "G@1 C@4", "0 G, 3 C"),
    ("4/4", "G/B@1 N.C.@4", "0 G/B, 3 N.C."),
    # An empty cell holds the chord before.
    ("4/4", "", ""),
]
# Bars, and the changes of each.
REPEATED = [
    ("| C G | % |", ["0 C, 2 G", "0 C, 2 G"]),
    ("| C G | % | % |", ["0 C, 2 G"] * 3),
    ("| C | | % |", ["0 C", "", ""]),
    ("| G@1 C@3.5 | % |", ["0 G, 5/2 C"] * 2),
]
# Meter, length of the pickup, cell, changes: the beats of a pickup are counted from the end.
PICKUPS = [
    ("4/4", "1", "D7", "0 D7"),
    ("4/4", "1", "D7@4", "0 D7"),
    ("4/4", "1", "D7@4.5", "1/2 D7"),
    ("4/4", "3", "C D E", "0 C, 1 D, 2 E"),
    ("4/4", "3", "C / D", "0 C, 2 D"),
    ("4/4", "2", "C@3 D@4.5", "0 C, 3/2 D"),
    ("4/4", "1.5", "C@3.5 D@4", "0 C, 1/2 D"),
    ("4/4", ".5", "C@4.5", "0 C"),
    ("3/4", "2", "C D", "0 C, 1 D"),
    ("6/8", "1.5", "C", "0 C"),
    ("6/8", "1.5", "C D E", "0 C, 1/2 D, 1 E"),
    ("6/8", ".5", "C@8/3", "0 C"),
    ("6/8", "2", "C@5/3 D@2", "0 C, 1/2 D"),
]


@pytest.mark.parametrize(("meter", "cell", "changes"), SHARED)
def test_tokens_share_the_bar(chords: Chords, meter: str, cell: str, changes: str) -> None:
    assert chords(f"| {cell} |", meter) == [changes]


@pytest.mark.parametrize(("row", "changes"), REPEATED)
def test_a_percent_sign_is_the_bar_before(chords: Chords, row: str, changes: list[str]) -> None:
    assert chords(row) == changes


def test_a_percent_sign_in_a_shorter_bar_keeps_what_fits(chords: Chords) -> None:
    rows = "chords | C / / G |\n\nmeter 2/4\nchords | % |"
    assert chords(rows) == ["0 C, 3 G", "0 C"]


def test_a_percent_sign_looks_back_over_a_section_and_a_system(chords: Chords) -> None:
    assert chords("chords | C G |\n\nsection B\n\nchords | % |") == ["0 C, 2 G"] * 2


@pytest.mark.parametrize(("meter", "length", "cell", "changes"), PICKUPS)
def test_the_beats_of_a_pickup(
    chords: Chords, meter: str, length: str, cell: str, changes: str
) -> None:
    rows = f"road | pickup | |\nchords | {cell} | C |\ntune | r:{length} | |"
    assert chords(rows, meter) == [changes, "0 C"]


def test_without_a_tune_a_pickup_has_a_beat_for_each_token(
    bars: Callable[..., tuple[object, ...]], chords: Chords
) -> None:
    assert chords("road | pickup | |\nchords | G D7 | C |") == ["0 G, 1 D7", "0 C"]
    assert chords("road | pickup | |\nchords | G / D7 | C |") == ["0 G, 2 D7", "0 C"]
    assert chords("road | pickup | |\nchords | G | C |", "6/8") == ["0 G", "0 C"]


def test_a_pickup_in_the_middle_counts_from_the_end_too(chords: Chords) -> None:
    rows = "road | | pickup | |\nchords | C | D7@4 | G |\ntune | | D4:1 | |"
    assert chords(rows) == ["0 C", "0 D7", "0 G"]
