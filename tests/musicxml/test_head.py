"""Title, credit, parts, sections, bar numbers, and the shapes a score may have."""

from collections.abc import Callable
from pathlib import Path

import pytest

from chartwalk.musicxml import read, read_bytes
from chartwalk.pitch import Pitch
from chartwalk.reading import Reading

Read = Callable[..., Reading]
Sheet = Callable[..., bytes]

WORK = "<work><work-title>The  Work</work-title></work>"
MOVEMENT = "<movement-title>The\nMovement</movement-title>"
CREDIT = (
    "<credit><credit-type>subtitle</credit-type><credit-words>No</credit-words></credit>"
    "<credit><credit-type>title</credit-type><credit-words>The Credit</credit-words></credit>"
)


@pytest.mark.parametrize(
    ("head", "title"),
    [(MOVEMENT + WORK + CREDIT, "The Movement"), (WORK + CREDIT, "The Work"),
     (CREDIT, "The Credit"), ("<movement-title/>" + WORK, "The Work"), ("", "sheet")],
)  # fmt: skip
def test_titles(read_sheet: Read, head: str, title: str) -> None:
    assert read_sheet("C5:4", head=head).chart.title == title


def test_a_score_without_a_title_has_the_name_of_its_file(sheet: Sheet, tmp_path: Path) -> None:
    path = tmp_path / "ebb\ttide\x1b.musicxml"
    path.write_bytes(sheet("C5:4"))
    assert read(path).chart.title == "ebb tide"


def test_credit_names_every_creator_once(read_sheet: Read) -> None:
    creators = (
        '<creator type="composer">A. Maker</creator><creator type="lyricist">B. Poet</creator>'
        '<creator type="arranger">A. Maker</creator><creator/>'
    )
    head = f"<identification>{creators}</identification>"
    assert read_sheet("C5:4", head=head).chart.credit == "A. Maker, B. Poet"
    assert read_sheet("C5:4").chart.credit == ""


def test_sections_start_at_rehearsal_marks_and_words(read_sheet: Read) -> None:
    mark = "<direction><direction-type><rehearsal>B</rehearsal></direction-type></direction>"
    chart = read_sheet(
        "C5:1 / w:Verse C5:4 / C5:4 / {b} w:Slowly w:Chorus C5:4 w:Tag / C5:4", b=mark
    ).chart
    assert [(section.name, len(section.bars)) for section in chart.sections] == [
        ("", 1), ("Verse", 2), ("B", 1), ("Tag", 1),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("number", "printed"), [("0", "0"), ("6", "6"), (" 1X ", "1X"), ("", "1"), ("1 |,2", "12")]
)
def test_bar_numbers_are_what_the_page_has(sheet: Sheet, number: str, printed: str) -> None:
    data = sheet("C5:4").replace(b'number="1"', f'number="{number}"'.encode())
    assert read_bytes(data, "x").chart.bars[0].number == printed


def _parts(*parts: str) -> bytes:
    names = "".join(
        f'<score-part id="P{n}"><part-name>Part {n}</part-name></score-part>'
        for n in range(1, len(parts) + 1)
    )
    bodies = "".join(
        f'<part id="P{n}"><measure number="1">{inner}</measure></part>'
        for n, inner in enumerate(parts, 1)
    )
    return f"<score-partwise><part-list>{names}</part-list>{bodies}</score-partwise>".encode()


NOTE = "<note><pitch><step>{}</step><octave>5</octave></pitch><duration>4</duration>{}</note>"
HARMONY = "<harmony><root><root-step>C</root-step></root><kind>major</kind></harmony>"


