"""Fields: head, key, meter, unit note length, tempo, in the head and within the tune."""

from collections.abc import Callable
from fractions import Fraction

import pytest

from chartwalk.abc import loads
from chartwalk.chart import Chart
from chartwalk.reading import Reading

Tune = Callable[..., Reading]
Notes = Callable[[Chart], str]
Told = Callable[[Reading], list[str]]

# Section 3.1.14: rows of its table of keys, and its examples; then clefs (4.6) and real slips.
KEYS = [
    ("G", "G major", ""), ("Am", "A minor", ""), ("A min", "A minor", ""), ("Bb", "B♭ major", ""),
    ("F#m", "F♯ minor", ""), ("C ionian", "C major", ""), ("A aeolian", "A minor", ""),
    ("", "C major", ""), ("none", "C major", ""), ("GM", "G major", "read as G major"),
    ("D dorian", "A minor", "by its signature"), ("DMix", "G major", "by its signature"),
    ("EPhr", "A minor", "by its signature"), ("FLyd", "C major", "by its signature"),
    ("BLoc", "A minor", "by its signature"), ("F#MIX", "B major", "by its signature"),
    ("G#Mix", "C♯ major", "by its signature"), ("FbLyd", "C♭ major", "by its signature"),
    ("D =c", "G major", ""), ("D maj =c", "G major", ""), ("D exp _b _e ^f", "C major", "its own"),
    ("HP", "D major", "bagpipe"), ("Hp", "D major", "bagpipe"),
    ("G clef=bass", "G major", ""), ("Am bass", "A minor", ""), ("E min treble-8", "E minor", ""),
    ("C transpose=-2", "C major", "-2 semitones"), ("C t=12", "C major", ""),
    ("G#", "C♯ major", "more than 7"), ("Q", "C major", "no key"), ("G zz", "G major", "'zz'"),
    ("^f", "C major", "without a key"), ("^f bass", "C major", "without a key"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "key", "warning"), KEYS)
def test_keys(tune: Tune, text: str, key: str, warning: str) -> None:
    reading = tune("C4", K=text)
    assert str(reading.chart.bars[0].key) == key
    assert len(reading.warnings) == bool(warning)
    assert warning in "".join(warning.message for warning in reading.warnings)


@pytest.mark.parametrize(
    ("text", "named"),
    [("G", True), ("C", True), ("D exp _b", True), ("HP", True), ("none ^f", True),
     ("none", False), ("", False), ("clef=bass", False), ("Q", False)],
)  # fmt: skip
def test_whether_a_key_is_named(tune: Tune, text: str, named: bool) -> None:
    """Section 3.1.14: an empty field and K:none give no key at all."""
    assert tune("C4", K=text).keyed is named


def test_a_key_that_is_named_within_the_tune(tune: Tune) -> None:
    assert tune("C4|[K:G]D4|", K="none").keyed


@pytest.mark.parametrize(
    ("key", "expected"),
    [
        ("D", "F#4:1 C#5:1 B4:1 F#5:1"),
        ("Gm", "F4:1 C5:1 Bb4:1 F5:1"),
        ("D Phr ^f", "F#4:1 C5:1 Bb4:1 F#5:1"),  # Ahavoh Rabboh, 3.1.14
        ("D exp _b _e ^f", "F#4:1 C5:1 Bb4:1 F#5:1"),
        ("Hp", "F#4:1 C#5:1 B4:1 F#5:1"),
        ("C octave=-1", "F3:1 C4:1 B3:1 F4:1"),  # 4.6
        ("G#", "F##4:1 C#5:1 B#4:1 F##5:1"),
    ],
)
def test_what_a_key_does_to_notes(tune: Tune, notes: Notes, key: str, expected: str) -> None:
    assert notes(tune("FcBf", K=key).chart) == expected


@pytest.mark.parametrize(
    ("meter", "shown", "unit"),
    [
        ("C", "4/4", "1/2"), ("C|", "2/2", "1/2"), ("6/8", "6/8", "1/2"), ("3/4", "3/4", "1/2"),
        ("2/4", "2/4", "1/4"), ("5/8", "5/8", "1/4"), ("(2+3+2)/8", "2+3+2/8", "1/2"),
        ("2+3/8", "2+3/8", "1/4"), ("2 + 2+3/8", "2+2+3/8", "1/2"),
        ("none", "1/8", "1/2"), ("", "1/8", "1/2"),
    ],
)  # fmt: skip
def test_meter_and_the_unit_it_gives(tune: Tune, meter: str, shown: str, unit: str) -> None:
    """Sections 3.1.6 and 3.1.7: sixteenths below 0.75, else eighths."""
    bar = tune("C|", M=meter, L="").chart.bars[0]
    assert str(bar.meter) == shown
    assert bar.tune[0].length == Fraction(unit)


