"""Bar lengths: pickups, split bars, bars with a meter of their own."""

from collections.abc import Callable

import pytest

from chartwalk.chart import Bar
from chartwalk.reading import Reading

Read = Callable[..., Reading]


def lengths(reading: Reading) -> str:
    """Write each bar's meter and length, p for a pickup."""

    def one(bar: Bar) -> str:
        return f"{bar.meter}:{bar.length}{'p' * bar.pickup}"

    bars = reading.chart.bars
    for bar in bars:
        assert bar.pickup or bar.length == bar.meter.quarters
        assert not bar.tune or sum(note.length for note in bar.tune) == bar.length
        assert bar.tune or not bar.pickup
    return " ".join(one(bar) for bar in bars)


# The notes, and what the bars are. Counted by hand.
LENGTHS = [
    ("C5:1 / C5:4", "4/4:1p 4/4:4"),
    ("r:1 / C5:4", "4/4:1p 4/4:4"),  # a pickup that is only a rest still has its length
    ("C5:4 / C5:4", "4/4:4 4/4:4"),
    (". / C5:4", "4/4:4 4/4:4"),
    ("C5:1 / C5:4 / C5:3", "4/4:1p 4/4:4 3/4:3"),
    ("C5:4 / C5:3.5", "4/4:4 7/8:7/2"),
    ("C5:4 / C5:5", "4/4:4 5/4:5"),  # overfull
    ("C5:4 / C5:3 :| / C5:1 / C5:4", "4/4:4 3/4:3 4/4:1p 4/4:4"),
    ("C5:4 / C5:3 / |: C5:1 / C5:4 :|", "4/4:4 3/4:3 4/4:1p 4/4:4"),
    ("C5:4 / C5:2 || / C5:2 / C5:4", "4/4:4 2/4:2 4/4:2p 4/4:4"),
    ("C5:4 / C5:2 / C5:2 / C5:4", "4/4:4 2/4:2 2/4:2 4/4:4"),  # nothing stands between
    ("C5:4 / C5:2 :| / C5:1 / C5:4", "4/4:4 2/4:2 1/4:1 4/4:4"),  # they do not fill a bar
    ("C5:1 / C5:4 / C5:3 :| / |: C5:1 / C5:3 :|", "4/4:1p 4/4:4 3/4:3 4/4:1p 3/4:3"),
]


@pytest.mark.parametrize(("notes", "expected"), LENGTHS)
def test_lengths(read_sheet: Read, notes: str, expected: str) -> None:
    reading = read_sheet(notes)
    assert lengths(reading) == expected
    assert not [warning for warning in reading.warnings if "length" in warning.message]


def test_a_length_no_meter_has_is_filled_up_or_cut(read_sheet: Read) -> None:
    reading = read_sheet("C5:4 / C5:10/3 / C5:14/3")
    assert lengths(reading) == "4/4:4 4/4:4 4/4:4"
    assert [(warning.bar, warning.message) for warning in reading.warnings] == [
        ("2", "the bar's length fits no meter: filled up to 4/4"),
        ("3", "the bar's length fits no meter: cut to 4/4"),
    ]


def test_an_implicit_measure_may_follow_without_a_sign(sheet: Callable[..., bytes]) -> None:
    from chartwalk.musicxml import read_bytes

    data = sheet("C5:4 / C5:2 / C5:2 / C5:4").replace(
        b'<measure number="3">', b'<measure number="X1" implicit="yes">'
    )
    reading = read_bytes(data, "x")
    assert lengths(reading) == "4/4:4 2/4:2 4/4:2p 4/4:4"
    assert [bar.number for bar in reading.chart.bars] == ["1", "2", "X1", "4"]


def test_a_pickup_may_be_marked_as_one(sheet: Callable[..., bytes]) -> None:
    data = sheet("C5:1 / C5:4 / C5:3")
    marked = data.replace(b'<measure number="1">', b'<measure number="0" implicit="yes">')
    from chartwalk.musicxml import read_bytes

    assert (
        lengths(read_bytes(marked, "x")) == lengths(read_bytes(data, "x")) == ("4/4:1p 4/4:4 3/4:3")
    )


def test_empty_first_bars_are_bars(read_sheet: Read) -> None:
    reading = read_sheet(". / . / h:C C5:4")
    assert lengths(reading) == "4/4:4 4/4:4 4/4:4"
    assert not reading.warnings


def test_a_whole_measure_rest_is_as_long_as_its_bar(read_sheet: Read) -> None:
    rest = '<note><rest measure="yes"/><duration>96</duration></note>'
    time = "<time><beats>3</beats><beat-type>4</beat-type></time>"
    assert lengths(read_sheet("C5:3 / {r} / C5:3", attributes=time, r=rest)) == " ".join(
        ["3/4:3"] * 3
    )


def test_a_whole_measure_rest_beside_a_voice_is_of_no_consequence(read_sheet: Read) -> None:
    rest = '<note><rest measure="yes"/><duration>96</duration><voice>2</voice></note>'
    back = "<backup><duration>72</duration></backup>"
    time = "<time><beats>3</beats><beat-type>4</beat-type></time>"
    reading = read_sheet("C5:3 {back} {r} / C5:3", attributes=time, r=rest, back=back)
    assert lengths(reading) == "3/4:3 3/4:3"


def test_the_longest_voice_counts(read_sheet: Read) -> None:
    other = (
        "<backup><duration>48</duration></backup><note><rest/><duration>96</duration>"
        "<voice>2</voice></note>"
    )
    assert lengths(read_sheet("C5:4 / C5:2 {other}", other=other)) == "4/4:4 4/4:4"
