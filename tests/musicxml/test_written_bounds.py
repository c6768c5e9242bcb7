"""What MusicXML can't hold is changed as little as possible, and told with its bar."""

from dataclasses import replace
from fractions import Fraction

import pytest

from chartwalk.chart import Bar, Change, Chart, Note, Section, Syllable
from chartwalk.chord import ChordSymbol
from chartwalk.musicxml import read_bytes
from chartwalk.musicxml.out import write
from chartwalk.musicxml.out.bounds import bounded
from chartwalk.pitch import Name, Pitch
from chartwalk.problems import ChartError


def of(*bars: Bar) -> Chart:
    return Chart("T", (Section("", bars),))


def tune(*notes: str) -> tuple[Note, ...]:
    length = Fraction(4, len(notes))
    return tuple(Note(Pitch.parse(note.rstrip("~")), length, "~" in note) for note in notes)


def written(chart: Chart) -> tuple[Chart, list[str]]:
    """What is read back, and the warnings of the writer."""
    sheet = write(chart)
    reading = read_bytes(sheet.data, "x")
    assert reading.warnings == ()
    return reading.chart, [str(problem) for problem in sheet.warnings]


def test_octaves_that_the_standard_has_not() -> None:
    """MusicXML 4.0 `octave`: 0 to 9."""
    chart, told = written(of(Bar("7", tune=tune("C-1", "C0", "B9", "C10"))))
    assert [str(note.pitch) for note in chart.bars[0].tune] == ["C0", "C0", "B9", "C9"]
    assert told == [
        "bar 7: MusicXML has no C-1: written as C0",
        "bar 7: MusicXML has no C10: written as C9",
    ]


def test_alterations_that_nobody_writes() -> None:
    fourfold = Note(Pitch(Name("C", 4), 4), Fraction(4))
    chart, told = written(of(Bar("1", tune=(fourfold,))))
    assert [str(note.pitch) for note in chart.bars[0].tune] == ["E4"]
    assert told == ["bar 1: MusicXML has no C♯♯♯♯4: written as E4"]


def test_characters_that_xml_has_not() -> None:
    """XML 1.0, section 2.2: no U+FFFE, no U+FFFF, no surrogates."""
    chart = replace(of(Bar("1", words=((Syllable("l\uffff"),),))), title="T\ufffe", note="\ud800")
    read, told = written(chart)
    assert (read.title, read.note, read.bars[0].words[0][0].text) == (
        "T\ufffd",
        "\ufffd",
        "l\ufffd",
    )
    assert told == [
        "characters that XML has not are written as \ufffd",
        "bar 1: characters that XML has not are written as \ufffd",
    ]


@pytest.mark.parametrize("tempo", ["84", "83.25", "400/3", "83.123456", "1/1", "999", "1997/997"])
def test_tempos_that_come_back_as_they_are(tempo: str) -> None:
    chart = of(Bar("1", tempo=Fraction(tempo)))
    assert written(chart) == (chart, [])


def test_a_tempo_that_is_no_decimal_number() -> None:
    tempo = Fraction(250_000_000, 1_000_003)
    chart, told = written(of(Bar("1", tempo=tempo)))
    assert abs(chart.bars[0].tempo - tempo) < Fraction(1, 1000)
    assert len(told) == 1
    assert told[0].startswith("bar 1: a tempo of 249.99925")


def test_a_syllable_that_no_note_is_left_for() -> None:
    first = Bar("1", tune=tune("C4", "D4~"), words=((Syllable("low"), Syllable("tide")),))
    second = Bar("2", tune=tune("D4", "E4"), words=((Syllable("is"), Syllable("out")),))
    chart, told = written(of(first, second))
    assert [[s.text for s in bar.words[0]] for bar in chart.bars] == [["low", "tide"], ["is"]]
    assert told == ["bar 2: a syllable that no note is left for is not written"]


def test_lengths_that_other_programs_may_not_take() -> None:
    fine = Fraction(1, 999_983)
    chart = of(Bar("1"), Bar("2", tune=(Note(None, fine), Note(None, 4 - fine))))
    assert written(chart) == (
        chart,
        ["bar 2: lengths so fine that other programs may not take them (999983 to a quarter)"],
    )


def test_lengths_that_no_number_holds_are_refused() -> None:
    places = [Fraction(1, 10**59 + 1), Fraction(1, 10**59 - 1)]
    changes = tuple(Change(at, ChordSymbol.parse("C")) for at in sorted(places))
    with pytest.raises(ChartError) as refused:
        write(of(Bar("1"), Bar("2", changes=changes)))
    assert str(refused.value) == "bar 2: the lengths are too fine to be written as numbers"


def test_a_chart_within_the_bounds_is_itself() -> None:
    chart = of(Bar("1", tune=tune("C0", "B9")))
    assert bounded(chart)[0] is chart
