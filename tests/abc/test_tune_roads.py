"""Roads of tunes: repeats, endings, jumps, each order worked out by hand from ABC 2.1."""

import re
from collections.abc import Callable

import pytest

from chartwalk.abc import loads
from chartwalk.chart import Chart, Sign
from chartwalk.reading import Reading

Tune = Callable[..., Reading]
Order = Callable[[Chart], str]

# One letter is one bar: c4 stands for it. The order counts the bars on the page.
ROADS = [
    # 4.8 repeats
    ("|:c|d:|e", "1 2 1 2 3"),
    ("c|d:|e", "1 2 1 2 3"),  # without a left sign: from the start of the tune
    ("c|d||e|f:|", "1 2 3 4 3 4"),  # or from the latest double bar line
    ("c|d|]e|f:|", "1 2 3 4 3 4"),
    ("c|d:|e|f:|", "1 2 1 2 3 4 3 4"),  # or from the latest closing sign
    ("|:c|d::e|f:|", "1 2 1 2 3 4 3 4"),
    ("|:c|d:|:e|f:|", "1 2 1 2 3 4 3 4"),
    ("|:c|d:||:e|f:|", "1 2 1 2 3 4 3 4"),
    ("|::c|d::|e", "1 2 1 2 1 2 3"),  # "and so on": three times
    ("|:::c:::|d", "1 1 1 1 2"),
    ("|:3c|d:|e", "1 2 1 2 1 2 3"),
    ("|::c::|d:|", "1 1 1 2 2"),
    ("|::c|1d:|2e||f:|", "1 2 1 3 4 4"),
    ("|[|:c:|]d", "1 1 2"),  # bar lines may have any shape
    ("[|:c:|][|]d.|e", "1 1 2 3"),
    ("c\n|:d\n:|e", "1 2 2 3"),
    ("c||\\\n:d:|e", "1 2 2 3"),  # a sign cut by the end of a line
    ("|:c:|\n:d:|e", "1 1 2 2 3"),
    # 4.9, 4.10 endings
    ("|:c|1d:|2e|]f", "1 2 1 3 4"),
    ("|:c|[1d:|[2e|]f", "1 2 1 3 4"),
    ("|:c| [1d:| [2e|]f", "1 2 1 3 4"),
    ("c|1d:|2e||f", "1 2 1 3 4"),
    ("|:c|[1,3d:|[2e:|[4f|]", "1 2 1 3 1 2 1 4"),
    ("|:c|[1-3d:|[4e|]", "1 2 1 2 1 2 1 3"),
    ("|:c|[1,2d:|[3e|]", "1 2 1 2 1 3"),
    ("|:c|1d:|2e:|f", "1 2 1 3 4"),
    ("|:c|1d|e:|2f|g|]c:|", "1 2 3 1 4 5 6 6"),  # the second ending is over at |]
    ("|:c|1d:|2e||f|g:|", "1 2 1 3 4 5 4 5"),
    ("c|1d:|2e||f|1g:|2a|]", "1 2 1 3 4 5 4 6"),
    # 4.14 jumps
    ("c|d|!D.C.!|e", "1 2 1 2 3"),
    ("c|!fine!d|e!D.C.alfine!|", "1 2 3 1 2"),
    ("c|!segno!d|e|!D.S.!f", "1 2 3 4 2 3 4"),
    ("c|Sd|e!fine!|!D.S.alfine!f", "1 2 3 4 2 3"),
    ("c!dacoda!|d!D.C.alcoda!|!coda!e|f", "1 2 1 3 4"),
    ("cO|d!D.C.alcoda!|Oe|f", "1 2 1 3 4"),
    ("c|d!dacapo!|e", "1 2 1 2 3"),
    ("+segno+c|d+D.S.+|e", "1 2 1 2 3"),
    # words, as old tunebooks have them
    ('c|"Fine"d|e"D.C."|', "1 2 3 1 2"),
    ('c"^fine"|d|"_D.C. al Fine"e', "1 2 3 1"),
    ('"^Segno"c|d|e"D.S."|', "1 2 3 1 2 3"),
    ('c|"Segno"d|e"Segno"|]', "1 2 3 2 3"),  # a second sign at the end
    ('|:c"3x"|d:|', "1 2 1 2"),  # it stands in a bar that closes nothing
    ('|:c|d"Play 3 times":|', "1 2 1 2 1 2"),
    ('|:c|d|"3x":|e|f:|', "1 2 1 2 1 2 3 4 3 4"),
    ('|:c|d:|"3x"', "1 2 1 2 1 2"),
]  # fmt: skip


