"""Where a key goes, and what the way there is called.

References
----------
Hutchinson, *Music Theory for the 21st-Century Classroom* (MT21C), chapters on major scales, minor
scales and intervals: the fifteen keys of either mode, the sound-alike keys, the semitones of the
intervals.
"""

from itertools import product

import pytest

from chartwalk.key import MODES, Key
from chartwalk.pitch import Interval
from chartwalk.transpose import FARTHEST, interval_between, interval_words, key_at

KEYS = [Key(fifths, mode) for fifths, mode in product(range(-7, 8), MODES)]
SHIFTS = range(-12, 13)

# From the written key by semitones. The tonics are counted on the keyboard; which of the
# sound-alike keys of MT21C (B = Cb, F# = Gb, C# = Db) has fewer signs follows from its table.
MOVED = [
    ("C major", 1, "Db major"),
    ("C major", 3, "Eb major"),
    ("C major", -1, "B major"),
    ("G major", -3, "E major"),
    ("Eb major", 2, "F major"),
    ("Bb major", 3, "Db major"),
    ("B major", 4, "Eb major"),  # D# major would need nine sharps
    ("E major", 4, "Ab major"),
    ("F# minor", 3, "A minor"),
    ("A minor", 1, "Bb minor"),
    ("A minor", -1, "G# minor"),
    ("D minor", 6, "G# minor"),
    ("E minor", 6, "Bb minor"),
    ("C# major", 1, "D major"),
    ("Cb major", -1, "Bb major"),
    ("C# major", 5, "F# major"),
    ("Cb major", 7, "Gb major"),
]

# Six sharps or six flats: the side of the written key, flats from neither (common practice, no
# source).
TIES = [
    ("C major", 6, "Gb major"),
    ("C major", -6, "Gb major"),
    ("F major", 1, "Gb major"),
    ("Db major", 5, "Gb major"),
    ("G major", -1, "F# major"),
    ("A major", -3, "F# major"),
    ("B major", 7, "F# major"),
    ("A minor", 6, "Eb minor"),
    ("D minor", 1, "Eb minor"),
    ("E minor", -1, "D# minor"),
    ("F# minor", -3, "D# minor"),
]

# From C, up and down: C Db D Eb E F Gb G Ab A Bb B C. Names of the intervals by MT21C.
UP_FROM_C = "P1 m2 M2 m3 M3 P4 d5 P5 m6 M6 m7 M7 P8"
DOWN_FROM_C = "P1 -m2 -M2 -m3 -M3 -P4 -A4 -P5 -m6 -M6 -m7 -M7 -P8"

INTERVALS = [
    ("F# minor", 3, "m3"),
    ("Eb major", 2, "M2"),
    ("B major", 4, "d4"),
    ("B major", 2, "d3"),
    ("Gb major", 5, "A3"),
    ("Cb major", 1, "A1"),
    ("C# major", -1, "-A1"),
    ("G major", -3, "-m3"),
    ("G major", -5, "-P4"),
    ("E minor", 6, "d5"),
    ("E minor", -6, "-A4"),
]

WORDS = [
    ("P1", "as written"),
    ("m2", "up a minor second"),
    ("-M2", "down a major second"),
    ("m3", "up a minor third"),
    ("-M3", "down a major third"),
    ("-P4", "down a perfect fourth"),
    ("A4", "up an augmented fourth"),
    ("-A4", "down an augmented fourth"),
    ("d5", "up a diminished fifth"),
    ("-d5", "down a diminished fifth"),
    ("P5", "up a perfect fifth"),
    ("m6", "up a minor sixth"),
    ("-M6", "down a major sixth"),
    ("m7", "up a minor seventh"),
    ("M7", "up a major seventh"),
    ("P8", "up an octave"),
    ("-P8", "down an octave"),
    # from sharps to flats or back: said as it sounds
    ("d3", "up a major second"),
    ("d4", "up a major third"),
    ("-A3", "down a perfect fourth"),
    ("d6", "up a perfect fifth"),
    ("A1", "up a minor second"),
]


@pytest.mark.parametrize(("key", "semitones", "moved"), MOVED + TIES)
def test_keys_worked_by_hand(key: str, semitones: int, moved: str) -> None:
    assert key_at(Key.parse(key), semitones).ascii == moved


@pytest.mark.parametrize("key", KEYS, ids=str)
def test_the_new_key_has_the_fewest_sharps_or_flats(key: Key) -> None:
    for semitones in SHIFTS:
        moved = key_at(key, semitones)
        goal = (key.tonic.pitch_class + semitones) % 12
        alike = [k for k in KEYS if k.mode == key.mode and k.tonic.pitch_class == goal]
        assert moved in alike
        if semitones % 12:
            assert abs(moved.fifths) == min(abs(k.fifths) for k in alike)


@pytest.mark.parametrize("key", KEYS, ids=str)
def test_an_octave_keeps_the_key_as_written(key: Key) -> None:
    assert key_at(key, 0) == key_at(key, 12) == key_at(key, -12) == key


@pytest.mark.parametrize("key", KEYS, ids=str)
def test_the_interval_leads_from_tonic_to_tonic(key: Key) -> None:
    for semitones in SHIFTS:
        interval = interval_between(key, semitones)
        assert interval.semitones == semitones
        assert key.tonic + interval == key_at(key, semitones).tonic


@pytest.mark.parametrize(("row", "sign"), [(UP_FROM_C, 1), (DOWN_FROM_C, -1)])
def test_the_intervals_from_c(row: str, sign: int) -> None:
    found = [interval_between(Key(), sign * semitones) for semitones in range(13)]
    assert found == [Interval.parse(name) for name in row.split()]


@pytest.mark.parametrize(("key", "semitones", "interval"), INTERVALS)
def test_intervals_worked_by_hand(key: str, semitones: int, interval: str) -> None:
    assert interval_between(Key.parse(key), semitones) == Interval.parse(interval)


@pytest.mark.parametrize(("interval", "words"), WORDS)
def test_intervals_in_words(interval: str, words: str) -> None:
    assert interval_words(Interval.parse(interval)) == words


@pytest.mark.parametrize("semitones", [FARTHEST + 1, -FARTHEST - 1])
def test_nothing_moves_farther_than_an_octave(semitones: int) -> None:
    for refused in (
        lambda: key_at(Key(), semitones),
        lambda: interval_between(Key(), semitones),
        lambda: interval_words(Interval(7, semitones)),
    ):
        with pytest.raises(ValueError, match=f"at most 12 semitones, not {semitones}"):
            refused()
