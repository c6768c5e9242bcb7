"""Words by verse: a syllable a note that is sung."""

from collections.abc import Callable

import pytest

from chartwalk.chart import Bar
from chartwalk.reading import Reading

Read = Callable[..., Reading]


def line(bar: Bar, verse: int = 0) -> str:
    """Write a verse of a bar: lan- terns _ on."""
    return " ".join((s.text + "-" * s.joined) or "_" for s in bar.words[verse])


def sung(pitch: str, *lyrics: str) -> str:
    """Write a quarter note with lyrics as XML."""
    return (
        f"<note><pitch><step>{pitch[0]}</step><octave>{pitch[1]}</octave></pitch>"
        f"<duration>24</duration>{''.join(lyrics)}</note>"
    )


def test_syllables_joined_and_held(read_sheet: Read) -> None:
    bars = read_sheet("C5:1'lan- D5:1'terns E5:1 F5:1'on / G5:4").chart.bars
    assert line(bars[0]) == "lan- terns _ on"
    assert bars[1].words == ()


def test_rests_and_tied_notes_sing_nothing(read_sheet: Read) -> None:
    bars = read_sheet("r:1 C5:3~'sing / ~C5:2 D5:2'now / ~D5:4'on").chart.bars
    assert [line(bar) for bar in bars] == ["sing", "now", "on"]


def test_verses_keep_their_order_and_trailing_ones_are_left_out(read_sheet: Read) -> None:
    bars = read_sheet("C5:4'a'b'c / C5:4'd / C5:4''e / C5:4").chart.bars
    assert [line(bars[0], verse) for verse in range(3)] == ["a", "b", "c"]
    assert len(bars[1].words) == 1
    assert bars[2].words[0] == ()
    assert line(bars[2], 1) == "e"
    assert bars[3].words == ()


def test_seven_verses(read_sheet: Read) -> None:
    reading = read_sheet("C5:4'a'b'c'd'e'f'g / C5:4'h")
    assert [verse[0].text for verse in reading.chart.bars[0].words] == list("abcdefg")
    assert not reading.warnings


def test_more_than_twenty_verses_are_told(read_sheet: Read) -> None:
    reading = read_sheet("C5:4" + "'la" * 23)
    assert len(reading.chart.bars[0].words) == 20
    (warning,) = reading.warnings
    assert warning.message == "of 23 verses the first 20 are read"


def test_words_that_no_note_sings_are_told(read_sheet: Read) -> None:
    reading = read_sheet("C5:4'one / r:2'two C5:2~'three / ~C5:4'four")
    assert [line(bar) for bar in reading.chart.bars if bar.words] == ["one", "three"]
    (warning,) = reading.warnings
    assert (warning.bar, warning.message) == (
        "2", "words under a rest or a held note are left out: 'two', 'four'",
    )  # fmt: skip


def test_verse_numbers_sort_as_numbers_then_names(read_sheet: Read) -> None:
    note = sung(
        "C5",
        *(f'<lyric number="{n}"><text>v{n}</text></lyric>' for n in ("10", "2", "chorus", "1")),
    )
    (bar,) = read_sheet("{n} {n} {n} {n}", n=note).chart.bars
    assert [verse[0].text for verse in bar.words] == ["v1", "v2", "v10", "vchorus"]


@pytest.mark.parametrize(
    ("inside", "text", "joined"),
    [
        ("<syllabic>single</syllabic><text>one</text>", "one", False),
        ("<syllabic>begin</syllabic><text>lan</text>", "lan", True),
        ("<syllabic>middle</syllabic><text>ter</text>", "ter", True),
        ("<syllabic>end</syllabic><text>ns</text><extend/>", "ns", False),
        ("<text>the</text><elision> </elision><text>air</text>", "the‿air", False),
        ("<syllabic>end</syllabic><text>ra</text><elision/><syllabic>begin</syllabic>"
         "<text>il</text>", "ra‿il", True),
        ("<text> 1. The\n light </text>", "1.‿The‿light", False),
        ("<text>lan-</text>", "lan", True),
        ("<text>ah__</text>", "ah", False),
        ("<text>a|b</text>", "ab", False),
        ("<text>_</text>", "", False),
        ("<text>-</text>", "", False),
        ("<syllabic>middle</syllabic><text> </text>", "", False),
        ("<extend/>", "", False),
    ],
)  # fmt: skip
def test_texts(read_sheet: Read, inside: str, text: str, joined: bool) -> None:
    note = sung("C5", f"<lyric>{inside}</lyric>")
    (bar,) = read_sheet("{n} D5:3'last", n=note).chart.bars
    first = bar.words[0][0]
    assert (first.text, first.joined) == (text, joined)


def test_words_on_any_note_of_a_chord_count(read_sheet: Read) -> None:
    low = sung("C5", "<lyric><text>word</text></lyric>")
    high = sung("G5").replace("<note>", "<note><chord/>")
    (bar,) = read_sheet("{low} {high} r:3", low=low, high=high).chart.bars
    assert line(bar) == "word"
