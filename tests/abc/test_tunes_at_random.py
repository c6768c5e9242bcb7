"""Tunes at random: charts written as ABC come back, damaged files raise nothing but ChartError."""

from fractions import Fraction
from itertools import pairwise

from hypothesis import given, settings
from hypothesis import strategies as st

from chartwalk import leadfile
from chartwalk.abc import loads
from chartwalk.abc.text import decode
from chartwalk.chart import (
    Bar,
    Change,
    Chart,
    Note,
    RoadMark,
    Section,
    Sign,
    Syllable,
)
from chartwalk.chord import ChordSymbol
from chartwalk.key import Key
from chartwalk.meter import Meter
from chartwalk.pitch import Name, Pitch
from chartwalk.problems import ChartError
from chartwalk.roadmap import unroll

# A tiny writer of the subset of ABC that a chart needs: every accidental stands at its note.

SIGNS = {-2: "__", -1: "_", 0: "=", 1: "^", 2: "^^"}
UNIT = Fraction(1, 4)  # quarter notes: L:1/16


def written_note(note: Note) -> str:
    units = note.length / UNIT
    if note.pitch is None:
        return f"z{units}"
    name, octave = note.pitch.name, note.pitch.octave
    letter = name.letter if octave < 5 else name.letter.lower()
    marks = "," * (4 - octave) if octave < 5 else "'" * (octave - 5)
    return f"{SIGNS[name.alter]}{letter}{marks}{units}{'-' * note.tied}"


def rests(bar: Bar) -> tuple[Note, ...]:
    """A bar without a tune as rests, cut where its chords change."""
    cuts = sorted({Fraction(0), *(change.at for change in bar.changes), bar.length})
    return tuple(Note(None, end - start) for start, end in pairwise(cuts))


def written_bar(bar: Bar) -> str:
    chords = {change.at: change.symbol.text for change in bar.changes}
    at = Fraction(0)
    out = ""
    for note in bar.tune or rests(bar):
        out += f'"{chords[at]}"' if at in chords else ""
        out += "H" if at in bar.fermatas else ""
        out += written_note(note)
        at += note.length
    return out


def written(chart: Chart) -> str:
    first = chart.bars[0]
    minor = "m" if first.key.mode == "minor" else ""
    beat = first.meter.beat / 4
    head = [
        "X:1", f"T:{chart.title}", f"M:{first.meter}", "L:1/16", f"Q:{beat}={first.tempo}",
        f"K:{first.key.tonic.ascii}{minor}",
    ]  # fmt: skip
    lines = [*head]
    for bar in chart.bars:
        start = bar.mark(Sign.REPEAT_START)
        ending = bar.mark(Sign.ENDING)
        closing = bar.mark(Sign.REPEAT_END)
        line = "|:" if start else ""
        line += "[" + ",".join(map(str, ending.passes)) + " " if ending else ""
        line += written_bar(bar)
        line += ":" * (closing.times - 1) + "|" if closing else "||" if bar.double else "|"
        lines.append(line)
        if bar.words:
            lines += ["w:" + words(bar, verse) for verse in range(len(bar.words))]
    return "\n".join(lines)


def words(bar: Bar, verse: int) -> str:
    return " ".join(
        s.text.replace("‿", "~") + "-" * s.joined if s.text else "*" for s in bar.words[verse]
    )


# Charts

METERS = [Meter(4, 4), Meter(3, 4), Meter(6, 8), Meter(2, 2), Meter(12, 8), Meter(5, 4)]
METERS += [Meter.grouped(groups, 8) for groups in ((2, 2, 3), (3, 2), (3, 3, 3))]
PITCHES = st.builds(
    Pitch, st.builds(Name, st.sampled_from("CDEFGAB"), st.integers(-2, 2)), st.integers(2, 7)
)
CHORDS = st.sampled_from(["C", "F#m7", "Bb13", "G7/B", "N.C.", "Eø", "A7sus4", "D-7"])
SYLLABLES = st.builds(
    Syllable, st.sampled_from(["tide", "la", "of‿the", "O,", "don't"]), st.booleans()
)


