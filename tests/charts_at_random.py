"""Charts at random: any that the model holds, for the tests of every writer."""

from collections.abc import Sequence
from fractions import Fraction
from functools import cache
from itertools import accumulate, pairwise
from typing import TypeVar

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
from chartwalk.meter import Meter
from chartwalk.pitch import Name, Pitch

T = TypeVar("T")
SYMBOLS = [
    *["C", "F#m7b5", "Bbmaj7#11", "E♭6/9", "N.C.", "N.C", "G7/B", "A13b9", "C+", "Db°7", "B-7#5"],
    *["C(add9)", "E♭maj9/G", "F7sus4", "D△9", "Gø7", "C7(b9,#11)", "Ab/C", "Cx", "Cno3", "n.c."],
    *["Cb#5", "B(b5)", "C/C", "G7/b", "D♯m/F♯♯", "A♭♭", "E7alt", "Fquartal", "C♮maj7", "F6/9/a"],
]
SIGNS = [sign for sign in Sign if sign not in {Sign.ENDING, Sign.REPEAT_END}]
METERS = [
    *["4/4", "3/4", "2/4", "6/8", "9/8", "12/8", "2/2", "5/4", "7/8", "3/8", "1/4", "15/16"],
    *["1/32", "99/4", "6/4", "3+2/4", "2+2+3/8", "3+3/8", "2+2+2/8", "1+1/32"],
]

NO_XML = "\ufffe\uffff"  # a chart can hold them, XML can't

lines = st.text(
    st.characters(exclude_categories=["Cs", "Cc", "Zl", "Zp"], exclude_characters=NO_XML),
    max_size=12,
).map(str.strip)
titles = lines.filter(bool) | st.sampled_from(
    ["Café 夜", "# one", "| C |: D :|", "[b]x[/b]", "a  b"]
)
syllable_texts = st.text(
    st.characters(
        exclude_categories=["Cs", "Cc", "Zs", "Zl", "Zp"], exclude_characters=f"|{NO_XML}"
    ),
    min_size=1,
    max_size=4,
).filter(lambda text: text != "_" and not text.endswith("-"))
syllables = (
    st.builds(Syllable, syllable_texts, st.booleans())
    | st.just(Syllable(""))
    | st.sampled_from([Syllable("la"), Syllable("süß", joined=True), Syllable(":"), Syllable("#")])
)
names = st.builds(Name, st.sampled_from("ABCDEFG"), st.integers(-2, 2))
OCTAVES = (-1, 9)
keys = st.builds(Key, st.integers(-7, 7), st.sampled_from(sorted(MODES)))
tempos = (
    st.integers(1, 999).map(Fraction)
    | st.fractions(1, 999, max_denominator=1000)
    | st.decimals(1, 999, places=3).map(Fraction)
)
passes = st.lists(st.integers(1, 99), min_size=1, max_size=3).map(tuple)
numbers = st.sampled_from(["0", "1", "12a", "X1", "101", "3-4", "1.", "ⅳ", "007"]) | st.text(
    st.characters(
        exclude_categories=["Cs", "Cc", "Zs", "Zl", "Zp"], exclude_characters=f",|{NO_XML}"
    ),
    min_size=1,
    max_size=3,
)
PARTS = {Fraction(n, parts) for parts in (2, 3, 4, 5, 6, 7, 8, 12) for n in range(1, parts)}
cuts = st.sets(st.sampled_from(sorted(PARTS)), max_size=4)
# Made once: a strategy that is made anew at every draw is checked anew, and that takes longest.
symbols = st.sampled_from([ChordSymbol.parse(text) for text in SYMBOLS])
meters = st.sampled_from([Meter.parse(text) for text in METERS])
feels = st.sampled_from(["straight", "swing"])
signs = st.sets(st.sampled_from(SIGNS), max_size=2)
repeats = st.just(2) | st.integers(0, 99)
headings = st.just("") | titles


@cache
def pitches(octaves: tuple[int, int]) -> st.SearchStrategy[Pitch]:
    return st.builds(Pitch, names, st.integers(*octaves))


@cache
def pools(octaves: tuple[int, int]) -> st.SearchStrategy[list[Pitch | None]]:
    return st.lists(pitches(octaves) | st.none(), min_size=1, max_size=3)


@cache
def rows(room: int) -> st.SearchStrategy[tuple[Syllable, ...]]:
    return st.lists(syllables, max_size=room).map(tuple)