@pytest.mark.parametrize(
    ("parts", "step", "place"),
    [((NOTE.format("C", ""), HARMONY + NOTE.format("D", "")), "D", 2),
     ((NOTE.format("C", ""), NOTE.format("E", "<lyric><text>la</text></lyric>")), "E", 2),
     ((NOTE.format("C", ""), NOTE.format("D", "")), "C", 1)],
)  # fmt: skip
def test_the_lead_is_the_part_with_chords_then_words_then_the_first(
    parts: tuple[str, ...], step: str, place: int
) -> None:
    reading = read_bytes(_parts(*parts), "x")
    pitch = reading.chart.bars[0].tune[0].pitch
    assert pitch is not None
    assert pitch.name.letter == step
    assert f"of 2 parts only part {place} (Part {place}) is read" in [
        warning.message for warning in reading.warnings
    ]


TIME = "<time><beats>4</beats><beat-type>4</beat-type></time>"


def transposed(semitones: int, octaves: int = 0, more: str = "") -> str:
    octave = f"<octave-change>{octaves}</octave-change>" if octaves else ""
    return f"<transpose{more}><chromatic>{semitones}</chromatic>{octave}</transpose>"


# MusicXML 4.0 `transpose`: what sounds is what is written, moved by so many semitones and octaves.
# Written in D major, D and F#: a clarinet in B flat, a saxophone in E flat, a tenor saxophone, and
# a voice in the tenor's octave.
@pytest.mark.parametrize(
    ("xml", "sounding"),
    [(transposed(-2), "C major: C E5, 2 semitones lower"),
     (transposed(3), "F major: F A5, 3 semitones higher"),
     (transposed(-2, -1), "C major: C E4, 14 semitones lower"),
     (transposed(0, -1), "D major: D F#4, 12 semitones lower"),
     (transposed(-12), "D major: D F#4, 12 semitones lower")],
)  # fmt: skip
def test_a_transposing_part_is_read_as_it_sounds(read_sheet: Read, xml: str, sounding: str) -> None:
    key = "<key><fifths>2</fifths></key>"
    reading = read_sheet("h:D F#5:4", attributes=f"{key}{TIME}{xml}")
    (bar,) = reading.chart.bars
    (warning,) = reading.warnings
    pitch = bar.tune[0].pitch
    assert pitch is not None
    told = warning.message.removeprefix("the part sounds ").partition(" than it is written")[0]
    assert f"{bar.key.ascii}: {bar.changes[0].symbol.text} {pitch.ascii}, {told}" == sounding


@pytest.mark.parametrize("xml", [transposed(0), transposed(-2, 0, ' number="2"'), transposed(99)])
def test_what_is_no_transposition(read_sheet: Read, xml: str) -> None:
    reading = read_sheet("h:D F#5:4", attributes=TIME + xml)
    assert reading.chart.bars[0].changes[0].symbol.text == "D"
    assert not reading.warnings


def test_a_part_that_would_sound_where_no_key_is(read_sheet: Read) -> None:
    reading = read_sheet("C1:4", attributes=TIME + transposed(0, -2))
    assert reading.chart.bars[0].tune[0].pitch == Pitch.parse("C1")
    assert "read as written" in reading.warnings[0].message


def test_a_change_of_instrument_is_told(read_sheet: Read) -> None:
    reading = read_sheet("h:D D5:4 / {t} h:D D5:4", t=f"<attributes>{transposed(-2)}</attributes>")
    assert [bar.changes[0].symbol.text for bar in reading.chart.bars] == ["D", "D"]
    (warning,) = reading.warnings
    assert warning.bar == "2"
    assert "not followed" in warning.message


LYRIC = "<lyric><text>la</text></lyric>"


def test_chords_and_words_from_two_parts_come_together() -> None:
    reading = read_bytes(_parts(NOTE.format("C", LYRIC), HARMONY + NOTE.format("D", "")), "x")
    (bar,) = reading.chart.bars
    assert bar.tune[0].pitch == Pitch.parse("C5")
    assert bar.words[0][0].text == "la"
    assert [change.symbol.text for change in bar.changes] == ["C"]
    assert "of 2 parts the tune is read from part 1 (Part 1), the chords from part 2 (Part 2)" in [
        warning.message for warning in reading.warnings
    ]


