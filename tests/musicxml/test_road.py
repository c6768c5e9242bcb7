"""Road signs as the page shows them: repeats, endings, segno, coda, words and sounds."""

from collections.abc import Callable

import pytest

from chartwalk.chart import Chart, RoadMark, Sign
from chartwalk.musicxml import read_bytes
from chartwalk.reading import Reading

Read = Callable[..., Reading]
Order = Callable[[Chart], str]


def marks(chart: Chart) -> str:
    """Write the marks of every bar: |: / 1. / segno, dc."""

    def one(mark: RoadMark) -> str:
        if mark.sign is Sign.ENDING:
            return " ".join(f"{number}." for number in mark.passes)
        return str(mark.sign.value)

    return " / ".join(", ".join(one(mark) for mark in bar.marks) or "-" for bar in chart.bars)


# The sheet, the marks and the order of play, counted by hand. No mend is needed for any of them.
ROADS = [
    ("C5:4 / |: C5:4 / C5:4 :| / C5:4", "- / |: / :| / -", "1 2 3 2 3 4"),
    ("C5:4 / C5:4 :| / C5:4", "- / :| / -", "1 2 1 2 3"),
    ("C5:4 :| / C5:4 :|", ":| / :|", "1 1 2 2"),
    ("|: C5:4 / [1 C5:4 ] :| / [2 C5:4 ] / C5:4", "|: / :|, 1. / 2. / -", "1 2 1 3 4"),
    ("|: C5:4 / [1,2 C5:4 :| / [3 C5:4", "|: / :|, 1. 2. / 3.", "1 2 1 2 1 3"),
    ("C5:4 / [1 C5:4 ] / C5:4 :| / [2 C5:4", "- / 1. / :| / 2.", "1 2 3 1 4"),
    ("|: C5:4 / [1 C5:4 :| / [2 C5:4 :| / [3 C5:4", "|: / :|, 1. / :|, 2. / 3.", "1 2 1 3 1 4"),
    ("|: C5:4 / [1,3 C5:4 :| / [2 C5:4 :| / [4 C5:4",
     "|: / :|, 1. 3. / :|, 2. / 4.", "1 2 1 3 1 2 1 4"),
    # nested: music21 10.5.1's test CoherenceB2 for the order
    ("|: C5:4 / |: C5:4 / C5:4 :| / C5:4 :|", "|: / |: / :| / :|", "1 2 3 2 3 4 1 2 3 2 3 4"),
    ("C5:4 / w:D.C. C5:4", "- / dc", "1 2 1 2"),
    ("C5:4 w:Fine / C5:4 w:D.C._al_Fine", "fine / dc al fine", "1 2 1"),
    ("C5:4 / segno C5:4 / C5:4 w:D.S.", "- / segno / ds", "1 2 3 2 3"),
    ("segno C5:4 / C5:4 w:Fine / C5:4 w:D.S._al_Fine",
     "segno / fine / ds al fine", "1 2 3 1 2"),
    ("C5:4 / C5:4 w:To_Coda / C5:4 w:D.C._al_Coda / w:Coda C5:4",
     "- / to coda / dc al coda / coda", "1 2 3 1 2 4"),
    ("C5:4 / segno C5:4 coda / C5:4 w:D.S._al_Coda / coda C5:4",
     "- / segno, to coda / ds al coda / coda", "1 2 3 2 4"),
    # signs at the right end of a bar act at the next one's start
    ("C5:4 segno / C5:4 / C5:4 w:D.S. / C5:4", "- / segno / ds / -", "1 2 3 2 3 4"),
    ("C5:4 w:To_Coda / C5:4 w:D.C._al_Coda coda / C5:4",
     "to coda / dc al coda / coda", "1 2 1 3"),
    # sounds, alone and beside words
    ("C5:4 s:fine / C5:4 s:dacapo w:D.C._al_Fine", "fine / dc al fine", "1 2 1"),
    ("C5:4 s:tocoda / C5:4 s:dacapo w:D.C._al_Coda / s:coda C5:4",
     "to coda / dc al coda / coda", "1 2 1 3"),
    ("C5:4 / s:segno C5:4 / C5:4 s:dalsegno", "- / segno / ds", "1 2 3 2 3"),
    ("C5:4 / s:forward-repeat C5:4 :|", "- / |:, :|", "1 2 2"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "expected", "played"), ROADS)
def test_roads(read_sheet: Read, order: Order, text: str, expected: str, played: str) -> None:
    reading = read_sheet(text)
    assert marks(reading.chart) == expected
    assert order(reading.chart) == played
    assert not reading.warnings


def barline(inner: str, side: str = "right", attributes: str = "") -> str:
    return f'<barline location="{side}" {attributes}>{inner}</barline>'


@pytest.mark.parametrize(
    ("xml", "mark"),
    [
        (barline('<repeat direction="backward" times="4"/>'), RoadMark(Sign.REPEAT_END, times=4)),
        (barline('<repeat direction="backward" times="0"/>'), RoadMark(Sign.REPEAT_END, times=0)),
        (barline('<repeat direction="backward" after-jump="yes"/>'),
         RoadMark(Sign.REPEAT_END, after_jump=True)),
        (barline('<repeat direction="backward" times="1000"/>'), RoadMark(Sign.REPEAT_END)),
        (barline('<repeat direction="backward" times="x"/>'), RoadMark(Sign.REPEAT_END)),
        ('<barline><repeat direction="backward"/></barline>', RoadMark(Sign.REPEAT_END)),
        (barline('<repeat direction="backward"/>', "middle"), RoadMark(Sign.REPEAT_END)),
    ],
)  # fmt: skip
def test_closing_signs(read_sheet: Read, xml: str, mark: RoadMark) -> None:
    assert read_sheet("C5:4 {b} / C5:4", b=xml).chart.bars[0].marks == (mark,)


