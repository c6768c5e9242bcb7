"""Durations that can't be and repeats played absurdly often: what is read instead, and is told."""

from collections.abc import Callable

import pytest

from chartwalk.chart import Chart, Note
from chartwalk.reading import Reading

Read = Callable[..., Reading]
Order = Callable[[Chart], str]

CANT_BE = "a length of {} can't be: not read as it is"
TWICE = "a repeat of {} times is played twice"


def whole_note(duration: str) -> str:
    """A whole note of a sheet with 24 divisions, its duration as given."""
    return (
        "<note><pitch><step>C</step><octave>5</octave></pitch>"
        f"<duration>{duration}</duration><type>whole</type></note>"
    )


def told(reading: Reading, word: str) -> list[tuple[str | None, str]]:
    found = [(warning.bar, warning.message) for warning in reading.warnings]
    return [(bar, message) for bar, message in found if word in message]


def tune_of(reading: Reading, bar: int) -> list[str]:
    def one(note: Note) -> str:
        return f"{note.pitch.ascii if note.pitch else 'r'}:{note.length}"

    return [one(note) for note in reading.chart.bars[bar].tune]


# MusicXML 4.0 `duration` is a positive number of divisions; the written value is read instead.
@pytest.mark.parametrize(
    ("duration", "quote"),
    [
        ("-96", "'-96'"),
        ("four", "'four'"),
        ("", "''"),
        ("1e9", "'1e9'"),
        (" 9 6 ", "'9 6'"),
        ("9" * 60, f"'{'9' * 40}…'"),
    ],
)
def test_a_length_that_cant_be(read_sheet: Read, duration: str, quote: str) -> None:
    reading = read_sheet("D5:4 / {xml} / {xml}", xml=whole_note(duration))
    assert told(reading, "a length of") == [("2", CANT_BE.format(quote))]
    assert tune_of(reading, 1) == ["C5:4"]


def test_a_length_that_cant_be_without_a_written_value(read_sheet: Read) -> None:
    note = whole_note("-96").replace("<type>whole</type>", "")
    reading = read_sheet("{xml} D5:4", xml=note)
    assert told(reading, "a length of") == [("1", CANT_BE.format("'-96'"))]
    assert tune_of(reading, 0) == ["D5:4"]


def test_a_length_of_a_million_divisions(read_sheet: Read) -> None:
    """The limit is our own; one division less is no more than long."""
    reading = read_sheet("D5:4 / {xml}", xml=whole_note("1000000"))
    assert told(reading, "a length of") == [("2", CANT_BE.format("'1000000'"))]
    assert not told(read_sheet("D5:4 / {xml}", xml=whole_note("999999")), "a length of")


@pytest.mark.parametrize("tag", ["backup", "forward"])
def test_steps_in_time_that_cant_be(read_sheet: Read, tag: str) -> None:
    step = f"<{tag}><duration>soon</duration></{tag}>"
    reading = read_sheet("D5:4 / D5:4 {xml}", xml=step)
    assert told(reading, "a length of") == [("2", CANT_BE.format("'soon'"))]
    assert tune_of(reading, 1) == ["D5:4"]


@pytest.mark.parametrize("duration", ["96", " 96\n", "96.0", "+96"])
def test_lengths_that_can_be_are_read_in_silence(read_sheet: Read, duration: str) -> None:
    reading = read_sheet("D5:4 / {xml}", xml=whole_note(duration))
    assert not reading.warnings
    assert tune_of(reading, 1) == ["C5:4"]


def closing(times: str) -> str:
    return f'<barline location="right"><repeat direction="backward" times="{times}"/></barline>'


# MusicXML 4.0 `repeat`: times is a whole number, 0 or more; a chart's limit is 99.
@pytest.mark.parametrize("times", ["100", "-1", "2.5", "many", ""])
def test_times_that_cant_be(read_sheet: Read, order: Order, times: str) -> None:
    reading = read_sheet("C5:4 / D5:4 {xml} / E5:4 {xml}", xml=closing(times))
    assert told(reading, "a repeat of") == [("2", TWICE.format(f"'{times}'"))]
    assert order(reading.chart) == "1 2 1 2 3 3"


@pytest.mark.parametrize(("times", "bars"), [("2", "1 1 2"), ("3", "1 1 1 2"), ("1", "1 2")])
def test_times_that_can_be_are_played(
    read_sheet: Read, order: Order, times: str, bars: str
) -> None:
    reading = read_sheet("C5:4 {xml} / E5:4", xml=closing(times))
    assert not told(reading, "a repeat of")
    assert order(reading.chart) == bars


def test_ninety_nine_times_are_played(read_sheet: Read, order: Order) -> None:
    reading = read_sheet("C5:4 {xml}", xml=closing("99"))
    assert not told(reading, "a repeat of")
    assert order(reading.chart).split() == ["1"] * 99
