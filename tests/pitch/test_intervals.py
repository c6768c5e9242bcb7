"""Intervals: sizes, names and moves on the circle of fifths.

References
----------
Hutchinson, *Music Theory for the 21st-Century Classroom* (MT21C), Intervals.
"""

import pytest

from chartwalk.pitch import Interval, Name

# MT21C Intervals: semitones of each simple interval; the tritone is A4 or d5.
SEMITONES = [
    ("P1", 0),
    ("m2", 1),
    ("M2", 2),
    ("m3", 3),
    ("M3", 4),
    ("P4", 5),
    ("A4", 6),
    ("d5", 6),
    ("P5", 7),
    ("m6", 8),
    ("M6", 9),
    ("m7", 10),
    ("M7", 11),
    ("P8", 12),
]
# Compound and altered ones, by the same rule: an octave adds 12, augmented +1, diminished -1.
MORE = [
    ("m9", 13),
    ("M9", 14),
    ("A9", 15),
    ("P11", 17),
    ("A11", 18),
    ("m13", 20),
    ("M13", 21),
    ("P15", 24),
    ("d7", 9),
    ("A5", 8),
    ("d4", 4),
    ("A1", 1),
    ("A2", 3),
    ("d3", 2),
    ("A6", 10),
    ("AA4", 7),
    ("dd5", 5),
    ("d8", 11),
]
# Circle of fifths: how far each interval moves on it, sharpwards positive (arithmetic).
FIFTHS = [("M2", 2), ("m3", -3), ("M3", 4), ("P4", -1), ("P5", 1), ("m2", -5), ("A1", 7)]


@pytest.mark.parametrize(("name", "semitones"), SEMITONES + MORE)
def test_sizes(name: str, semitones: int) -> None:
    interval = Interval.parse(name)
    assert interval.semitones == semitones
    assert interval.letters == int(name.lstrip("PMmAd")) - 1


@pytest.mark.parametrize(("name", "semitones"), SEMITONES + MORE)
def test_sizes_downwards(name: str, semitones: int) -> None:
    interval = Interval.parse(f"-{name}")
    assert interval.semitones == -semitones
    assert interval.letters == -Interval.parse(name).letters


@pytest.mark.parametrize(("name", "fifths"), FIFTHS)
def test_moves_on_the_circle_of_fifths(name: str, fifths: int) -> None:
    assert Interval.parse(name).fifths == fifths
    assert Interval.parse(f"-{name}").fifths == -fifths
    for place in range(-7, 8):
        moved = Name.from_fifths(place) + Interval.parse(name)
        assert moved.fifths == place + fifths


@pytest.mark.parametrize(
    ("start", "interval", "end"),
    [
        ("F#", "m3", "A"),  # F# minor up a minor third is A minor
        ("Eb", "M2", "F"),  # Eb7 up a tone is F7
        ("B", "M3", "D#"),
        ("Gb", "M2", "Ab"),
        ("Dbb", "M2", "Ebb"),
        ("Fb", "M2", "Gb"),
        ("Bbb", "P5", "Fb"),
        ("E", "A4", "A#"),
        ("E", "d5", "Bb"),
        ("C#", "M7", "B#"),
        ("G#", "M7", "F##"),
        ("D#", "M3", "F##"),
        ("C##", "m3", "E#"),
        ("Gb", "m3", "Bbb"),
        ("Gb", "d5", "Dbb"),
    ],
)
def test_names_keep_their_letters(start: str, interval: str, end: str) -> None:
    assert (Name.parse(start) + Interval.parse(interval)).ascii == end
    assert (Name.parse(end) + Interval.parse(f"-{interval}")).ascii == start


@pytest.mark.parametrize(
    "text",
    [
        "",
        "P",
        "5",
        "P3",
        "M5",
        "m4",
        "M8",
        "P0",
        "M-3",
        "X3",
        "P05",
        "m",
        "++M3",
        "--M3",
        "M3 ",
        "AAA4",
    ],
)
def test_unreadable_intervals_say_so(text: str) -> None:
    with pytest.raises(ValueError, match="no interval"):
        Interval.parse(text)
