"""Felt beats and bar lengths.

References
----------
Open Music Theory, meter; Hutchinson, *Music Theory for the 21st-Century Classroom*, basics of
rhythm; music21 10.5.1 ``beatCount`` for 3/8, 6/4 and the asymmetric meters.
"""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chartwalk.meter import UNITS, Meter

# Signature, felt beats in a bar, quarter notes a beat.
BEATS = [
    ("2/4", 2, "1"),  # Open Music Theory, meter; Hutchinson, basics of rhythm
    ("3/4", 3, "1"),
    ("4/4", 4, "1"),
    ("6/8", 2, "3/2"),  # Open Music Theory, meter; music21 10.5.1 beatCount
    ("9/8", 3, "3/2"),
    ("12/8", 4, "3/2"),
    ("3/8", 1, "3/2"),  # music21 10.5.1 beatCount
    ("6/4", 2, "3"),
    ("5/4", 5, "1"),  # music21 10.5.1: a plain 5/4 has five beats, a plain 7/8 seven
    ("7/8", 7, "1/2"),
    ("2/2", 2, "2"),  # common practice, no source
    ("3/2", 3, "2"),
    ("2/8", 2, "1/2"),
    ("6/16", 2, "3/4"),
    ("9/4", 3, "3"),
    ("4/8", 4, "1/2"),
    ("1/4", 1, "1"),
]
# Bar lengths in quarter notes (arithmetic).
LENGTHS = [("4/4", "4"), ("3/4", "3"), ("6/8", "3"), ("7/8", "7/2"), ("2/2", "4"), ("3/16", "3/4")]

meters = st.builds(Meter, st.integers(1, 99), st.sampled_from(UNITS))


@pytest.mark.parametrize(("text", "beats", "beat"), BEATS)
def test_felt_beats(text: str, beats: int, beat: str) -> None:
    meter = Meter.parse(text)
    assert (meter.beats, meter.beat) == (beats, Fraction(beat))
    assert str(meter) == text


@pytest.mark.parametrize(("text", "quarters"), LENGTHS)
def test_bar_lengths(text: str, quarters: str) -> None:
    assert Meter.parse(text).quarters == Fraction(quarters)


@pytest.mark.parametrize(
    ("text", "offset", "beat"),
    [
        ("4/4", "0", "1"),
        ("4/4", "5/2", "7/2"),
        ("6/8", "3/2", "2"),
        ("6/8", "1/2", "4/3"),
        ("6/8", "5/2", "8/3"),
        ("12/8", "9/2", "4"),
        ("2/2", "2", "2"),
        ("2/2", "1", "3/2"),
        ("3/8", "1", "5/3"),
    ],
)
def test_places_in_the_bar(text: str, offset: str, beat: str) -> None:
    meter = Meter.parse(text)
    assert meter.beat_at(Fraction(offset)) == Fraction(beat)
    assert meter.offset_of(Fraction(beat)) == Fraction(offset)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "4",
        "4/",
        "/4",
        "4/4/4",
        "0/4",
        "04/4",
        "4 / 4",
        "-3/4",
        "3.5/4",
        "C",
        "2+/8",
        "+3/8",
        "2 + 3/8",
        "2+0/8",
        "2++3/8",
        "100/4",
    ],
)
def test_unreadable_meters_say_so(text: str) -> None:
    with pytest.raises(ValueError, match="no meter"):
        Meter.parse(text)


@pytest.mark.parametrize("text", ["4/3", "4/5", "4/64", "6/7", "4/12"])
def test_lower_numbers_are_note_values(text: str) -> None:
    with pytest.raises(ValueError, match="lower number"):
        Meter.parse(text)


@pytest.mark.parametrize("count", [0, -1, 100])
def test_upper_numbers_have_bounds(count: int) -> None:
    with pytest.raises(ValueError, match="1 to 99"):
        Meter(count, 4)