@st.composite
def tunes(draw: st.DrawFn, length: Fraction) -> tuple[Note, ...]:
    notes: list[Note] = []
    left = length
    while left > 0:
        units = draw(st.integers(1, int(left / UNIT)))
        pitch = draw(st.none() | PITCHES)
        notes.append(Note(pitch, units * UNIT))
        left -= units * UNIT
    return tuple(notes)


@st.composite
def plain_bars(draw: st.DrawFn, meter: Meter, key: Key, tempo: Fraction) -> Bar:
    tune = draw(tunes(meter.quarters))
    starts = [sum((n.length for n in tune[:place]), Fraction(0)) for place in range(len(tune))]
    at = draw(st.lists(st.sampled_from(starts), unique=True, max_size=3))
    changes = tuple(Change(place, ChordSymbol.parse(draw(CHORDS))) for place in sorted(at))
    held = draw(st.lists(st.sampled_from(starts), unique=True, max_size=2))
    sounding = [note for note in tune if note.pitch]
    count = len(sounding)
    verses = tuple(
        tuple(draw(SYLLABLES) for _ in range(count)) for _ in range(draw(st.integers(0, 2)))
    )
    return Bar(
        "1", meter, key, tempo, length=meter.quarters, changes=changes,
        tune=tune if sounding else (), words=verses if count else (),
        fermatas=tuple(sorted(held)) if sounding else (),
    )  # fmt: skip


@st.composite
def charts(draw: st.DrawFn) -> Chart:
    meter = draw(st.sampled_from(METERS))
    key = Key(draw(st.integers(-7, 7)), draw(st.sampled_from(["major", "minor"])))
    tempo = Fraction(draw(st.integers(30, 240)))
    marked: list[tuple[Bar, tuple[RoadMark, ...], bool]] = []

    def bars(low: int, high: int) -> list[Bar]:
        return draw(st.lists(plain_bars(meter, key, tempo), min_size=low, max_size=high))

    def add(found: list[Bar], before: tuple[RoadMark, ...], after: tuple[RoadMark, ...]) -> None:
        for place, bar in enumerate(found):
            marks = (before if not place else ()) + (after if place + 1 == len(found) else ())
            marked.append((bar, marks, False))

    for kind in draw(
        st.lists(st.sampled_from(["plain", "repeat", "endings"]), min_size=1, max_size=4)
    ):
        opening = (RoadMark(Sign.REPEAT_START),)
        if kind == "plain":
            add(bars(1, 3), (), ())
        elif kind == "repeat":
            times = draw(st.integers(2, 4))
            add(bars(1, 3), opening, (RoadMark(Sign.REPEAT_END, times=times),))
        else:
            add(bars(1, 2), opening, ())
            passes = draw(st.sampled_from([(1,), (1, 2)]))
            add(bars(1, 2), (RoadMark(Sign.ENDING, passes),), (RoadMark(Sign.REPEAT_END),))
            add(bars(1, 2), (RoadMark(Sign.ENDING, (passes[-1] + 1,)),), ())
            bar, marks, _ = marked[-1]
            marked[-1] = bar, marks, True
    numbered = tuple(
        Bar(
            str(number), bar.meter, bar.key, bar.tempo, bar.feel, bar.length, bar.pickup,
            bar.changes, bar.tune, bar.words, marks, double, bar.fermatas,
        )
        for number, (bar, marks, double) in enumerate(marked, 1)
    )  # fmt: skip
    return Chart("Ebb Tide", (Section("", numbered),))


@given(chart=charts())
@settings(max_examples=60)
def test_a_chart_written_as_abc_comes_back(chart: Chart) -> None:
    reading = loads(written(chart))
    assert reading.chart == chart
    assert not reading.warnings
    assert unroll(reading.chart)


# Damage

