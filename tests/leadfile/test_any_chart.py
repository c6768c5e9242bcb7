"""Charts and texts at random: what is written is read again, and no text breaks the reader."""

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st
from hypothesis.strategies import DrawFn

from chartwalk.chart import (
    Bar,
    Change,
    Chart,
    Note,
    RoadMark,
    Section,
    Sign,
    Syllable,
    next_number,
    sung,
)
from chartwalk.chord import ChordSymbol
from chartwalk.key import MODES, Key
from chartwalk.leadfile import dumps, loads
from chartwalk.meter import Meter
from chartwalk.pitch import Name, Pitch
from chartwalk.problems import ChartError, Problem

SONGS = sorted((Path(__file__).parents[2] / "songs").glob("*.lead"))
TEXTS = [path.read_text(encoding="utf-8") for path in SONGS]
SYMBOLS = [
    *["C", "F#m7b5", "Bbmaj7#11", "E♭6/9", "N.C.", "N.C", "G7/B", "A13b9", "C+", "Db°7", "B-7#5"],
    *["C(add9)", "E♭maj9/G", "F7sus4", "D△9", "Gø7", "C7(b9,#11)", "Ab/C", "Cx", "Cno3"],
]
SIGNS = [sign for sign in Sign if sign not in {Sign.ENDING, Sign.REPEAT_END}]
METERS = [
    *["4/4", "3/4", "2/4", "6/8", "9/8", "12/8", "2/2", "5/4", "7/8", "3/8", "1/4", "15/16"],
    *["1/32", "99/4", "6/4"],
]

quick = settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])

lines = st.text(st.characters(exclude_categories=["Cs", "Cc", "Zl", "Zp"]), max_size=12).map(
    str.strip
)
titles = lines.filter(bool) | st.sampled_from(
    ["Café 夜", "# one", "| C |: D :|", "[b]x[/b]", "a  b"]
)
syllable_texts = st.text(
    st.characters(exclude_categories=["Cs", "Cc", "Zs", "Zl", "Zp"], exclude_characters="|"),
    min_size=1,
    max_size=4,
).filter(lambda text: text != "_" and not text.endswith("-"))
syllables = (
    st.builds(Syllable, syllable_texts, st.booleans())
    | st.just(Syllable(""))
    | st.sampled_from([Syllable("la"), Syllable("süß", joined=True), Syllable(":"), Syllable("#")])
)
pitches = st.builds(
    Pitch, st.builds(Name, st.sampled_from("ABCDEFG"), st.integers(-2, 2)), st.integers(-1, 9)
)
keys = st.builds(Key, st.integers(-7, 7), st.sampled_from(sorted(MODES)))
tempos = (
    st.integers(1, 999).map(Fraction)
    | st.fractions(1, 999, max_denominator=1000)
    | st.decimals(1, 999, places=3).map(Fraction)
)
passes = st.lists(st.integers(1, 99), min_size=1, max_size=3).map(tuple)
numbers = st.sampled_from(["0", "1", "12a", "X1", "101", "3-4", "1.", "ⅳ", "007"]) | st.text(
    st.characters(exclude_categories=["Cs", "Cc", "Zs", "Zl", "Zp"], exclude_characters=",|"),
    min_size=1,
    max_size=3,
)
cuts = st.sets(
    st.sampled_from([2, 3, 4, 5, 6, 7, 8, 12]).flatmap(
        lambda parts: st.builds(Fraction, st.integers(1, parts - 1), st.just(parts))
    ),
    max_size=4,
)


@st.composite
def tunes(draw: DrawFn, length: Fraction) -> tuple[Note, ...]:
    edges = [Fraction(0), *sorted(draw(cuts)), Fraction(1)]
    lengths = [(end - start) * length for start, end in pairwise(edges)]
    pool = draw(st.lists(pitches | st.none(), min_size=1, max_size=3))
    return tuple(Note(draw(st.sampled_from(pool)), part, draw(st.booleans())) for part in lengths)


