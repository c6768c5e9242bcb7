"""Fermatas and groups of meters in scores: read, written, and as music21 10.5.1 reads them."""

from collections.abc import Callable
from fractions import Fraction
from pathlib import Path
from typing import Any
from xml.etree.ElementTree import Element, fromstring

import pytest
from tests.schema_facts import out_of_order

from chartwalk.chart import Chart
from chartwalk.leadfile import loads
from chartwalk.musicxml import read, read_bytes
from chartwalk.musicxml.out import write
from chartwalk.reading import Reading

Read = Callable[..., Reading]

HELD = "<notations><fermata/></notations>"
# MusicXML 4.0: fermata-shape; the type turns it upside down.
SHAPES = ["<fermata/>", "<fermata type='inverted'>square</fermata>", "<fermata>angled</fermata>"]
ON_LINE = "<barline location='{}'><fermata type='upright'/></barline>"
DRAWN = (
    "<direction><direction-type><symbol>{}</symbol></direction-type><offset>24</offset></direction>"
)
MARK = b"<software>chartwalk</software>"


def note(length: int, *, held: str = "", voice: int = 1, chord: str = "", pitch: str = "C") -> str:
    sound = f"<pitch><step>{pitch}</step><octave>5</octave></pitch>" if pitch else "<rest/>"
    notations = f"<notations>{held}</notations>" if held else ""
    return (
        f"<note>{chord}{sound}<duration>{length * 24}</duration><voice>{voice}</voice>"
        f"{notations}</note>"
    )


def fermatas(chart: Chart) -> list[str]:
    return [" ".join(map(str, bar.fermatas)) for bar in chart.bars]


@pytest.mark.parametrize("shape", SHAPES)
def test_a_fermata_of_any_shape(read_sheet: Read, shape: str) -> None:
    reading = read_sheet("D5:4 / {x} / D5:4", x=note(3) + note(1, held=shape))
    assert fermatas(reading.chart) == ["", "3", ""]
    assert not reading.warnings


@pytest.mark.parametrize(
    ("xml", "places", "told"),
    [
        (note(2, held="<fermata/>") + note(2, held="<fermata/>"), "0 2", ""),
        (note(2) + note(2, held="<fermata/>", pitch=""), "2", ""),  # on a rest
        # On any note of a chord, of which the top one is read.
        (note(2, pitch="E") + note(2, chord="<chord/>", held="<fermata/>") + note(2), "0", "top"),
        ("C5:4", "", ""),
        # Several notations in one note.
        (note(4, held="<slur type='start'/></notations><notations><fermata/>"), "0", "slurs"),
    ],
)
def test_on_notes_and_rests(read_sheet: Read, xml: str, places: str, told: str) -> None:
    reading = read_sheet("D5:4 / {x} / D5:4", x=xml)
    assert fermatas(reading.chart)[1] == places
    assert told in " ".join(warning.message for warning in reading.warnings)
    assert bool(reading.warnings) == bool(told)


def test_a_fermata_in_a_voice_that_is_not_read(read_sheet: Read) -> None:
    """What ends together is held together; a fermata that stands elsewhere is told."""
    upper = note(4, held="<fermata/>")
    back = "<backup><duration>96</duration></backup>"
    together = note(3, voice=2) + note(1, voice=2, held="<fermata/>")
    before = note(3, voice=2, held="<fermata/>") + note(1, voice=2)
    message = "fermatas on notes that are not read are left out"
    for lower, told in ((together, False), (before, True)):
        reading = read_sheet("D5:4 / {x} / D5:4", x=upper + back + lower)
        assert fermatas(reading.chart) == ["", "0", ""]
        assert any(w.message == message and w.bar == "2" for w in reading.warnings) == told


@pytest.mark.parametrize(
    ("bar", "line", "expected"),
    [
        ("C5:1 C5:3", "right", ["", "1", ""]),  # on the last note before the line
        ("C5:2 r:2", "right", ["", "0", ""]),
        ("C5:4", "left", ["2", "", ""]),
        ("h:C {rest} h:G {rest}", "right", ["", "2", ""]),  # a bar of chords
    ],
)
def test_on_a_bar_line(read_sheet: Read, bar: str, line: str, expected: list[str]) -> None:
    barline = ON_LINE.format(line)
    rest = note(2, pitch="")
    placed = f"{{line}} {bar}" if line == "left" else f"{bar} {{line}}"
    reading = read_sheet(f"D5:2 D5:2 / {placed} / D5:4", line=barline, rest=rest)
    assert fermatas(reading.chart) == expected
    assert not reading.warnings


def test_on_the_left_line_of_the_first_bar_is_on_nothing(read_sheet: Read) -> None:
    assert fermatas(read_sheet("{line} D5:4", line=ON_LINE.format("left")).chart) == [""]


@pytest.mark.parametrize("name", ["fermataAbove", "fermataLongBelow"])
def test_drawn_above_the_staff(read_sheet: Read, name: str) -> None:
    """SMuFL, holds and pauses: the names of its fermatas; `offset` counts divisions."""
    reading = read_sheet("{x} D5:4", x=DRAWN.format(name))
    assert fermatas(reading.chart) == ["1"]
    assert fermatas(read_sheet("{x} D5:4", x=DRAWN.format("segno")).chart) == [""]


