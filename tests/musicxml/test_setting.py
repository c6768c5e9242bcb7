"""Key, meter, tempo and feel, and what holds where the file says nothing."""

from collections.abc import Callable
from fractions import Fraction

import pytest

from chartwalk.chart import DEFAULT_TEMPO
from chartwalk.reading import Reading

Read = Callable[..., Reading]


def time(beats: str, unit: str) -> str:
    return f"<time><beats>{beats}</beats><beat-type>{unit}</beat-type></time>"


def metronome(unit: str, rate: str, dots: int = 0) -> str:
    return (
        f"<direction><direction-type><metronome><beat-unit>{unit}</beat-unit>"
        f"{'<beat-unit-dot/>' * dots}<per-minute>{rate}</per-minute></metronome></direction-type>"
        "</direction>"
    )


def sound(tempo: str) -> str:
    return f'<sound tempo="{tempo}"/>'


@pytest.mark.parametrize(
    ("xml", "expected"),
    [("<fifths>-3</fifths><mode>major</mode>", "Eb major"),
     ("<fifths>-3</fifths><mode>minor</mode>", "C minor"),
     ("<fifths>2</fifths><mode>dorian</mode>", "D major"),
     ("<fifths>9</fifths>", "C# major"), ("<fifths>-12</fifths>", "Cb major"),
     ("<fifths>0</fifths><mode>none</mode>", "C major"),
     ("<key-step>C</key-step><key-alter>1</key-alter>", "C major"),
     ("<fifths>x</fifths>", "C major")],
)  # fmt: skip
def test_keys(read_sheet: Read, xml: str, expected: str) -> None:
    attributes = f"<key>{xml}</key>{time('4', '4')}"
    assert read_sheet("C5:4", attributes=attributes).chart.bars[0].key.ascii == expected


@pytest.mark.parametrize(
    ("xml", "told"),
    [("<fifths>2</fifths><mode>dorian</mode>", "'dorian' is not kept"),
     ("<fifths>9</fifths>", "9 sharps or flats is read as C♯ major"),
     ("<key-step>C</key-step><key-alter>1</key-alter>", "can't be read")],
)  # fmt: skip
def test_keys_that_a_chart_can_not_hold_are_told(read_sheet: Read, xml: str, told: str) -> None:
    change = f"<attributes><key>{xml}</key></attributes>"
    (warning,) = read_sheet("C5:4 / {k} C5:4", k=change).warnings
    assert warning.bar == "2"
    assert told in warning.message


LOWER = '<time number="2">'


def test_signatures_of_another_staff_do_not_count(read_sheet: Read) -> None:
    other = (
        '<key number="1"><fifths>1</fifths></key><key number="2"><fifths>3</fifths></key>'
        f"{time('4', '4')}{time('3', '4').replace('<time>', LOWER)}"
    )
    (bar,) = read_sheet("C5:4", attributes=other).chart.bars
    assert (bar.key.fifths, str(bar.meter)) == (1, "4/4")


def test_a_passage_without_a_meter_is_told(read_sheet: Read) -> None:
    free = "<attributes><time><senza-misura/></time></attributes>"
    reading = read_sheet("C5:4 / {f} C5:4", f=free)
    assert [str(bar.meter) for bar in reading.chart.bars] == ["4/4", "4/4"]
    (warning,) = reading.warnings
    assert warning.bar == "2"
    assert "without a meter" in warning.message


# Meters of real sheets, with the felt beats of a full bar (Open Music Theory, meter).
@pytest.mark.parametrize(
    ("beats", "unit", "quarters", "felt"),
    [("2", "4", 2, 2), ("3", "4", 3, 3), ("2", "2", 4, 2), ("3", "2", 6, 3), ("6", "8", 3, 2),
     ("12", "8", 6, 4), ("6", "4", 6, 2)],
)  # fmt: skip
def test_meters_of_real_sheets(
    read_sheet: Read, beats: str, unit: str, quarters: int, felt: int
) -> None:
    reading = read_sheet(f"C5:{quarters} / C5:{quarters}", attributes=time(beats, unit))
    for bar in reading.chart.bars:
        assert (str(bar.meter), bar.meter.beats) == (f"{beats}/{unit}", felt)
        assert bar.length == quarters
    assert not reading.warnings


