"""Measures that nobody can count as one: counted off into bars, with nothing lost."""

from collections.abc import Callable
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chartwalk.chart import Chart
from chartwalk.musicxml import read_bytes
from chartwalk.reading import Reading

Read = Callable[..., Reading]
Order = Callable[[Chart], str]

TOO_LONG = "a bar far too long: bars of {} are counted off"


def time(beats: int, unit: int) -> str:
    return f"<time><beats>{beats}</beats><beat-type>{unit}</beat-type></time>"


def notes(chart: Chart) -> str:
    return " | ".join(
        " ".join(
            f"{note.pitch.ascii if note.pitch else 'r'}:{note.length}{'~' * note.tied}"
            for note in bar.tune
        )
        for bar in chart.bars
    )


def told(reading: Reading) -> list[tuple[str | None, str]]:
    return [(warning.bar, warning.message) for warning in reading.warnings]


# A bar as long as can be counted, and one a sixteenth longer: common practice, no source.
@pytest.mark.parametrize(
    ("meter", "most", "own"),
    [((4, 4), 12, "12/4"), ((3, 4), 12, "12/4"), ((6, 8), 6, "12/8"), ((12, 8), 12, "24/8")],
)
def test_the_longest_bar(read_sheet: Read, meter: tuple[int, int], most: int, own: str) -> None:
    head = time(*meter)
    kept = read_sheet(f". / C5:{most}", attributes=head)
    assert [str(bar.meter) for bar in kept.chart.bars][1:] == [own]
    divided = read_sheet(f". / C5:{most}.25", attributes=head)
    assert str(divided.chart.bars[1].meter) == "/".join(map(str, meter))
    message = TOO_LONG.format("/".join(map(str, meter)))
    assert told(divided)[0] == ("2", message)


def test_forty_four_quarters_are_eleven_bars(read_sheet: Read) -> None:
    reading = read_sheet("D5:4 / C5:44 / D5:4")
    assert notes(reading.chart) == " | ".join(["D5:4"] + ["C5:4~"] * 10 + ["C5:4", "D5:4"])
    numbers = [bar.number for bar in reading.chart.bars]
    assert numbers == ["1", "2", *[f"2.{count}" for count in range(2, 12)], "3"]
    assert told(reading) == [("2", TOO_LONG.format("4/4"))]


def test_what_is_left_over_is_a_bar_of_its_own(read_sheet: Read) -> None:
    reading = read_sheet("C5:4 / C5:14")
    assert [str(bar.meter) for bar in reading.chart.bars] == ["4/4"] * 4 + ["2/4"]
    assert told(reading)[1][0] == "2.4"


def test_without_a_meter_the_bars_are_four_quarters(read_sheet: Read) -> None:
    reading = read_sheet("C5:20 / C5:20", attributes="<key><fifths>0</fifths></key>")
    assert [str(bar.meter) for bar in reading.chart.bars] == ["4/4"] * 10


def test_the_road_holds_at_both_ends(read_sheet: Read, order: Order) -> None:
    """A repeat with endings around a bar of twenty quarters, after a pickup."""
    reading = read_sheet("C5:1 / C5:4 / |: C5:20 / [1 D5:4 ] :| / [2 E5:4 / F5:4")
    assert reading.chart.bars[0].pickup
    assert order(reading.chart) == "1 2 3 3.2 3.3 3.4 3.5 4 3 3.2 3.3 3.4 3.5 5 6"


def test_a_repeat_that_is_one_such_bar(read_sheet: Read, order: Order) -> None:
    reading = read_sheet("C5:4 / |: C5:16 :| / C5:4")
    assert order(reading.chart) == "1 2 2.2 2.3 2.4 2 2.2 2.3 2.4 3"


# One measure of twenty quarters, a whole note each bar of 4/4, and where its signs let go on.
@pytest.mark.parametrize(
    ("music", "bars"),
    [
        ("C5:4 D5:4 w:Fine E5:4 F5:4 G5:4 w:D.C._al_Fine", "1 1.2 1.3 1.4 1.5 1 1.2"),
        ("C5:4 D5:4 s:fine E5:4 F5:4 G5:4 s:dacapo", "1 1.2 1.3 1.4 1.5 1 1.2"),
        ("C5:4 D5:4 segno E5:4 F5:4 G5:4 w:D.S. / A5:4", "1 1.2 1.3 1.4 1.5 1.3 1.4 1.5 2"),
        ("C5:4 w:To_Coda D5:4 E5:4 F5:4 G5:4 w:D.C._al_Coda / w:Coda A5:4",
         "1 1.2 1.3 1.4 1.5 1 2"),
        ("C5:4 D5:2 w:Fine D5:2 E5:4 F5:4 G5:4 w:D.C._al_Fine", "1 1.2 1.3 1.4 1.5 1 1.2"),
    ],
)  # fmt: skip
def test_signs_within(read_sheet: Read, order: Order, music: str, bars: str) -> None:
    assert order(read_sheet(music).chart) == bars