# Rows of a `.lead` file, and where the signs stand in the score: element, note or rest, offset.
WRITTEN = [
    ("road | fermata |\ntune | C4:2 E4:2 |", ["note E"]),
    ("road | fermata@1, fermata |\ntune | C4:2 E4:2 |", ["note C", "note E"]),
    ("road | fermata@1 |\ntune | C4:5/4 E4:11/4 |", ["note C"]),  # C is drawn as two notes
    ("road | fermata@3 |\ntune | C4:2 r:2 |", ["note rest"]),
    ("road | fermata |\nchords | C |", ["note rest"]),
    ("road | fermata |\nchords | C G |", ["direction +2"]),
    ("road | fermata@4 |\ntune | C4:2 E4:2 |", ["direction +1"]),
    ("road | fermata@2 |\ntune | C4:5/4 E4:11/4 |", ["note C"]),  # where C goes on
    ("road | fermata |\nchords | C |\nwords | la la |", ["note B"]),  # on a slash
    ("road | fermata@1, fermata@4 |\nchords | C G |", ["note rest", "direction +3"]),
]


def signs(measure: Element) -> list[str]:
    divisions = int(measure.findtext("attributes/divisions", "1"))
    found = []
    for child in measure:
        if child.find("notations/fermata") is not None:
            found.append(f"note {child.findtext('pitch/step', 'rest')}")
        elif child.find("direction-type/symbol") is not None:
            found.append(f"direction +{Fraction(child.findtext('offset', '0')) / divisions}")
    return sorted(found, reverse=True)


@pytest.mark.parametrize(("rows", "expected"), WRITTEN)
def test_where_a_fermata_is_written(rows: str, expected: list[str]) -> None:
    chart = loads(f"title T\nmeter 4/4\n\n{rows}\n").chart
    data = write(chart).data
    (measure,) = fromstring(data).findall("part/measure")
    assert signs(measure) == sorted(expected, reverse=True)
    assert out_of_order(fromstring(data)) == []
    assert read_bytes(data, "x").chart == chart
    assert read_bytes(data.replace(MARK, b""), "x").chart.bars[0].fermatas == chart.bars[0].fermatas


GROUPS = (
    "title T\nmeter 2+2+3/8\n\nroad | fermata |\ntune | C4:1 D4:1 E4:1.5 |\n\n"
    "meter 3+2/4\nroad | fermata@1, fermata |\ntune | C4:3 D4:2 |\n\n"
    "meter 5/4\nroad | fermata |\nchords | C |\n"
)


def test_groups_are_written_as_beats() -> None:
    """MusicXML 4.0 `beats`: 3+2 for a composite signature."""
    measures = fromstring(write(loads(GROUPS).chart).data).findall("part/measure")
    times = [
        (measure.findtext("attributes/time/beats"), measure.findtext("attributes/time/beat-type"))
        for measure in measures
    ]
    assert times == [("2+2+3", "8"), ("3+2", "4"), ("5", "4")]


def test_music21_reads_our_fermatas_and_groups(tmp_path: Path) -> None:
    from music21 import converter

    path = tmp_path / "held.musicxml"
    path.write_bytes(write(loads(GROUPS).chart).data)
    score: Any = converter.parse(path, forceSource=True)
    measures = list(score.parts[0].getElementsByClass("Measure"))
    assert [held_in(measure) for measure in measures] == ["2", "0 3", "0"]
    first, second, third = (measure.timeSignature for measure in measures)
    assert [beat.duration.quarterLength for beat in first.beatSequence] == [1, 1, 1.5]
    assert [beat.duration.quarterLength for beat in second.beatSequence] == [3, 2]
    assert third.beatCount == 5  # nothing is written of its groups


def held_in(measure: Any) -> str:  # noqa: ANN401 - music21 has no types
    places = {
        Fraction(element.getOffsetInHierarchy(measure))
        for element in measure.recurse().notesAndRests
        if any("Fermata" in expression.classes for expression in element.expressions)
    }
    return " ".join(map(str, sorted(places)))


@pytest.mark.parametrize("name", ["bach/bwv66.6", "bach/bwv10.7", "bach/bwv7.7"])
def test_the_fermatas_of_a_chorale_are_those_of_music21(name: str) -> None:
    """Those of the part that is read."""
    from music21 import converter, corpus

    path = Path(str(corpus.getWork(name)))
    reading = read(path)
    score: Any = converter.parse(path, forceSource=True)
    told = next(w.message for w in reading.warnings if "parts" in w.message)
    part = score.parts[int(told.split("part ")[1].split()[0]) - 1]
    theirs = [held_in(measure) for measure in part.getElementsByClass("Measure")]
    assert fermatas(reading.chart) == theirs
    assert any(theirs)
    assert not any("fermata" in warning.message for warning in reading.warnings)