@pytest.mark.parametrize(
    ("xml", "notes", "expected"),
    [(time("6", "8"), "C5:3", "6/8"), (time("3+2", "8"), "C5:2.5", "3+2/8"),
     (time("2 + 2+3", "8"), "C5:3.5", "2+2+3/8"),
     ("<time><beats>3</beats><beat-type>8</beat-type><beats>2+2</beats><beat-type>8</beat-type></time>",
      "C5:3.5", "3+2+2/8"),
     ("<time><beats>3</beats><beat-type>8</beat-type><beats>1</beats><beat-type>4</beat-type></time>",
      "C5:2.5", "5/8"),
     ('<time symbol="cut"><beats>2</beats><beat-type>2</beat-type></time>', "C5:4", "2/2"),
     ('<time symbol="common"><beats>4</beats><beat-type>4</beat-type></time>', "C5:4", "4/4")],
)  # fmt: skip
def test_meters(read_sheet: Read, xml: str, notes: str, expected: str) -> None:
    reading = read_sheet(f"{notes} / {notes}", attributes=xml)
    assert [str(bar.meter) for bar in reading.chart.bars] == [expected] * 2
    assert not reading.warnings


def test_a_file_that_says_nothing(read_sheet: Read) -> None:
    reading = read_sheet("C5:4 / C5:4", attributes="<staves>1</staves>")
    bar = reading.chart.bars[0]
    assert (str(bar.meter), bar.key.ascii, bar.tempo, bar.feel) == (
        "4/4", "C major", DEFAULT_TEMPO, "straight",
    )  # fmt: skip
    (warning,) = reading.warnings
    assert "4/4 is assumed" in warning.message


def test_a_file_without_a_meter_gets_the_one_its_bars_fill(read_sheet: Read) -> None:
    reading = read_sheet("C5:1 / C5:3 / C5:3", attributes="<staves>1</staves>")
    assert [str(bar.meter) for bar in reading.chart.bars] == ["3/4"] * 3
    assert reading.chart.bars[0].pickup


@pytest.mark.parametrize("xml", [time("4", "5"), time("x", "4"), time("0", "4"), time("200", "4")])
def test_a_meter_no_one_can_read_is_told(read_sheet: Read, xml: str) -> None:
    reading = read_sheet("C5:4 / C5:4", attributes=xml)
    assert str(reading.chart.bars[0].meter) == "4/4"
    assert any("can't be read" in warning.message for warning in reading.warnings)


def test_changes_hold_from_their_bar_on(read_sheet: Read) -> None:
    change = f"<attributes><key><fifths>1</fifths></key>{time('3', '4')}</attributes>"
    bars = read_sheet("C5:4 / {c} C5:3 / C5:3", c=change).chart.bars
    assert [(str(bar.meter), bar.key.fifths) for bar in bars] == [
        ("4/4", 0),
        ("3/4", 1),
        ("3/4", 1),
    ]
    bars = read_sheet("C5:4 {c} / C5:3", c=change).chart.bars  # a courtesy at the end of a bar
    assert [(str(bar.meter), bar.key.fifths) for bar in bars] == [("4/4", 0), ("3/4", 1)]


# The mark, the meter, and the beats a minute of that meter's own beat: arithmetic.
TEMPI = [
    (sound("120"), "4", "4", Fraction(120)),
    (sound("126"), "6", "8", Fraction(84)),
    (sound("133.33333"), "4", "4", Fraction(400, 3)),
    (metronome("quarter", "100"), "2", "2", Fraction(50)),
    (metronome("quarter", "80", 1), "6", "8", Fraction(80)),
    (metronome("half", "60"), "4", "4", Fraction(120)),
    (metronome("half", "50", 1), "3", "4", Fraction(150)),
    (metronome("whole", "30"), "4", "4", Fraction(120)),
    (metronome("16th", "400"), "4", "4", Fraction(100)),
    (metronome("quarter", "60", 2), "4", "4", Fraction(105)),
    (
        metronome("quarter", "60").replace(
            "<per-minute>",
            "<beat-unit-tied><beat-unit>eighth</beat-unit></beat-unit-tied><per-minute>",
        ),
        "4",
        "4",
        Fraction(90),
    ),
    (sound("0") + metronome("quarter", "77"), "4", "4", Fraction(77)),
    (metronome("eighth", "c. 200-220"), "4", "4", Fraction(100)),
    (metronome("quarter", "90") + sound("88"), "4", "4", Fraction(88)),
    (sound("0"), "4", "4", DEFAULT_TEMPO),
    (sound("1e9"), "4", "4", DEFAULT_TEMPO),
    (sound("999999"), "4", "4", DEFAULT_TEMPO),
    (metronome("quarter", "lively"), "4", "4", DEFAULT_TEMPO),
]


