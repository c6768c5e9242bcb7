"""What players type and print, beyond the letter of the format."""

from fractions import Fraction
from pathlib import Path

import pytest

from chartwalk.chart import Bar, Sign
from chartwalk.files import open_song
from chartwalk.leadfile import dumps, loads
from chartwalk.problems import ChartError
from chartwalk.roadmap import unroll


def bars_of(rows: str, meter: str = "4/4") -> tuple[Bar, ...]:
    return loads(f"title T\nmeter {meter}\n\n{rows}").chart.bars


@pytest.mark.parametrize(
    ("printed", "sign"),
    [
        ("D.C. al Fine", Sign.DC_AL_FINE), ("D. C.", Sign.DC), ("D.S.", Sign.DS),
        ("d.s. al coda", Sign.DS_AL_CODA), ("To Coda", Sign.TO_CODA), ("Fine", Sign.FINE),
    ],
)  # fmt: skip
def test_road_marks_as_they_are_printed(printed: str, sign: Sign) -> None:
    (bar,) = bars_of(f"road | {printed} |\nchords | C |")
    assert [mark.sign for mark in bar.marks] == [sign]


@pytest.mark.parametrize("written", ["3x", "3 x", "x3", "X 3"])
def test_how_often_a_repeat_is_played(written: str) -> None:
    (bar,) = bars_of(f"road | {written} |\nchords |: C :|")
    assert bar.marks[-1].times == 3


def test_cut_time_takes_four_strokes() -> None:
    # Common practice, no source: 2/2 is felt in two and often written with four strokes a bar.
    (bar,) = bars_of("chords | C / G7 / |", "2/2")
    assert [change.at for change in bar.changes] == [0, 2]


def test_keys_and_feels_in_capitals() -> None:
    chart = loads("title T\nkey Bb Major\nmeter 4/4\nfeel Swing\n\nchords | C |").chart
    assert (str(chart.bars[0].key), chart.bars[0].feel) == ("B♭ major", "swing")


def test_words_under_a_pickup_without_a_tune() -> None:
    pickup, _ = bars_of("road | pickup | |\nchords | G | C |\nwords | The | sea |")
    assert pickup.length == 1
    assert [syllable.text for syllable in pickup.words[0]] == ["The"]


def test_a_final_bar_line_is_explained() -> None:
    with pytest.raises(ChartError, match="final bar line"):
        bars_of("chords | C |]")


def test_a_note_beyond_every_keyboard() -> None:
    with pytest.raises(ChartError, match="'C44' lies beyond"):
        bars_of("tune | C44:4 |")


def test_a_carriage_return_ends_a_line() -> None:
    assert loads("title T\rmeter 4/4\r\rchords | C |").chart.title == "T"


@pytest.mark.parametrize(("meter", "tempo"), [("7/8", 240), ("6/8", 80), ("2/2", 60), ("3/4", 120)])
def test_notes_keep_their_lengths_when_the_meter_changes(meter: str, tempo: int) -> None:
    # Common practice, no source: without a new tempo a quarter stays a quarter.
    text = f"title T\nmeter 4/4\ntempo 120\n\nchords | C |\n\nmeter {meter}\n\nchords | G |"
    chart = loads(text).chart
    first, second = chart.bars
    assert second.tempo == tempo
    assert first.tempo * first.meter.beat == second.tempo * second.meter.beat
    assert "tempo" not in dumps(chart).partition("meter    " + meter)[2].partition("chords")[0]


def test_a_stated_tempo_counts_in_the_new_meter() -> None:
    text = "title T\nmeter 4/4\n\nchords | C |\n\ntempo 90\nmeter 6/8\n\nchords | G |"
    assert loads(text).chart.bars[1].tempo == Fraction(90)


@pytest.mark.parametrize(
    "border", ["chords |: C | F :| G ||\n\n", "chords |: C | F :| G |\n\nsection B\n\n"]
)
def test_a_repeat_after_the_last_ending_begins_at_the_border(border: str) -> None:
    # ABC 2.1 section 4.8: back to the last double bar, where no opening sign stands.
    text = f"title T\nmeter 4/4\n\nroad | | 1. | 2. |\n{border}chords | Am | Dm :| Em |\n"
    assert [step.bar for step in unroll(loads(text).chart)] == [0, 1, 0, 2, 3, 4, 3, 4, 5]


def test_signs_that_nothing_uses_are_warnings(tmp_path: Path) -> None:
    path = tmp_path / "x.lead"
    path.write_text("title T\nmeter 4/4\n\nroad | segno | fine |\nchords | C | G |\n")
    assert [(w.line, w.column, w.message) for w in open_song(path).warnings] == [
        (4, 8, "a Segno that no jump makes use of"),
        (4, 16, "a Fine that no jump makes use of"),
    ]
