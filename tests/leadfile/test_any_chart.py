"""Charts and texts at random: what is written is read again, and no text breaks the reader."""

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st
from hypothesis.strategies import DrawFn
from tests.charts_at_random import charts

from chartwalk.chart import Bar, Chart, Note, RoadMark, Section, Sign, Syllable
from chartwalk.leadfile import dumps, loads
from chartwalk.problems import ChartError, Problem

SONGS = sorted((Path(__file__).parents[2] / "songs").glob("*.lead"))
TEXTS = [path.read_text(encoding="utf-8") for path in SONGS]
quick = settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])


def read_or_refuse(text: str) -> None:
    """Check that a text is read, or refused with problems that have their places in it."""
    problems: tuple[Problem, ...] = ()
    try:
        chart = loads(text, "x.lead").chart
    except ChartError as error:
        problems = error.problems
    else:
        assert loads(dumps(chart)).chart == chart
        return
    assert problems
    places = [(problem.line, problem.column) for problem in problems]
    assert places == sorted(places)
    rows = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    for line, column in places:
        assert 1 <= line <= len(rows)
        assert 1 <= column <= len(rows[line - 1]) + 1


@quick
@given(charts())
def test_a_chart_is_written_and_read_again(chart: Chart) -> None:
    text = dumps(chart)
    assert loads(text).chart == chart
    assert dumps(loads(text).chart) == text
    assert len(loads(text).places) == len(chart.bars)


@quick
@given(st.text(max_size=200))
@example("\x0c")
@example("title\x85T")
@example("title T\nmeter 4/4\ntune | B4:4 |\nwords | _- |")
@example("words :| |")
@example("title T\nmeter 4/4\nwords 0 | la |")
@example("title T\nmeter 4/4\nchords | C@1/3 |")
def test_any_text_is_read_or_refused(text: str) -> None:
    read_or_refuse(text)


WORDS = [
    *["title", "credit", "key", "meter", "tempo", "feel", "voice", "note", "section", "road"],
    *["chords", "tune", "words", "words 2", "words 3", "#", "", "bar"],
]
PIECES = [
    *["|", "|:", ":|", "||", "C", "G7", "/", "%", "C@2", "@", "N.C.", "B4:1", "r:4", "B4:4~"],
    *["la", "la-", "_", "-", "pickup", "segno", "fine", "dc", "ds al coda", "1.", "2.", "3x"],
    *["bar 7", "fermata", "fermata@2", ",", "4/4", "6/8", "3+2/4", "84", "G major", "swing"],
    *["A3 D5", "1/3", "T", "夜", "\t"],
]
text_lines = st.builds(
    lambda word, pieces: " ".join([word, *pieces]),
    st.sampled_from(WORDS),
    st.lists(st.sampled_from(PIECES), max_size=7),
)


@quick
@given(st.lists(text_lines, max_size=8))
def test_lines_that_almost_make_a_song_are_read_or_refused(found: Sequence[str]) -> None:
    read_or_refuse("\n".join(found))
    read_or_refuse("\n".join(["title T", "meter 4/4", "", *found]))


@st.composite
def spoilt_songs(draw: DrawFn) -> str:
    text = draw(st.sampled_from(TEXTS))
    for _ in range(draw(st.integers(1, 4))):
        start = draw(st.integers(0, len(text)))
        end = min(len(text), start + draw(st.sampled_from([0, 0, 1, 1, 2, 8, 40])))
        piece = draw(
            st.sampled_from([*PIECES, *WORDS, "\n", "\n\n", ":", ".", "9"]) | st.text(max_size=3)
        )
        text = text[:start] + piece + text[end:]
    return text


@quick
@given(spoilt_songs())
def test_a_spoilt_song_is_read_or_refused(text: str) -> None:
    read_or_refuse(text)


def of(bar: Bar) -> Chart:
    return Chart("T", (Section("", (bar,)),))


RESTED = (Note(None, Fraction(4)),)
HARDLY = {
    "too fast": lambda: of(Bar("1", tempo=Fraction(1000))),
    "too slow": lambda: of(Bar("1", tempo=Fraction(1, 2))),
    "a tempo of many digits": lambda: of(Bar("1", tempo=83 + Fraction(1, 3**200))),
    "an unknown feel": lambda: of(Bar("1", feel="shuffle")),
    "words on a rest": lambda: of(Bar("1", tune=RESTED, words=((Syllable("la"),),))),
    "ending 100": lambda: of(Bar("1", marks=(RoadMark(Sign.ENDING, passes=(100,)),))),
    "an ending without a number": lambda: of(Bar("1", marks=(RoadMark(Sign.ENDING),))),
    "played 100 times": lambda: of(Bar("1", marks=(RoadMark(Sign.REPEAT_END, times=100),))),
    "no title": lambda: replace(of(Bar("1")), title=""),
    "a title of two lines": lambda: replace(of(Bar("1")), title="two\nlines"),
    "a credit of two lines": lambda: replace(of(Bar("1")), credit="two\nlines"),
    "spaces around a note": lambda: replace(of(Bar("1")), note=" spaces "),
    "a section without bars": lambda: replace(
        of(Bar("1")), sections=(Section("A", ()), Section("B", (Bar("1"),)))
    ),
    "a section of two lines": lambda: replace(
        of(Bar("1")), sections=(Section("A\nB", (Bar("1"),)),)
    ),
}


@pytest.mark.parametrize("what", HARDLY)
def test_what_no_file_can_hold_no_chart_holds(what: str) -> None:
    try:
        chart = HARDLY[what]()
    except ValueError:
        return
    assert loads(dumps(chart)).chart == chart