@st.composite
def changes(draw: DrawFn, meter: Meter, length: Fraction) -> tuple[Change, ...]:
    grid = {meter.beat * beat for beat in range(meter.beats) if meter.beat * beat < length}
    odd = {cut * length for cut in draw(cuts)}
    chosen = draw(st.sets(st.sampled_from(sorted(grid | odd | {Fraction(0)})), max_size=6))
    return tuple(
        Change(place, ChordSymbol.parse(draw(st.sampled_from(SYMBOLS)))) for place in sorted(chosen)
    )


@st.composite
def verses(draw: DrawFn, room: int | None) -> tuple[tuple[Syllable, ...], ...]:
    row = st.lists(syllables, max_size=4 if room is None else room).map(tuple)
    found = draw(st.lists(row, max_size=3))
    while found and not found[-1]:
        found.pop()
    return tuple(found)


@st.composite
def marks(draw: DrawFn) -> tuple[RoadMark, ...]:
    found = [RoadMark(sign) for sign in draw(st.sets(st.sampled_from(SIGNS), max_size=2))]
    if draw(st.integers(0, 3)) == 0:
        found.append(RoadMark(Sign.ENDING, passes=draw(passes)))
    if draw(st.integers(0, 3)) == 0:
        times = draw(st.just(2) | st.integers(0, 99))
        found.append(RoadMark(Sign.REPEAT_END, times=times, after_jump=draw(st.booleans())))
    return tuple(draw(st.permutations(found)))


@st.composite
def bars_after(draw: DrawFn, before: Bar | None) -> Bar:
    """A bar that may stand after another on paper."""
    same = before is not None and draw(st.integers(0, 3)) > 0
    held = before if before is not None and same else None
    meter = held.meter if held else Meter.parse(draw(st.sampled_from(METERS)))
    pickup = draw(st.integers(0, 5)) == 0
    part = draw(cuts.filter(bool)) if pickup else {Fraction(1)}
    length = min(part) * meter.quarters
    tune = draw(tunes(length)) if pickup or draw(st.booleans()) else ()
    number = next_number(before.number if before else None, pickup)
    bar = Bar(
        number=draw(numbers) if draw(st.integers(0, 5)) == 0 else number,
        meter=meter,
        key=held.key if held else draw(keys),
        tempo=held.tempo if held else draw(tempos),
        feel=held.feel if held else draw(st.sampled_from(["straight", "swing"])),
        length=length,
        pickup=pickup,
        changes=draw(changes(meter, length)),
        tune=tune,
        marks=draw(marks()),
    )
    return Bar(
        bar.number, bar.meter, bar.key, bar.tempo, bar.feel, bar.length, bar.pickup, bar.changes,
        bar.tune,
        words=draw(verses(len(sung(bar, before)) if tune else None)),
        marks=bar.marks,
        double=not bar.mark(Sign.REPEAT_END) and draw(st.booleans()),
    )  # fmt: skip


@st.composite
def charts(draw: DrawFn) -> Chart:
    before: Bar | None = None
    sections = []
    for _ in range(draw(st.integers(1, 3))):
        found = []
        for _ in range(draw(st.integers(1, 4))):
            before = draw(bars_after(before))
            found.append(before)
        sections.append(Section(draw(st.just("") | titles), tuple(found)))
    voice = draw(st.none() | st.tuples(pitches, pitches))
    return Chart(
        title=draw(titles),
        sections=tuple(sections),
        credit=draw(st.just("") | titles),
        note="\n".join(draw(st.lists(lines, max_size=3))),
        voice=voice and (min(voice), max(voice)),
    )


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
    rows = text.split("\n")
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
    *["bar 7", ",", "4/4", "6/8", "84", "G major", "swing", "A3 D5", "1/3", "T", "夜", "\t"],
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