def test_words_say_how_often_a_repeat_is_played(read_sheet: Read, order: Order) -> None:
    assert order(read_sheet("C5:4 w:3x :| / w:4x C5:4").chart) == "1 1 1 2"


def test_signs_on_the_wrong_side_of_a_bar_line(read_sheet: Read, order: Order) -> None:
    forward, backward = (f'<repeat direction="{way}"/>' for way in ("forward", "backward"))
    reading = read_sheet(
        "C5:4 {f} / C5:4 / {b} C5:4", f=barline(forward), b=barline(backward, "left")
    )
    assert marks(reading.chart) == "- / |:, :| / -"


def test_segno_and_coda_on_bar_lines(read_sheet: Read) -> None:
    reading = read_sheet(
        "{segno} C5:4 / C5:4 {coda} / C5:4 w:D.S._al_Coda {landing} / C5:4",
        segno=barline("<segno/>", "left"), coda=barline("<coda/>"),
        landing=barline("", attributes='coda="coda"'),
    )  # fmt: skip
    assert marks(reading.chart) == "segno / to coda / ds al coda / coda"


def test_endings_may_discontinue(read_sheet: Read, order: Order) -> None:
    """MusicXML 4.0 `ending`: a second one that goes on has no hook at its end."""
    open_end = barline('<ending number="2" type="discontinue"/>')
    reading = read_sheet("|: C5:4 / [1 C5:4 ] :| / [2 C5:4 {e} / C5:4 :| / C5:4", e=open_end)
    assert order(reading.chart) == "1 2 1 3 4 4 5"
    (warning,) = reading.warnings
    assert "without |: is taken to start here" in warning.message


@pytest.mark.parametrize(
    ("number", "text", "passes"),
    [("1, 2", "", (1, 2)), ("1,2,3", "", (1, 2, 3)), ("1-3", "", (1, 2, 3)), ("1.", "", (1,)),
     (" ", "1. 2.", (1, 2)), ("", "1", (1,)), ("99", "", (1,)), ("", "", (1,))],
)  # fmt: skip
def test_ending_numbers(read_sheet: Read, number: str, text: str, passes: tuple[int, ...]) -> None:
    ending = barline(f'<ending number="{number}" type="start">{text}</ending>', "left")
    following = max(passes) + 1
    reading = read_sheet(f"|: C5:4 / {{e}} C5:4 :| / [{following} C5:4", e=ending)
    mark = reading.chart.bars[1].mark(Sign.ENDING)
    assert mark is not None
    assert mark.passes == passes


def test_a_phrase_cut_into_pieces_of_print(read_sheet: Read) -> None:
    pieces = (
        "<direction><direction-type><words>D.S. al</words><words> Coda</words></direction-type>"
        "</direction>"
    )
    reading = read_sheet("segno C5:4 w:To_Coda / C5:4 {p} / w:Coda C5:4", p=pieces)
    assert marks(reading.chart) == "segno, to coda / ds al coda / coda"


def test_signs_that_only_draw_their_words(read_sheet: Read) -> None:
    """To Coda with a coda sign is one To Coda; D.S. with a segno sign is one D.S."""
    leaving = (
        "<direction><direction-type><words>To Coda</words></direction-type>"
        "<direction-type><coda/></direction-type></direction>"
    )
    jump = (
        "<direction><direction-type><words>D.S.</words><segno/><words>al Coda</words>"
        "</direction-type><direction-type><coda/></direction-type></direction>"
    )
    reading = read_sheet("segno C5:4 {l} / C5:4 {j} / coda w:Coda C5:4", l=leaving, j=jump)
    assert marks(reading.chart) == "segno, to coda / ds al coda / coda"
    assert not reading.warnings


def test_what_sounds_goes_before_what_is_written(read_sheet: Read) -> None:
    """The sound says where the jump leads, the words add up to where it is played."""
    both = (
        "<direction><direction-type><words>D.S. al Fine</words></direction-type>"
        '<sound dacapo="yes"/></direction>'
    )
    reading = read_sheet("C5:4 / segno C5:4 w:Fine / C5:4 {b}", b=both)
    assert marks(reading.chart) == "- / segno, fine / dc al fine"


def test_a_sign_after_a_whole_measure_rest_belongs_to_the_next_bar(read_sheet: Read) -> None:
    rest = '<note><rest measure="yes"/><duration>96</duration></note>'
    reading = read_sheet("{r} segno / C5:4 / C5:4 w:D.S.", r=rest)
    assert marks(reading.chart) == "- / segno / ds"


def test_double_bar_lines(read_sheet: Read) -> None:
    left = barline("<bar-style>light-light</bar-style>", "left")
    bars = read_sheet("C5:4 || / C5:4 / {left} C5:4 / C5:4 :| / C5:4", left=left).chart.bars
    assert [bar.double for bar in bars] == [True, True, False, False, False]


def test_directions_of_the_top_part_count(sheet: Callable[..., bytes]) -> None:
    top = sheet("C5:4 / C5:4 w:D.C.").decode()
    harmony = sheet("h:C C5:4 / h:F C5:4").decode()
    part = harmony[harmony.index("<part id") : harmony.index("</score")].replace('"P1"', '"P2"')
    reading = read_bytes(top.replace("</score", f"{part}</score").encode(), "x")
    assert marks(reading.chart) == "- / dc"
    (warning,) = reading.warnings
    assert "of 2 parts only part 2 is read" in warning.message