@pytest.mark.parametrize(("xml", "beats", "unit", "expected"), TEMPI)
def test_tempi(read_sheet: Read, xml: str, beats: str, unit: str, expected: Fraction) -> None:
    notes = f"C5:{4 * int(beats) // int(unit)}"
    bars = read_sheet(f"{{t}} {notes} / {notes}", t=xml, attributes=time(beats, unit)).chart.bars
    assert [bar.tempo for bar in bars] == [expected] * 2


def test_a_tempo_keeps_its_quarters_when_the_meter_changes(read_sheet: Read) -> None:
    six_eight = f"<attributes>{time('6', '8')}</attributes>"
    bars = read_sheet("{t} C5:4 / {m} C5:3 / C5:2.5", t=sound("90"), m=six_eight).chart.bars
    assert [bar.tempo for bar in bars] == [90, 60, 180]  # the last is 5/8: its beat is an eighth


def test_a_tempo_after_the_first_note_holds_from_the_next_bar(read_sheet: Read) -> None:
    bars = read_sheet("{a} C5:4 {b} / C5:4", a=sound("90"), b=sound("60")).chart.bars
    assert [bar.tempo for bar in bars] == [90, 60]


@pytest.mark.parametrize(
    ("xml", "told"),
    [(sound("0"), "a tempo of 0 can't be meant"), (sound("999999"), "a tempo of 999999"),
     (metronome("quarter", "lively"), "'lively' can't be read"),
     (metronome("breeve", "100"), "'100' can't be read")],
)  # fmt: skip
def test_a_tempo_that_is_not_kept_is_told(read_sheet: Read, xml: str, told: str) -> None:
    (warning,) = read_sheet("C5:4 / {t} C5:4", t=xml).warnings
    assert warning.bar == "2"
    assert told in warning.message


def equation(left: str, right: str) -> str:
    return (
        f"<direction><direction-type><metronome>{left}{right}</metronome></direction-type>"
        "</direction>"
    )


def test_a_note_that_equals_another_keeps_its_length(read_sheet: Read) -> None:
    """A quarter at 120 becomes a dotted quarter at 120: 180 quarters a minute, arithmetic."""
    quarter, dotted = (
        "<beat-unit>quarter</beat-unit>",
        "<beat-unit>quarter</beat-unit><beat-unit-dot/>",
    )
    equal = equation(quarter, dotted)
    reading = read_sheet("{t} C5:4 / {e} C5:4", t=sound("120"), e=equal)
    assert [bar.tempo for bar in reading.chart.bars] == [120, 180]
    assert not reading.warnings
    (warning,) = read_sheet("C5:4 / {e} C5:4", e=equal).warnings  # equal to a tempo no one knows
    assert "notes that equal others" in warning.message


def test_two_even_notes_that_equal_a_triplet_swing(read_sheet: Read) -> None:
    note = "<metronome-note><metronome-type>eighth</metronome-type>{}</metronome-note>"
    tuplet = (
        "<metronome-tuplet type='start'><actual-notes>3</actual-notes>"
        "<normal-notes>2</normal-notes></metronome-tuplet>"
    )
    relation = "<metronome-relation>equals</metronome-relation>"
    right = note.replace("eighth", "quarter").format(tuplet) + note.format("")
    reading = read_sheet("{e} C5:4", e=equation(note.format("") * 2 + relation, right))
    assert reading.chart.bars[0].feel == "swing"
    assert not reading.warnings


SWING = "<sound><swing><first>2</first><second>1</second></swing></sound>"
STRAIGHT = "<sound><swing><straight/></swing></sound>"


@pytest.mark.parametrize(
    ("bars", "expected"),
    [("{swing} C5:4 / C5:4 / {straight} C5:4", "swing swing straight"),
     ("C5:4 / w:Swing C5:4 / C5:4", "straight swing swing"),
     ("w:Medium_Swing C5:4 / C5:4 w:straight / C5:4", "swing straight straight")],
)  # fmt: skip
def test_feel(read_sheet: Read, bars: str, expected: str) -> None:
    reading = read_sheet(bars, swing=SWING, straight=STRAIGHT)
    assert " ".join(bar.feel for bar in reading.chart.bars) == expected


def test_a_sheet_without_a_key_says_so(read_sheet: Read) -> None:
    assert not read_sheet("C5:4").keyed
    assert read_sheet("C5:4", attributes=f"<key><fifths>0</fifths></key>{time('4', '4')}").keyed