def test_a_part_with_both_goes_before_a_part_with_either() -> None:
    parts = (HARMONY + NOTE.format("C", ""), NOTE.format("D", LYRIC))
    both = HARMONY + NOTE.format("E", LYRIC)
    reading = read_bytes(_parts(*parts, both), "x")
    assert reading.chart.bars[0].tune[0].pitch == Pitch.parse("E5")


def test_chords_in_the_key_of_another_instrument_bring_their_own_tune() -> None:
    horn = f"<attributes>{transposed(-7)}</attributes>{HARMONY}{NOTE.format('D', '')}"
    reading = read_bytes(_parts(NOTE.format("C", LYRIC), horn), "x")
    (bar,) = reading.chart.bars
    assert bar.changes[0].symbol.text == "F"  # C for a horn in F sounds a fifth lower
    assert bar.tune[0].pitch == Pitch.parse("G4")


def test_of_two_staves_the_upper_is_read_and_told(read_sheet: Read) -> None:
    low = (
        "<backup><duration>96</duration></backup><note><pitch><step>C</step><octave>3</octave>"
        "</pitch><duration>96</duration><voice>5</voice><staff>2</staff></note>"
    )
    reading = read_sheet("C5:4 {low}", low=low)
    assert reading.chart.bars[0].tune[0].pitch == Pitch.parse("C5")
    (warning,) = reading.warnings
    assert warning.message == "of 2 staves only staff 1 is read"


def test_who_made_the_song_may_stand_on_the_page_alone(read_sheet: Read) -> None:
    head = (
        "<credit><credit-type>composer</credit-type><credit-words>A. Maker</credit-words></credit>"
    )
    reading = read_sheet("C5:4", head=head)
    assert reading.chart.credit == "A. Maker"
    assert not reading.warnings


def test_timewise_scores(sheet: Sheet) -> None:
    text = sheet("h:C C5:4 / h:F D5:4").decode()
    inside = text[text.index("<measure") : text.rindex("</part>")]
    timewise = inside.replace("<measure", "<measure_").replace("</measure>", "</part></measure>")
    timewise = timewise.replace('<measure_ number="1">', '<measure number="1"><part id="P1">')
    timewise = timewise.replace('<measure_ number="2">', '<measure number="2"><part id="P1">')
    data = f"<score-timewise><part-list/>{timewise}</score-timewise>".encode()
    assert read_bytes(data, "sheet").chart == read_bytes(text.encode(), "sheet").chart


DOCTYPE = (
    '<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" '
    '"http://www.musicxml.org/dtds/partwise.dtd">'
)


@pytest.mark.parametrize(
    "dress",
    [lambda text: text.encode(),
     lambda text: b"\xef\xbb\xbf" + text.encode(),
     lambda text: ('<?xml version="1.0" encoding="UTF-16"?>' + text).encode("utf-16"),
     lambda text: ('<?xml version="1.0" encoding="ISO-8859-1"?>' + text).encode("latin-1"),
     lambda text: (DOCTYPE + text).encode(),
     lambda text: text.replace(
         "<score-partwise>", '<score-partwise xmlns="http://www.musicxml.org/ns">').encode(),
     lambda text: ("<!-- a comment --><?a b?>" + text).encode()],
    ids=["utf-8", "signed", "utf-16", "latin-1", "doctype", "namespace", "comment"],
)  # fmt: skip
def test_encodings_and_roots(sheet: Sheet, dress: Callable[[str], bytes]) -> None:
    text = sheet("h:C C5:2'né D5:2").decode()
    chart = read_bytes(dress(text), "sheet").chart
    assert chart == read_bytes(text.encode(), "sheet").chart
    assert chart.bars[0].words[0][0].text == "né"


def test_a_path_is_read_and_named_in_warnings(sheet: Sheet, tmp_path: Path) -> None:
    path = tmp_path / "Some Song.musicxml"
    path.write_bytes(sheet("C5:4 / |: C5:4"))
    reading = read(path)
    assert reading.chart.title == "Some Song"
    assert reading.places == ()
    (warning,) = reading.warnings
    assert str(warning) == f"{path} bar 2: a repeat (|:) is never closed: left out"