def some(draw: DrawFn, values: Sequence[T], most: int) -> set[T]:
    """Some of a few values."""
    picked = draw(st.lists(st.integers(0, len(values) - 1), max_size=most))
    return {values[place] for place in picked}


@st.composite
def tunes(draw: DrawFn, length: Fraction, octaves: tuple[int, int]) -> tuple[Note, ...]:
    edges = [Fraction(0), *sorted(draw(cuts)), Fraction(1)]
    lengths = [(end - start) * length for start, end in pairwise(edges)]
    pool = draw(pools(octaves))
    places = st.integers(0, len(pool) - 1)
    return tuple(Note(pool[draw(places)], part, draw(st.booleans())) for part in lengths)


@st.composite
def changes(draw: DrawFn, meter: Meter, length: Fraction) -> tuple[Change, ...]:
    grid = {meter.beat * beat for beat in range(meter.beats) if meter.beat * beat < length}
    odd = {cut * length for cut in draw(cuts)}
    chosen = some(draw, sorted(grid | odd | {Fraction(0)}), 6)
    return tuple(Change(place, draw(symbols)) for place in sorted(chosen))


@st.composite
def verses(draw: DrawFn, room: int | None) -> tuple[tuple[Syllable, ...], ...]:
    row = rows(4 if room is None else room)
    found = [draw(row) for _ in range(draw(st.integers(0, 3)))]
    while found and not found[-1]:
        found.pop()
    return tuple(found)


@st.composite
def marks(draw: DrawFn) -> tuple[RoadMark, ...]:
    found = [RoadMark(sign) for sign in draw(signs)]
    if draw(st.integers(0, 3)) == 0:
        found.append(RoadMark(Sign.ENDING, passes=draw(passes)))
    if draw(st.integers(0, 3)) == 0:
        times = draw(repeats)
        found.append(RoadMark(Sign.REPEAT_END, times=times, after_jump=draw(st.booleans())))
    return tuple(draw(st.permutations(found)))


@st.composite
def fermatas(
    draw: DrawFn, tune: tuple[Note, ...], changes: tuple[Change, ...], length: Fraction
) -> tuple[Fraction, ...]:
    """Places of notes and chords, and such where nothing begins."""
    if draw(st.integers(0, 2)):
        return ()
    ends = list(accumulate((note.length for note in tune), initial=Fraction(0)))
    begun = [Fraction(0), *ends[: len(tune)], *(change.at for change in changes)]
    return tuple(sorted(some(draw, [*begun, length / 2, length * 3 / 4], 3)))


@st.composite
def bars_after(draw: DrawFn, before: Bar | None, octaves: tuple[int, int] = OCTAVES) -> Bar:
    """A bar that may stand after another on paper."""
    same = before is not None and draw(st.integers(0, 3)) > 0
    held = before if before is not None and same else None
    meter = held.meter if held else draw(meters)
    pickup = draw(st.integers(0, 5)) == 0
    part = draw(cuts.filter(bool)) if pickup else {Fraction(1)}
    length = min(part) * meter.quarters
    tune = draw(tunes(length, octaves)) if pickup or draw(st.booleans()) else ()
    number = next_number(before.number if before else None, pickup)
    bar = Bar(
        number=draw(numbers) if draw(st.integers(0, 5)) == 0 else number,
        meter=meter,
        key=held.key if held else draw(keys),
        tempo=held.tempo if held else draw(tempos),
        feel=held.feel if held else draw(feels),
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
        fermatas=draw(fermatas(tune, bar.changes, length)),
    )  # fmt: skip


@st.composite
def charts(draw: DrawFn, octaves: tuple[int, int] = OCTAVES) -> Chart:
    """Charts whose tunes lie within some octaves, the lowest and the highest."""
    before: Bar | None = None
    sections = []
    for _ in range(draw(st.integers(1, 3))):
        found = []
        for _ in range(draw(st.integers(1, 4))):
            before = draw(bars_after(before, octaves))
            found.append(before)
        sections.append(Section(draw(headings), tuple(found)))
    voice = draw(st.none() | st.tuples(pitches(OCTAVES), pitches(OCTAVES)))
    return Chart(
        title=draw(titles),
        sections=tuple(sections),
        credit=draw(headings),
        note="\n".join(draw(st.lists(lines, max_size=3))),
        voice=voice and (min(voice), max(voice)),
    )
