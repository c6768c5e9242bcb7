"""Nothing is dropped in silence: words in doubt are quoted with their bar, the rest is listed."""

from collections.abc import Callable

import pytest

from chartwalk.chart import Chart, Sign
from chartwalk.reading import Reading

Read = Callable[..., Reading]
Order = Callable[[Chart], str]

# Words of real sheets in the second bar, the signs they are read as, and what is told of them.
WORDS = [
    ("D.C.alfine", [Sign.DC_AL_FINE], ""),
    ("D.C. al Fine", [Sign.DC_AL_FINE], ""),
    ("D.C. al Fine (no repeat)", [Sign.DC_AL_FINE], ""),
    ("D.C. senza replica", [Sign.DC_AL_FINE], "D.C. al Fine is assumed"),
    ("3 repeats then D.C.al fine", [Sign.DC_AL_FINE], "is read as D.C. al Fine, no more"),
    ("D.C. al Fine with repeats", [Sign.DC_AL_FINE], "is read as D.C. al Fine, no more"),
    ("4x Fine", [Sign.FINE], "is read as Fine, no more"),
    ("(fine)", [Sign.FINE], ""),
    ("Fine 2nd time", [Sign.FINE], "is read as Fine, no more"),
    ("d. c. al capo", [], "may be a sign of the road: not read"),
    ("vamp till ready", [], "may be a sign of the road: not read"),
    ("3rd time go to bridge", [], "may be a sign of the road: not read"),
    ("4x", [], "may be a sign of the road: not read"),  # there is no repeat sign to play so often
    ("2nd ending", [], "may be a sign of the road: not read"),
    ("Slowly, with feeling", [], "words are left out: 'Slowly, with feeling'"),
    ("Chorus", [], ""),
    ("Swing", [], ""),
    ("N.C.", [], ""),
]


@pytest.mark.parametrize(("text", "signs", "told"), WORDS)
def test_words_are_understood_or_quoted(
    read_sheet: Read, text: str, signs: list[Sign], told: str
) -> None:
    reading = read_sheet(f"C5:4 w:Fine / C5:4 w:{text.replace(' ', '_')} / C5:4")
    assert [mark.sign for mark in reading.chart.bars[1].marks] == signs
    assert [told in warning.message for warning in reading.warnings] == [True] * bool(told)
    for warning in reading.warnings:
        assert warning.bar == "2"
        assert text in warning.message or "assumed" in warning.message


def test_a_number_of_times_at_a_closing_sign_is_understood(read_sheet: Read, order: Order) -> None:
    reading = read_sheet("C5:4 w:3x :| / C5:4")
    assert order(reading.chart) == "1 1 1 2"
    assert not reading.warnings


def test_words_beside_a_tempo_in_figures_are_kept_by_it(read_sheet: Read) -> None:
    mark = (
        "<direction><direction-type><words>Moderato</words></direction-type><direction-type>"
        "<metronome><beat-unit>quarter</beat-unit><per-minute>96</per-minute></metronome>"
        "</direction-type></direction>"
    )
    assert not read_sheet("{m} C5:4", m=mark).warnings


def test_many_words_are_listed_once(read_sheet: Read) -> None:
    bars = " / ".join(f"C5:4 w:word_{number} w:word_1" for number in range(1, 6))
    (warning,) = read_sheet(bars).warnings
    assert warning.message == "words are left out: 'word 1', 'word 2', 'word 3' and 2 more"
    assert warning.bar == "1"


def note(inside: str = "", *, head: str = "", step: str = "C") -> str:
    pitch = f"<pitch><step>{step}</step><octave>5</octave></pitch>"
    return f"<note>{head}{pitch}<duration>96</duration>{inside}</note>"


ACCENT = (
    "<notations><articulations><accent/></articulations><fermata/><slur type='start'/></notations>"
)
LOUD = "<direction><direction-type><dynamics><f/></dynamics></direction-type></direction>"


# What stands in the second bar, and what is told of it.
@pytest.mark.parametrize(
    ("xml", "bar", "told"),
    [(note(ACCENT) + LOUD, "",
      "how to play the notes is not kept: slurs, dynamics, articulations"),
     (note().replace("</step>", "</step><alter>0.5</alter>"), "2",
      "notes between the keys are read without their alteration"),
     (note().replace("pitch", "unpitched"), "2", "notes without a pitch are left out"),
     (note(head="<grace/>") + note(), "2", "grace notes are left out")],
)  # fmt: skip
def test_what_a_chart_has_no_place_for(read_sheet: Read, xml: str, bar: str, told: str) -> None:
    (warning,) = read_sheet("D5:4 / {xml}", xml=xml).warnings
    assert (warning.bar, warning.message) == (bar, told)


def test_text_of_the_page_that_is_not_kept(read_sheet: Read) -> None:
    head = (
        "<work><work-title>Net Songs</work-title></work><movement-title>Hauling</movement-title>"
        "<identification><creator>A. Maker</creator><rights>free to sing</rights></identification>"
        "<credit><credit-type>page number</credit-type><credit-words>1</credit-words></credit>"
        "<credit><credit-words>Hauling</credit-words></credit>"
        "<credit><credit-words>A. Maker</credit-words></credit>"
        "<credit><credit-words>3. The tide</credit-words><credit-words>comes in</credit-words>"
        "</credit>"
    )
    (warning,) = read_sheet("C5:4", head=head).warnings
    assert warning.message == (
        "text on the page is left out: 'Net Songs', 'free to sing', '3. The tide comes in'"
    )


def test_of_thousands_of_notices_the_first_are_told(read_sheet: Read) -> None:
    reading = read_sheet(" / ".join(["|: C5:4"] * 300))
    assert len(reading.warnings) == 201
    assert reading.warnings[-1].message == "and 100 notices more like these"


def test_more_verses_than_passes_can_be_seen(read_sheet: Read) -> None:
    """A strophic song is written once: what the chart holds is enough to offer another verse."""
    chart = read_sheet("C5:4'one'two'three / C5:4'la'la'la").chart
    assert max(len(bar.words) for bar in chart.bars) == 3
