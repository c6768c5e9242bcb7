"""Names, keys and signatures against published tables.

References
----------
Hutchinson, *Music Theory for the 21st-Century Classroom* (MT21C), chapters on major scales and
minor scales.
"""

import pytest

from chartwalk.key import Key
from chartwalk.pitch import FIFTHS_ORDER, Interval, Name, accidental, alteration

# MT21C MajorScales: the fifteen major keys, seven flats to seven sharps.
MAJOR_KEYS = "Cb Gb Db Ab Eb Bb F C G D A E B F# C#"
# MT21C MinorScales: their relative minors, in the same order.
MINOR_KEYS = "Ab Eb Bb F C G D A E B F# C# G# D# A#"
SIGNATURES = range(-7, 8)
# MT21C: the order in which sharps and flats are written.
SHARPS = "F C G D A E B"
FLATS = "B E A D G C F"
# MT21C MajorScales, worked scales.
SCALES = {"Db": "Db Eb F Gb Ab Bb C", "A": "A B C# D E F# G#"}
MAJOR_SCALE = "P1 M2 M3 P4 P5 M6 M7"

# ASCII, what the screen shows, MIDI pitch class. Keyboard facts: common practice, no source.
NAMES = [
    ("C", "C", 0),
    ("C#", "C♯", 1),
    ("Db", "D♭", 1),
    ("D", "D", 2),
    ("E#", "E♯", 5),
    ("Fb", "F♭", 4),
    ("B#", "B♯", 0),
    ("Cb", "C♭", 11),
    ("F##", "F♯♯", 7),
    ("C##", "C♯♯", 2),
    ("B##", "B♯♯", 1),
    ("Bbb", "B♭♭", 9),
    ("Ebb", "E♭♭", 2),
    ("Cbb", "C♭♭", 10),
    ("Fbb", "F♭♭", 3),
]


@pytest.mark.parametrize(("fifths", "tonic"), zip(SIGNATURES, MAJOR_KEYS.split(), strict=True))
def test_fifteen_major_keys(fifths: int, tonic: str) -> None:
    assert Key(fifths).tonic.ascii == tonic
    assert Key.parse(f"{tonic} major") == Key(fifths, "major")
    assert Key(fifths).ascii == f"{tonic} major"
    assert Name.parse(tonic).fifths == fifths
    assert Name.from_fifths(fifths).ascii == tonic


@pytest.mark.parametrize(("fifths", "tonic"), zip(SIGNATURES, MINOR_KEYS.split(), strict=True))
def test_fifteen_minor_keys(fifths: int, tonic: str) -> None:
    assert Key(fifths, "minor").tonic.ascii == tonic
    assert Key.parse(f"{tonic} minor") == Key(fifths, "minor")


@pytest.mark.parametrize(
    ("major", "minor"), zip(MAJOR_KEYS.split(), MINOR_KEYS.split(), strict=True)
)
def test_relative_minor_lies_a_minor_third_below(major: str, minor: str) -> None:
    # MT21C MinorScales: three semitones down.
    assert (Name.parse(major) + Interval.parse("-m3")).ascii == minor


@pytest.mark.parametrize("fifths", range(-4, 8))
def test_parallel_minor_has_three_flats_more(fifths: int) -> None:
    # MT21C MinorScales.
    assert Key.parse(f"{Key(fifths).tonic} minor").fifths == fifths - 3


@pytest.mark.parametrize("count", range(8))
def test_signatures_are_written_in_order(count: int) -> None:
    assert [name.ascii for name in Key(count).altered] == [
        f"{letter}#" for letter in SHARPS.split()[:count]
    ]
    assert [name.ascii for name in Key(-count).altered] == [
        f"{letter}b" for letter in FLATS.split()[:count]
    ]


@pytest.mark.parametrize("count", range(1, 8))
def test_last_sharp_is_the_leading_note(count: int) -> None:
    # MT21C MajorScales: the tonic lies a half step above the last sharp.
    assert Key(count).altered[-1] + Interval.parse("m2") == Key(count).tonic


@pytest.mark.parametrize("count", range(2, 8))
def test_last_but_one_flat_is_the_tonic(count: int) -> None:
    # MT21C MajorScales.
    assert Key(-count).altered[-2] == Key(-count).tonic


@pytest.mark.parametrize("fifths", SIGNATURES)
def test_signature_in_words_names_every_sign(fifths: int) -> None:
    words = Key(fifths).signature
    assert all(str(name) in words.split() for name in Key(fifths).altered)
    assert str(abs(fifths)) in words or fifths == 0
    assert ("sharp" in words) == (fifths >= 0)
    assert ("flat" in words) == (fifths <= 0)