def written(road: str) -> str:
    """Give every letter that stands alone its length, texts and decorations left as they are."""
    pieces = re.split(r"""("[^"]*"|![^!]*!|\+[^+]*\+)""", road)
    return "".join(
        piece if place % 2 else re.sub(r"([c-ga])", r"\g<1>4", piece)
        for place, piece in enumerate(pieces)
    )


@pytest.mark.parametrize(("road", "bars"), ROADS)
def test_play_order(tune: Tune, order: Order, road: str, bars: str) -> None:
    assert order(tune(written(road)).chart) == bars


# What can't be walked as it stands, how it is mended, and what is told.
MENDS = [
    ("|:c4|d4|]", "1 2", "6:3 a repeat (|:) is never closed: left out"),
    ("c4|[2d4|e4", "1 2 3", "6:6 a later ending without a first one: left out"),
    ("|:c4|[1d4:|[3e4|]", "1 2 1 2 1 3",
     "6:8 the endings are numbered 1. | 3.: 1. 2. | 3. is assumed"),
    ("c4|d4!D.S.!|", "1 2 1 2", "6:4 D.S. without a segno before it: D.C. is assumed"),
    ("c4|!coda!d4|", "1 2", "6:10 a coda sign without D.C. or D.S. is left out"),
    ("|:c4|1d4:|2e4|f4|g4|a4|b4:|", "1 2 1 3 4 5 6 7 4 5 6 7",
     "6:15 a repeat without |: is taken to start here"),
    ('c4|d4"^⊕"|e4"D.C. al Coda"|"Coda"f4|]', "1 2 3 1 2 4",
     "6:4 the first of two Codas is read as To Coda at the end of this bar"),
    ('|:c4"3x"|d4:|', "1 2 1 2", "6:3 3x where no repeat is closed: left out"),
    ("Sc4|d4!segno!|]", "1 2 1 2", "6:5 a second segno at the end: D.S. is assumed"),
]  # fmt: skip


@pytest.mark.parametrize(("music", "bars", "warning"), MENDS)
def test_mends(tune: Tune, order: Order, music: str, bars: str, warning: str) -> None:
    reading = tune(music)
    assert order(reading.chart) == bars
    assert f"tune.abc:{warning}" in [str(told) for told in reading.warnings]


def test_letters_can_be_given_another_meaning(tune: Tune) -> None:
    """Section 4.16."""
    reading = tune("Sc4|Td4|", U="T=!segno!")
    assert [bool(bar.mark(Sign.SEGNO)) for bar in reading.chart.bars] == [True, False]
    freed = tune("U:S=!nil!\nSc4|\nU: q = !D.C.!\nd4q|")
    assert [mark.sign for bar in freed.chart.bars for mark in bar.marks] == [Sign.DC]


def test_marks_and_lines_of_the_page(tune: Tune) -> None:
    bars = tune("|:c4|d4::e4||f4|]").chart.bars
    assert [bar.double for bar in bars] == [False, False, True, True]
    assert [[mark.sign.value for mark in bar.marks] for bar in bars] == [["|:"], [":|"], [], []]


def test_places_are_those_of_the_bars(tune: Tune) -> None:
    assert tune("  c4|d4|\n[K:G]|e4").places == ((6, 3), (6, 6), (7, 7))


