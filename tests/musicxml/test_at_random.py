"""Files at random: damaged ones raise nothing but ChartError, and every road unrolls."""

from collections.abc import Callable
from copy import deepcopy
from xml.etree.ElementTree import Element, fromstring, tostring

from hypothesis import given, settings
from hypothesis import strategies as st

from chartwalk.leadfile import dumps, loads
from chartwalk.musicxml import read_bytes
from chartwalk.problems import ChartError
from chartwalk.reading import Reading
from chartwalk.roadmap import unroll

Sheet = Callable[..., bytes]
Read = Callable[..., Reading]

VALID = (
    "h:F C5:1'One / |: h:Bb C5:2'lan-'sun D5:2'tern'sets segno / [1 {dom} F#4:1.5 r:.5 G4:2~ coda "
    ":| / [2 ~G4:4 w:Fine / h:C h:G {tempo} C5:3 w:D.S._al_Fine || / C5:1 w:N.C. / r:4"
)
RAW = {
    "dom": (
        '<harmony><root><root-step>G</root-step></root><kind text="7">dominant</kind><bass>'
        "<bass-step>B</bass-step></bass><degree><degree-value>9</degree-value><degree-alter>-1"
        "</degree-alter><degree-type>add</degree-type></degree><offset>12</offset></harmony>"
    ),
    "tempo": (
        "<direction><direction-type><metronome><beat-unit>quarter</beat-unit><per-minute>96"
        '</per-minute></metronome></direction-type><sound tempo="96"/></direction>'
    ),
}
PIECES = [
    b"", b"<", b">", b"/>", b"0", b"-1", b"1e9", b"999999999", b"nan", b"\xff", b"&amp;", b"&x;",
    b"<note/>", b"<harmony/>", b"<measure/>", b"<barline/>", b"<attributes/>", b"<direction/>",
    b"<backup><duration>999999999</duration></backup>", b"<divisions>0.001</divisions>",
    b"<forward><duration>0.3333333</duration></forward>", b"<chord/>", b"<grace/>", b"1/3", b"\x00",
    b'<ending number="2,3" type="start"/>', b'<repeat direction="backward" times="9"/>',
    b"<time><beats>7+3</beats><beat-type>16</beat-type></time>", b"major", b"other", b"C" * 500,
    b"<type>eighth</type><time-modification><actual-notes>7</actual-notes><normal-notes>4"
    b"</normal-notes></time-modification>", b"<octave>99</octave>", "ﬂ♭𝄌‿\u2028".encode(),
]  # fmt: skip
edits = st.lists(
    st.tuples(st.floats(0, 1), st.integers(0, 40), st.sampled_from(PIECES)), min_size=1, max_size=6
)


def check(reading: Reading) -> None:
    """What holds for every chart that is read: it unrolls, and a `.lead` file can hold it."""
    unroll(reading.chart)
    assert loads(dumps(reading.chart)).chart == reading.chart


@given(edits=edits)
@settings(max_examples=300, deadline=None)
def test_damaged_bytes_raise_nothing_else(
    sheet: Sheet, edits: list[tuple[float, int, bytes]]
) -> None:
    data = sheet(VALID, **RAW)
    for where, length, piece in edits:
        place = int(where * len(data))
        data = data[:place] + piece + data[place + length :]
    try:
        reading = read_bytes(data, "x.musicxml")
    except ChartError as error:
        assert all(problem.message for problem in error.problems)  # noqa: PT017
    else:
        check(reading)


VALUES = [
    "", " ", "0", "-1", "1", "2", "3", "4", "5", "7", "16", "99", "999999999", "0.001", "1/3",
    "yes", "no", "start", "stop", "left", "right", "forward", "backward", "C", "B", "b5", "nan",
    "a|b", "m7",
    "none", "other", "Neapolitan", "D.C. al Coda", "To Coda", "N.C.", "-", "_", "\u2028x\u00a0y",
]  # fmt: skip
changed = st.lists(
    st.tuples(
        st.sampled_from(["text", "attribute", "drop", "copy", "move"]),
        st.floats(0, 1),
        st.floats(0, 1),
        st.sampled_from(VALUES),
    ),
    max_size=10,
)


def change(root: Element, action: str, at: Element, other: Element, value: str) -> None:
    """Do one kind of damage that leaves a file well-formed."""
    parents = {child: parent for parent in root.iter() for child in parent}
    if action == "text":
        at.text = value
    elif action == "attribute" and at.attrib:
        at.set(min(at.attrib), value)
    elif action == "drop" and at in parents:
        parents[at].remove(at)
    elif action in ("copy", "move") and at in parents and at not in set(other.iter()):
        within = parents.get(other, root)
        if within not in set(at.iter()):
            if action == "move":
                parents[at].remove(at)
            within.insert(len(within) // 2, deepcopy(at))


@given(changes=changed)
@settings(max_examples=300, deadline=None)
def test_well_formed_files_that_make_no_sense(
    sheet: Sheet, changes: list[tuple[str, float, float, str]]
) -> None:
    root = fromstring(sheet(VALID, **RAW))
    for action, first, second, value in changes:
        elements = list(root.iter())
        at, other = (elements[int(where * (len(elements) - 1))] for where in (first, second))
        change(root, action, at, other, value)
    try:
        reading = read_bytes(tostring(root, "utf-8"), "x.musicxml")
    except ChartError as error:
        assert "no " in str(error)  # noqa: PT017 (no score, no part, no bars)
    else:
        check(reading)


@given(data=st.binary(max_size=200))
@settings(max_examples=100, deadline=None)
def test_any_bytes(data: bytes) -> None:
    for start in (b"", b"PK\x03\x04", b"<?xml version='1.0'?><score-partwise>"):
        try:
            read_bytes(start + data, "x")
        except ChartError as error:
            assert error.problems  # noqa: PT017


SIGNS = [
    "segno", "coda", "w:D.C.", "w:D.S.", "w:D.C._al_Fine", "w:D.S._al_Fine", "w:D.C._al_Coda",
    "w:D.S._al_Coda", "w:Fine", "w:To_Coda", "w:Coda", "w:3x", "s:dacapo", "s:dalsegno", "s:tocoda",
    "s:coda", "s:fine", "s:segno", "s:forward-repeat",
]  # fmt: skip
LEFT = st.sampled_from(["", "", "", "|:", "[1", "[2", "[3", "[1,2", "[", "|: [1", "[4 |:"])
RIGHT = st.sampled_from(["", "", "", ":|", "]", "] :|", "||"])
DIRECTED = st.one_of(st.just(""), st.just(""), st.sampled_from(SIGNS))
bars = st.tuples(LEFT, DIRECTED, st.just("C5:4"), DIRECTED, RIGHT).map(" ".join)


@given(road=st.lists(bars, min_size=1, max_size=9).map(" / ".join))
@settings(max_examples=500, deadline=None)
def test_every_road_unrolls(read_sheet: Read, road: str) -> None:
    check(read_sheet(road))