VALID = """%abc-2.1
X:1
T:Ebb Tide
C:A. N.
M:6/8
L:1/8
Q:3/8=96
P:AB2A
U:T=!trill!
K:Em clef=treble
P:A
|:"Em"E2F "D/F#"(3GAB c|1 [EGB]3- B2z :|2 {a}b>a ^g/a/ "G(C)"_b'3 ||
w:One lan-tern of~the tide_ * | two
w:Three
P:B
[M:4/4][L:1/4] !segno!c d|[K:D mix =f] e2 f2 !fine!|"^Swing" Z2|g4!D.S.alfine!|]
W:more words
"""
PIECES = [
    "|", ":", "[", "]", "[1", "[2,3", "|:", ":|", "::", "[|]", "(3", "(5:4:6", ">", "<<<", "-", "/",
    "99999", "/0", '"', '"Am', "!", "!coda!", "!D.C.!", "+", "{", "}", "(", ")", "&", "\\", "\n",
    "\n\n", "\r", "\x0b", "\u2028", "X:2\n", "K:", "K:none\n", "K:Zz\n", "M:99/32\n", "M:0/4\n",
    "M:none\n", "L:1/3\n", "L:9/1\n", "Q:0\n", "P:((A2)9)9\n", "P:A\n", "V:2\n", "[V:3]", "W:\n",
    "w:a - _ | * ~ \\- b\n", "%", "%%", "U:c=!segno!\n", "Z99|", "z0", "^^", "__", "=", "'" * 9,
    ",,,,,,,,,", "♭", "é", "\x00", "\x1b[2J", "#", "S", "O", "[CE", "[]", "y", "`",
]  # fmt: skip
EDITS = st.lists(
    st.tuples(st.floats(0, 1), st.integers(0, 30), st.sampled_from(PIECES)), min_size=1, max_size=8
)


def check(text: str, number: int | None = None) -> None:
    """What holds for every text: a chart that unrolls and can be written, or a ChartError."""
    try:
        reading = loads(text, "x.abc", number)
    except ChartError as error:
        assert all(problem.message and problem.line for problem in error.problems)  # noqa: PT017
        return
    unroll(reading.chart)
    assert leadfile.loads(leadfile.dumps(reading.chart)).chart == reading.chart
    assert len(reading.places) == len(reading.chart.bars)
    for warning in reading.warnings:
        assert warning.line
        assert warning.message.isprintable()


@given(edits=EDITS)
@settings(max_examples=200)
def test_damaged_tunes_raise_nothing_else(edits: list[tuple[float, int, str]]) -> None:
    text = VALID
    for where, length, piece in edits:
        place = int(where * len(text))
        text = text[:place] + piece + text[place + length :]
    check(text)


MUSIC = st.lists(st.sampled_from([*PIECES, "c", "D2", "e/", " ", "|", "|"]), max_size=40).map(
    "".join
)


@given(music=MUSIC)
@settings(max_examples=200)
def test_any_row_of_pieces(music: str) -> None:
    check(f"X:1\nM:4/4\nK:C\nc4|{music}")


SIGNS_ON_THE_ROAD = [
    "", "", "", "!segno!", "O", "!D.C.!", "!D.S.!", "!fine!", "!D.C.alcoda!", '"To Coda"', '"Coda"',
    "!D.S.alfine!",
]  # fmt: skip
LINES = [
    "|", "|", "|", ":|", "|:", "::", "||", "|]", "|1", ":|2", "[2", "|[1,3", ":|[2", "::|", "|::",
    "\nP:B\n", "|\nP:A\n",
]  # fmt: skip
STRETCH = st.tuples(st.sampled_from(SIGNS_ON_THE_ROAD), st.sampled_from(LINES)).map("c4".join)


@given(
    road=st.lists(STRETCH, min_size=1, max_size=12),
    order=st.sampled_from(["", "AB", "ABA", "A2B2", "BAB"]),
)
@settings(max_examples=150)
def test_every_road_unrolls(road: list[str], order: str) -> None:
    check(f"X:1\nM:4/4\nL:1/4\nP:{order}\nK:C\nP:A\n{''.join(road)}")


@given(data=st.binary(max_size=200))
@settings(max_examples=200)
def test_any_bytes(data: bytes) -> None:
    check(decode(data))
    check(decode(b"X:1\nK:C\n" + data))
