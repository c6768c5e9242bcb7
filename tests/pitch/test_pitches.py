"""Pitches and MIDI keys: C4 is middle C, MIDI key 60 (ISO 16:1975 for A4; MIDI 1.0)."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chartwalk.pitch import Interval, Name, Pitch

KEYS = [
    # MIDI numbers of the piano's ends, middle C and the tuning note: 440 * 2^((n - 69) / 12).
    ("C4", 60),
    ("A4", 69),
    ("A0", 21),
    ("C8", 108),
    # The octave belongs to the letter: common practice, no source.
    ("B#3", 60),
    ("Cb4", 59),
    ("B3", 59),
    ("Dbb4", 60),
    ("B##3", 61),
    ("Cbb4", 58),
    ("E#4", 65),
    ("Fb4", 64),
    ("F##4", 67),
    ("C-1", 0),
    ("G9", 127),
]
FREQUENCIES = [("C4", 261.6256), ("A4", 440.0), ("A0", 27.5), ("C8", 4186.009)]

names = st.builds(Name, st.sampled_from("CDEFGAB"), st.integers(-2, 2))
pitches = st.builds(Pitch, names, st.integers(-1, 9))


def _interval(letters: int, shift: int, down: bool) -> Interval:
    natural = 12 * (letters // 7) + (0, 2, 4, 5, 7, 9, 11)[letters % 7]
    upwards = Interval(letters, natural + shift)
    return _turned(upwards) if down else upwards


def _turned(interval: Interval) -> Interval:
    """The same interval the other way."""
    return Interval(-interval.letters, -interval.semitones)


intervals = st.builds(_interval, st.integers(0, 20), st.integers(-1, 1), st.booleans())


@pytest.mark.parametrize(("text", "midi"), KEYS)
def test_midi_keys(text: str, midi: int) -> None:
    assert Pitch.parse(text).midi == midi
    assert Pitch.parse(text).ascii == text


@pytest.mark.parametrize(("text", "hertz"), FREQUENCIES)
def test_frequencies_of_the_keys(text: str, hertz: float) -> None:
    assert 440 * 2 ** ((Pitch.parse(text).midi - 69) / 12) == pytest.approx(hertz, rel=1e-6)


def test_piano_has_88_keys() -> None:
    # 52 white and 36 black keys from A0 to C8.
    keyboard = [Pitch.from_midi(key) for key in range(21, 109)]
    white = [pitch for pitch in keyboard if pitch.name.alter == 0]
    assert (str(keyboard[0]), str(keyboard[-1])) == ("A0", "C8")
    assert (len(keyboard), len(white)) == (88, 52)


@pytest.mark.parametrize(
    ("one", "other"), [("B#3", "C4"), ("Cb4", "B3"), ("F##4", "G4"), ("Ebb4", "D4"), ("C#4", "Db4")]
)
def test_sound_alikes_are_different_pitches_on_one_key(one: str, other: str) -> None:
    assert Pitch.parse(one).midi == Pitch.parse(other).midi
    assert Pitch.parse(one) != Pitch.parse(other)


@pytest.mark.parametrize(
    "scale",
    [
        # MT21C MajorScales by signature: the seven notes of each key keep their names.
        (0, "C D E F G A B"),
        (7, "C# D# E# F# G# A# B#"),
        (-7, "Cb Db Eb Fb Gb Ab Bb"),
        (-5, "Db Eb F Gb Ab Bb C"),
        (3, "A B C# D E F# G#"),
        (-2, "Bb C D Eb F G A"),
    ],
)
def test_keys_are_spelled_by_the_signature(scale: tuple[int, str]) -> None:
    fifths, text = scale
    for name in map(Name.parse, text.split()):
        key = Pitch(name, 4).midi
        assert Pitch.from_midi(key, fifths) == Pitch(name, 4)


@pytest.mark.parametrize(
    ("fifths", "names"),
    [
        (0, "C Db D Eb E F F# G Ab A Bb B"),
        (1, "C C# D Eb E F F# G Ab A Bb B"),
        (-1, "C Db D Eb E F Gb G Ab A Bb B"),
    ],
)
def test_all_twelve_keys_from_the_lowered_second_to_the_raised_fourth(
    fifths: int, names: str
) -> None:
    # Our choice of window on the line of fifths, by hand: D♭ to F♯ in C, A♭ to C♯ in G,
    # G♭ to B in F.
    spelled = [Pitch.from_midi(key, fifths).name.ascii for key in range(60, 72)]
    assert " ".join(spelled) == names


@pytest.mark.parametrize(
    ("start", "interval", "end"),
    [
        # Arithmetic on the circle of fifths; letters are counted, then semitones.
        ("C4", "M3", "E4"),
        ("B3", "m2", "C4"),
        ("B3", "A1", "B#3"),
        ("Bb3", "m7", "Ab4"),
        ("Cb4", "m2", "Dbb4"),
        ("F#4", "A4", "B#4"),
        ("C4", "-m2", "B3"),
        ("C4", "-A1", "Cb4"),
        ("C4", "P8", "C5"),
        ("C4", "M13", "A5"),
        ("E4", "-P12", "A2"),
        ("Gb4", "d7", "Fbb5"),
    ],
)
def test_moving_a_pitch(start: str, interval: str, end: str) -> None:
    assert (Pitch.parse(start) + Interval.parse(interval)).ascii == end
    assert (Pitch.parse(end) + _turned(Interval.parse(interval))).ascii == start


def test_order_is_by_key_then_letter() -> None:
    rising = "A#3 B3 Cb4 B#3 C4 C#4 Db4 D4".replace("b", "♭")
    shuffled = [Pitch.parse(text) for text in ("D4", "C4", "B#3", "Db4", "Cb4", "A#3", "C#4", "B3")]
    assert [str(pitch) for pitch in sorted(shuffled)] == rising.replace("#", "♯").split()


@pytest.mark.parametrize("text", ["", "C", "4", "c4", "H4", "C#b4", "C4.5", "C 4", "C4 ", "C--1"])
def test_unreadable_pitches_say_so(text: str) -> None:
    with pytest.raises(ValueError, match="no pitch"):
        Pitch.parse(text)


@given(pitches)
def test_texts_round_trip(pitch: Pitch) -> None:
    assert Pitch.parse(str(pitch)) == pitch
    assert Pitch.parse(pitch.ascii) == pitch
    assert Name.parse(str(pitch.name)) == pitch.name
    assert Name.parse(pitch.name.ascii) == pitch.name


@given(st.integers(0, 127), st.integers(-7, 7))
def test_midi_round_trips(key: int, fifths: int) -> None:
    pitch = Pitch.from_midi(key, fifths)
    assert pitch.midi == key
    assert -3 <= pitch.name.alter <= 3


@given(st.integers(-7, 7))
def test_each_key_of_the_octave_has_its_own_name(fifths: int) -> None:
    assert len({Pitch.from_midi(key, fifths).name for key in range(60, 72)}) == 12


@given(pitches, intervals)
def test_semitones_add_up(pitch: Pitch, interval: Interval) -> None:
    assert (pitch + interval).midi - pitch.midi == interval.semitones
    assert pitch + interval + _turned(interval) == pitch
    assert (pitch + interval).name == pitch.name + interval


@given(names, intervals)
def test_names_come_back(name: Name, interval: Interval) -> None:
    assert name + interval + _turned(interval) == name
    assert (name + interval).fifths == name.fifths + interval.fifths


@given(names)
def test_fifths_round_trip(name: Name) -> None:
    assert Name.from_fifths(name.fifths) == name
    assert name.pitch_class == 7 * name.fifths % 12


@given(names)
def test_friendly_names_sound_the_same_and_are_plain(name: Name) -> None:
    if name.friendly:
        assert name.friendly.pitch_class == name.pitch_class
        assert name.friendly.friendly is None
        assert abs(name.friendly.alter) <= 1
    else:
        assert abs(name.alter) <= 1