# Section 3.1.9, the order of parts; the parts of the tune are A (c|d), B (e|f) and C (g).
PARTS = [
    ("ABC", "1 2 3 4 5", ""),
    ("A2BC", "1 2 1 2 3 4 5", ""),
    ("A.B3.C2", "1 2 3 4 3 4 3 4 5 5", ""),
    ("ABCA", "1 2 3 4 5 1 2", ""),  # D.C. al Fine
    ("A3", "1 2 3 4 5 6", "not played"),
    ("ABACA", "1 2 3 4 5 6 7 8 9", "no road marks"),
    ("(AB)2C", "1 2 3 4 5 6 7 8 9", "no road marks"),
    ("ABZC", "1 2 3 4 5", "part Z is not in the tune"),
    ("A(BC", "1 2 3 4 5", "a bracket is never closed"),
    ("A?", "1 2 3 4 5", "'?' is no part"),
    ("XYZ", "1 2 3 4 5", "the order of parts is left out"),
]


@pytest.mark.parametrize(("parts", "bars", "warning"), PARTS)
def test_order_of_parts(tune: Tune, order: Order, parts: str, bars: str, warning: str) -> None:
    reading = tune("P:A\nc4|d4||\nP:B\ne4|f4||\n[P:C]g4|]", P=parts)
    assert order(reading.chart) == bars
    assert warning in " ".join(told.message for told in reading.warnings)
    assert bool(warning) == bool(reading.warnings)


def test_parts_written_out_keep_their_names_and_repeats(tune: Tune, order: Order) -> None:
    reading = tune("P:A\nc4|d4:|\nP:B\ne4:|", P="ABA")
    assert [section.name for section in reading.chart.sections] == ["A", "B", "A"]
    assert order(reading.chart) == "1 2 1 2 3 3 4 5 4 5"


def test_endings_by_the_playing_of_a_part(tune: Tune, order: Order) -> None:
    """Section 4.10: P:A4.B4 with four endings plays each part four times, not sixteen."""
    music = "P:A\nc4|[1d4:|[2e4:|[3f4:|[4g4|]\nP:B\na4|]"
    reading = tune(music, P="A4B")
    names = [bar.tune[0].pitch.name.letter for bar in reading.chart.bars if bar.tune[0].pitch]
    assert "".join(names) == "CDCECFCGA"
    assert order(reading.chart) == "1 2 3 4 5 6 7 8 9"


def test_parts_name_sections(tune: Tune) -> None:
    chart = tune("c4|\nP:Verse\nd4|\nT:Chorus\ne4|").chart
    assert [(section.name, len(section.bars)) for section in chart.sections] == [
        ("", 1),
        ("Verse", 1),
        ("Chorus", 1),
    ]


def test_a_first_and_second_ending_of_a_part_that_returns(tune: Tune, order: Order) -> None:
    reading = tune("P:A\nc4|1d4:|2e4||\nP:B\nf4|]", P="ABA")
    assert order(reading.chart) == "1 2 1 3 4 5 6 5 7"
    assert order(tune("P:A\nc4|1d4:|2e4||\nP:B\nf4|]", P="A2B").chart) == "1 2 3 4 5"


def test_a_part_named_twice_sings_one_verse_each_time() -> None:
    text = (
        "X:1\nT:Two Lamps\nM:4/4\nL:1/4\nP:ABAB\nK:C\n"
        "P:A\nCDEF|\nw:one two three four\nw:un deux trois quatre\nP:B\nGGGG|\nw:la la la la\n"
    )
    chart = loads(text).chart
    first = [[syllable.text for syllable in verse] for bar in chart.bars for verse in bar.words]
    assert first[0] == ["one", "two", "three", "four"]
    assert ["un", "deux", "trois", "quatre"] in first
    assert max(len(bar.words) for bar in chart.bars) == 1