@given(meters)
def test_beats_fill_the_bar(meter: Meter) -> None:
    assert meter.beats * meter.beat == meter.quarters
    assert meter.beats >= 1
    assert Meter.parse(str(meter)) == meter
    assert meter.beat_at(meter.quarters) == meter.beats + 1


@given(meters, st.fractions(0, 99))
def test_places_round_trip(meter: Meter, place: Fraction) -> None:
    assert meter.offset_of(meter.beat_at(place)) == place


# Meter, groups where the sheet gives none, where they begin: MSU open book, chapter 27, for 3+2 and
# 2+3, 2+2+3, 3+2+2 and 2+3+2, 3+3+2; which is the usual one is common practice, no source.
GROUPS = [
    ("5/4", (), "0 3"),
    ("5/4", (2, 3), "0 2"),
    ("5/8", (), "0 3/2"),
    ("7/8", (), "0 1 2"),
    ("7/8", (3, 2, 2), "0 3/2 5/2"),
    ("7/8", (2, 3, 2), "0 1 5/2"),
    ("7/4", (), "0 2 4"),
    ("8/8", (), "0 3/2 3"),
    ("8/4", (), "0"),
    ("4/4", (), "0"),
    ("6/8", (), "0"),
    ("4/4", (2, 3), "0"),  # groups of another count
    ("2+3/8", (3, 2), "0 1"),  # what the sheet writes goes first
    ("4+2+3/8", (), "0 2 3"),
]


@pytest.mark.parametrize(("text", "groups", "starts"), GROUPS)
def test_where_the_groups_of_a_bar_begin(text: str, groups: tuple[int, ...], starts: str) -> None:
    meter = Meter.parse(text)
    found = meter.group_places(meter.quarters, groups=groups)
    assert found == [Fraction(start) for start in starts.split()]


def test_a_pickup_has_the_groups_that_are_left() -> None:
    assert Meter(7, 8).group_places(Fraction(5, 2), Fraction(1)) == [0, 1]
    assert Meter(5, 4).group_places(Fraction(1), Fraction(4)) == []


@pytest.mark.parametrize(
    ("text", "beats", "beat"),
    [
        # music21 10.5.1: a written sum has a beat a group; here its notes are counted.
        ("2+2+3/8", 7, "1/2"),
        ("3+2/4", 5, "1"),
        ("2+2+2/8", 6, "1/2"),  # six eighths, not two dotted quarters
        ("3+3/8", 2, "3/2"),
    ],
)
def test_the_beats_of_a_written_sum(text: str, beats: int, beat: str) -> None:
    meter = Meter.parse(text)
    assert (meter.beats, meter.beat) == (beats, Fraction(beat))
    assert str(meter) == text


@pytest.mark.parametrize(
    ("count", "groups", "why"),
    [(7, (2, 2), "make 7"), (7, (7,), "two groups"), (7, (7, 0), "two groups")],
)
def test_groups_fill_the_bar(count: int, groups: tuple[int, ...], why: str) -> None:
    with pytest.raises(ValueError, match=why):
        Meter(count, 8, groups)


def test_one_group_is_a_plain_meter() -> None:
    assert Meter.grouped([4], 4) == Meter(4, 4)
    assert Meter.grouped([3, 2], 4) == Meter.parse("3+2/4")


sums = st.lists(st.integers(1, 9), min_size=2, max_size=8)


@given(sums, st.sampled_from(UNITS))
def test_any_written_sum_is_read_as_it_is_written(groups: list[int], unit: int) -> None:
    meter = Meter.grouped(groups, unit)
    assert Meter.parse(str(meter)) == meter
    assert meter.quarters == Fraction(4 * sum(groups), unit)
    starts = meter.group_places(meter.quarters)
    lengths = [
        (later - start) * unit / 4
        for start, later in zip(starts, [*starts[1:], meter.quarters], strict=True)
    ]
    assert lengths == groups


@given(meters)
def test_groups_begin_on_beats_and_at_the_bar_line(meter: Meter) -> None:
    starts = meter.group_places(meter.quarters)
    assert starts[0] == 0
    assert set(starts) <= set(meter.beat_places(meter.quarters))