def test_chords_and_words_stay_with_their_notes(read_sheet: Read) -> None:
    reading = read_sheet("h:C C5:6'one h:F D5:6'two h:G E5:8'three / h:C C5:4'four")
    chart = reading.chart
    assert notes(chart) == "C5:4~ | C5:2 D5:2~ | D5:4 | E5:4~ | E5:4 | C5:4"
    changes = [
        (bar.number, str(change.at), change.symbol.text)
        for bar in chart.bars
        for change in bar.changes
    ]
    assert changes == [("1", "0", "C"), ("1.2", "2", "F"), ("1.4", "0", "G"), ("2", "0", "C")]
    words = [(bar.number, bar.words[0][0].text) for bar in chart.bars if bar.words]
    assert words == [("1", "one"), ("1.2", "two"), ("1.4", "three"), ("2", "four")]
    assert told(reading) == [("1", TOO_LONG.format("4/4"))]


def test_other_voices_are_cut_with_the_first(read_sheet: Read) -> None:
    below = (
        "<backup><duration>384</duration></backup><note><pitch><step>C</step><octave>4</octave>"
        "</pitch><duration>384</duration><voice>2</voice></note>"
    )
    chart = read_sheet("E5:8 F5:8 {below} / C5:4", below=below).chart
    assert notes(chart) == "E5:4~ | E5:4 | F5:4~ | F5:4 | C5:4"


def test_sections_and_keys_within(read_sheet: Read) -> None:
    mark = "<direction><direction-type><rehearsal>Verse</rehearsal></direction-type></direction>"
    key = "<attributes><key><fifths>1</fifths></key></attributes>"
    chart = read_sheet("C5:8 {mark} {key} D5:8 / C5:4", mark=mark, key=key).chart
    assert [(section.name, len(section.bars)) for section in chart.sections] == [
        ("", 2),
        ("Verse", 3),
    ]
    assert [bar.key.fifths for bar in chart.bars] == [0, 0, 1, 1, 1]


def test_what_is_left_out_is_told_at_its_bar(read_sheet: Read) -> None:
    grace = "<note><grace/><pitch><step>C</step><octave>5</octave></pitch></note>"
    reading = read_sheet("C5:20 / {grace} C5:4", grace=grace)
    assert told(reading)[-1] == ("2", "grace notes are left out")


def test_a_fermata_stands_where_its_note_ends(read_sheet: Read) -> None:
    held = (
        "<note><pitch><step>D</step><octave>5</octave></pitch><duration>240</duration>"
        "<notations><fermata/></notations></note>"
    )
    chart = read_sheet("C5:6 {held} / C5:4", held=held).chart
    assert notes(chart) == "C5:4~ | C5:2 D5:2~ | D5:4~ | D5:4 | C5:4"
    held_at = [bar.fermatas for bar in chart.bars]
    assert held_at == [(), (), (), (Fraction(0),), ()]


def test_no_more_bars_than_any_music_has(read_sheet: Read) -> None:
    """A measure of 83,333 quarters, more than the 10,000 bars a file may have, is cut."""
    note = "<note><rest/><duration>999999</duration></note>"
    reading = read_sheet("D5:4 {note} {note}", note=note)
    assert notes(reading.chart) == "D5:4"
    assert told(reading) == [("1", "the bar's length fits no meter: cut to 4/4")]


@given(st.lists(st.integers(1, 90), min_size=1, max_size=12))
def test_no_time_is_lost(lengths: list[int]) -> None:
    """However long the notes of a measure are, they sound as long, one after the other."""
    letters = "CDEFGAB"
    body = "".join(
        f"<note><pitch><step>{letters[place % 7]}</step><octave>5</octave></pitch>"
        f"<duration>{length}</duration></note>"
        for place, length in enumerate(lengths)
    )
    first = f"<attributes><divisions>4</divisions>{time(4, 4)}</attributes>"
    xml = f'<part-list/><part id="P1"><measure number="1">{first}{body}</measure></part>'
    chart = read_bytes(f"<score-partwise>{xml}</score-partwise>".encode(), "x").chart
    sounding: list[tuple[str, Fraction]] = []
    tied = False
    for note in (note for bar in chart.bars for note in bar.tune):
        if note.pitch is None:
            continue
        letter = note.pitch.name.letter
        if tied:
            assert sounding[-1][0] == letter
            sounding[-1] = letter, sounding[-1][1] + note.length
        else:
            sounding.append((letter, note.length))
        tied = note.tied
    assert sounding == [(letters[place % 7], Fraction(n, 4)) for place, n in enumerate(lengths)]
    assert all(bar.length <= 12 for bar in chart.bars)