@pytest.mark.parametrize(("one", "other"), [("B", "Cb"), ("F#", "Gb"), ("C#", "Db")])
def test_sound_alike_keys(one: str, other: str) -> None:
    # MT21C MajorScales.
    assert Name.parse(one).pitch_class == Name.parse(other).pitch_class
    assert Name.parse(one) != Name.parse(other)


@pytest.mark.parametrize(("tonic", "scale"), SCALES.items())
def test_worked_scales(tonic: str, scale: str) -> None:
    names = [(Name.parse(tonic) + Interval.parse(step)).ascii for step in MAJOR_SCALE.split()]
    assert names == scale.split()


def test_order_of_fifths() -> None:
    assert list(FIFTHS_ORDER) == SHARPS.split()


@pytest.mark.parametrize("text", ["G# major", "Fb major", "D## minor", "Fb minor", "B# minor"])
def test_keys_past_seven_signs_are_refused(text: str) -> None:
    with pytest.raises(ValueError, match="more than 7"):
        Key.parse(text)


@pytest.mark.parametrize(
    "text", ["", "G", "major", "g major", "H major", "G dorian", "G major ", "Gmajor"]
)
def test_unreadable_keys_say_so(text: str) -> None:
    with pytest.raises(ValueError, match="no key"):
        Key.parse(text)


@pytest.mark.parametrize("fifths", [-8, 8, 100])
def test_signatures_end_at_seven(fifths: int) -> None:
    with pytest.raises(ValueError, match="at most 7"):
        Key(fifths)


def test_unknown_mode_is_refused() -> None:
    with pytest.raises(ValueError, match="no mode"):
        Key(0, "lydian")


@pytest.mark.parametrize(("plain", "shown", "pitch_class"), NAMES)
def test_names(plain: str, shown: str, pitch_class: int) -> None:
    name = Name.parse(plain)
    assert name == Name.parse(shown)
    assert (name.ascii, str(name), name.pitch_class) == (plain, shown, pitch_class)


@pytest.mark.parametrize(
    ("text", "same"),
    [("Fx", "F##"), ("F𝄪", "F##"), ("B𝄫", "Bbb"), ("C♮", "C"), ("E♭♭", "Ebb"), ("G♯", "G#")],
)
def test_other_ways_to_write_a_sign(text: str, same: str) -> None:
    # ABC 2.1, 4.18: a reader accepts the Unicode signs; x for a double sharp is common practice.
    assert Name.parse(text) == Name.parse(same)


@pytest.mark.parametrize(
    ("name", "friendly"),
    [
        # Common practice, no source: the key a player finds at once.
        ("F##", "G"),
        ("C##", "D"),
        ("G##", "A"),
        ("Bbb", "A"),
        ("Ebb", "D"),
        ("E#", "F"),
        ("B#", "C"),
        ("Cb", "B"),
        ("Fb", "E"),
        ("B##", "C#"),
        ("E##", "F#"),
        ("Cbb", "Bb"),
        ("Fbb", "Eb"),
        ("C", None),
        ("F#", None),
        ("Bb", None),
        ("Gb", None),
    ],
)
def test_friendly_names(name: str, friendly: str | None) -> None:
    found = Name.parse(name).friendly
    assert (found.ascii if found else None) == friendly


@pytest.mark.parametrize(
    "text", ["", "c", "H", "C4", "C#b", "C♯b", "Cb#", "C-", "♯", "C ", " C", "CC", "Cbbbb", "C####"]
)
def test_unreadable_names_say_so(text: str) -> None:
    with pytest.raises(ValueError, match="no note name"):
        Name.parse(text)


@pytest.mark.parametrize("letter", ["H", "c", "", "CD"])
def test_no_name_without_a_letter(letter: str) -> None:
    with pytest.raises(ValueError, match="no note letter"):
        Name(letter)


@pytest.mark.parametrize(
    ("text", "semitones"),
    [("", 0), ("#", 1), ("b", -1), ("♯♯", 2), ("bb", -2), ("x", 2), ("###", 3), ("♭♭♭", -3)],
)
def test_alterations(text: str, semitones: int) -> None:
    assert alteration(text) == semitones


@pytest.mark.parametrize("text", ["#b", "♭♯", "?", "b#b", "2"])
def test_unreadable_alterations_say_so(text: str) -> None:
    with pytest.raises(ValueError, match="no accidental"):
        alteration(text)


@pytest.mark.parametrize("alter", range(-3, 4))
def test_accidentals_round_trip(alter: int) -> None:
    assert alteration(accidental(alter)) == alter
    assert alteration(accidental(alter, ascii_only=True)) == alter