@pytest.mark.parametrize(
    ("text", "beats"),
    [
        ("1/4=120", "120"), ("1/2=60", "120"), ("3/8=40", "60"), ('"Allegro" 1/4=120', "120"),
        ('3/8=50 "Slowly"', "75"), ("1/4 3/8 1/4 3/8=40", "200"),  # 3.1.8: as 5/4=40
        ("120", "60"), ("C=100", "50"), ("C3=40", "60"),  # 10.1, in unit notes (eighths here)
        ("C/2=200", "50"),
        ('"Andante"', "96"), ("1/4=0", "96"), ("quick", "96"), ("C1/0=40", "96"),
    ],
)  # fmt: skip
def test_tempo(tune: Tune, text: str, beats: str) -> None:
    """Quarter notes a minute in 4/4."""
    assert tune("C8", Q=text, L="1/8").chart.bars[0].tempo == Fraction(beats)


def test_tempo_in_a_compound_meter(tune: Tune) -> None:
    assert tune("C6", Q="3/8=112", M="6/8", L="1/8").chart.bars[0].tempo == 112


def test_fields_within_the_tune(tune: Tune, notes: Notes) -> None:
    """Section 3.2: inline and on lines of their own; M: leaves the unit alone (3.1.7)."""
    reading = tune("FFFF|[M:3/4][K:G]FFF|\nL:1/8\nQ:1/4=80\nM:2/4\nFFFF|F2[K:F]BB|BBFF")
    bars = reading.chart.bars
    assert [str(bar.meter) for bar in bars] == ["4/4", "3/4", "2/4", "2/4", "2/4"]
    assert [str(bar.key) for bar in bars] == [
        "C major", "G major", "G major", "G major", "F major",
    ]  # fmt: skip
    assert [bar.tempo for bar in bars] == [96, 96, 80, 80, 80]
    assert notes(reading.chart).split(" | ")[3:] == [
        "F#4:1 Bb4:1/2 Bb4:1/2", "Bb4:1/2 Bb4:1/2 F4:1/2 F4:1/2",
    ]  # fmt: skip


def test_the_head(tune: Tune) -> None:
    text = "\n".join([
        "X:7", "T:Ebb Tide", "T:The Slack", r"C:A. N\'e", "C:B. Two", "O:Tarrowhythe", "N:slow air",
        "R:air", "Z:someone", "M:4/4", "L:1/4", "K:G % as sung", "GABc|", "W:First the ebb,",
        "W:then the flow.",
    ])  # fmt: skip
    chart = loads(text, "x.abc").chart
    assert (chart.title, chart.credit) == ("Ebb Tide", "A. Né, B. Two (Tarrowhythe)")
    assert chart.note == "also: The Slack\nslow air\nFirst the ebb,\nthen the flow."


def test_a_field_goes_on_after_a_plus(tune: Tune) -> None:
    """Section 3.3."""
    chart = loads("X:1\nT:Ebb\n+:Tide\nK:C\n% between\nC4|\nw:slack\n%%font 3\n+:wa-ter\n").chart
    assert chart.title == "Ebb Tide"


def test_bad_fields_are_told_with_what_fits(tune: Tune, told: Told) -> None:
    reading = tune("C4", M="FREI3/4", L="1/0", Q="fast", U="oops")
    assert told(reading) == [
        "3:1 M: 'FREI3/4' is read as 3/4",
        "4:1 L: '1/0' is no note length: write 1/4, 1/8 or 1/16; left out",
        "5:1 Q: 'fast' is no tempo: write 1/4=120; left out",
    ]


def test_lines_that_begin_like_fields_but_are_music(tune: Tune, notes: Notes) -> None:
    reading = tune("CDE\nF:|\nd4 ::\nG:|", L="1/4")
    assert notes(reading.chart) == "C4:1 D4:1 E4:1 F4:1 | D5:4 | G4:1"


def test_voices(tune: Tune, notes: Notes, told: Told) -> None:
    """Section 7.1: the voice with words is read, else the one with chords, else the first."""
    two = "V:1\nC4|D4|\nV:2 octave=-1\n{}E4|F4|\n{}"
    plain = tune(two.format("", ""))
    assert notes(plain.chart) == "C4:4 | D4:4"
    assert told(plain) == ["7:1 of 2 voices only 1 is read"]
    assert notes(tune(two.format('"G"', "")).chart) == "E3:4 | F3:4"
    assert notes(tune(two.format("", "w:la la")).chart) == "E3:4 | F3:4"
    assert notes(tune("[V:T]CDEF|[V:B]C,4|\n[V:T]c4|[V:B]G,4|").chart) == (
        "C4:1 D4:1 E4:1 F4:1 | C5:4"
    )


def test_a_field_between_lines_holds_for_every_voice(tune: Tune, notes: Notes, told: Told) -> None:
    reading = tune("V:1\nF4|\nV:2 octave=1\nF4|\nK:D mix\nV:1\nF4|\nV:2\nF4|\nw:la")
    assert notes(reading.chart) == "F5:4 | F#5:4"
    assert told(reading)[-1] == "10:1 K: D mix is shown by its signature, as G major"
