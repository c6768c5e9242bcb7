"""What stands in a written file, element by element, as the standard has it (MusicXML 4.0)."""

from fractions import Fraction
from xml.etree.ElementTree import Element, fromstring, tostring

import pytest

from chartwalk.chart import Bar, Change, Chart, Section
from chartwalk.chord import ChordSymbol
from chartwalk.leadfile import loads
from chartwalk.musicxml import read_bytes
from chartwalk.musicxml.out import write
from chartwalk.musicxml.out.values import drawn

HEAD = "title T\nmeter {}\n\n"


def measures(rows: str, meter: str = "4/4", head: str = "") -> list[Element]:
    chart = loads(head + HEAD.format(meter) + rows + "\n").chart
    return fromstring(write(chart).data).findall("part/measure")


def notes(measure: Element) -> list[str]:
    """The notes of a measure: name, duration in quarters if divisions are 1, value, ties."""

    def one(note: Element) -> str:
        pitch = note.find("pitch")
        name = "r" if pitch is None else f"{pitch.findtext('step')}{pitch.findtext('octave')}"
        dots = "." * len(note.findall("dot"))
        ties = "".join(
            {"stop": "(", "start": ")"}[tie.get("type", "")] for tie in note.iter("tied")
        )
        return f"{name} {note.findtext('type', '?')}{dots}{ties}"

    return [one(note) for note in measure.findall("note")]


def texts(measure: Element, path: str) -> list[str]:
    return [element.text or "" for element in measure.findall(path)]


def test_the_head() -> None:
    chart = loads(
        "title Low & Tide\ncredit N. O. Body\nnote one <\nnote two\nvoice A3 D5\nmeter 4/4\n\n"
        "chords | C |\n"
    ).chart
    root = fromstring(write(chart).data)
    assert (root.tag, root.get("version")) == ("score-partwise", "4.0")
    assert root.findtext("work/work-title") == "Low & Tide"
    assert root.findtext("identification/creator") == "N. O. Body"
    fields = root.findall("identification/miscellaneous/miscellaneous-field")
    assert {field.get("name"): field.text for field in fields} == {
        "chartwalk-note": "one <\ntwo",
        "chartwalk-voice": "A3 D5",
    }


def test_what_holds_is_said_once_and_where_it_changes() -> None:
    rows = (
        "key D minor\ntempo 84\nfeel swing\nchords | Dm | A7 |\n\n"
        "key F major\nmeter 6/8\nfeel straight\nchords | F | C |\n\ntempo 80\nchords | F |\n"
    )
    bars = measures(rows)
    assert [texts(bar, "attributes/key/fifths") for bar in bars] == [["-1"], [], ["-1"], [], []]
    assert [texts(bar, "attributes/key/mode") for bar in bars] == [
        ["minor"], [], ["major"], [], [],
    ]  # fmt: skip
    assert [texts(bar, "attributes/time/beats") for bar in bars] == [["4"], [], ["6"], [], []]
    assert [texts(bar, "attributes/clef/sign") for bar in bars] == [["G"], [], [], [], []]
    metronome = "direction/direction-type/metronome"
    # 84 quarters are 56 dotted quarters, so the tempo is said again only where it is 80.
    assert [texts(bar, f"{metronome}/per-minute") for bar in bars] == [["84"], [], [], [], ["80"]]
    assert texts(bars[4], f"{metronome}/beat-unit") == ["quarter"]
    assert len(bars[4].findall(f"{metronome}/beat-unit-dot")) == 1
    sounds = [sound.attrib for sound in bars[4].findall("direction/sound")]
    assert sounds == [{"tempo": "120"}]
    assert [texts(bar, "direction/sound/swing/first") for bar in bars[:2]] == [["2"], []]
    assert bars[2].find("direction/sound/swing/straight") is not None


HARMONIES = [
    ("C", "C 0", "major", "", []),
    ("F#m7b5", "F 1", "half-diminished", "m7b5", []),
    ("Bbmaj7#11", "B -1", "major-seventh", "maj7#11", ["add 11 1"]),
    ("G7b9", "G 0", "dominant", "7b9", ["add 9 -1"]),
    ("G7sus4", "G 0", "suspended-fourth", "7sus4", ["add 7 0"]),
    ("Cmaj7#5", "C 0", "major-seventh", "maj7#5", ["alter 5 1"]),
    ("C(add9)", "C 0", "major", "(add9)", ["add 9 0"]),
    ("Am(maj7)", "A 0", "major-minor", "m(maj7)", []),
    ("C7no3", "C 0", "power", "7no3", ["add 7 0"]),
    ("C9no3", "C 0", "dominant-ninth", "9no3", ["subtract 3 0"]),
    ("E7alt", "E 0", "augmented-seventh", "7alt", ["add 5 -1", "add 9 -1", "add 9 1"]),
]


@pytest.mark.parametrize(("symbol", "root", "kind", "text", "degrees"), HARMONIES)
def test_a_chord_by_root_kind_and_degrees(
    symbol: str, root: str, kind: str, text: str, degrees: list[str]
) -> None:
    """MusicXML 4.0: `kind`, `degree-alter`: an added degree counts from a dominant chord."""
    (measure,) = measures(f"chords | {symbol} |")
    harmony = measure.find("harmony")
    assert harmony is not None
    step, alter = harmony.findtext("root/root-step"), harmony.findtext("root/root-alter", "0")
    assert f"{step} {alter}" == root
    element = harmony.find("kind")
    assert element is not None
    assert (element.text, element.get("text")) == (kind, text)
    found = harmony.findall("degree")
    parts = ("degree-type", "degree-value", "degree-alter")
    assert [" ".join(degree.findtext(part, "") for part in parts) for degree in found] == degrees
    assert all(degree.get("print-object") == "no" for degree in found), "the text has it"


def test_letters_that_are_typed_otherwise_are_printed_so() -> None:
    (measure,) = measures("chords | E♭7/g N.C. |")
    eflat, silence = measure.findall("harmony")
    step, bass = eflat.find("root/root-step"), eflat.find("bass/bass-step")
    assert step is not None
    assert bass is not None
    assert (step.text, step.get("text"), eflat.findtext("root/root-alter")) == ("E", "E♭", "-1")
    assert (bass.text, bass.get("text")) == ("G", "g")
    kind = silence.find("kind")
    assert kind is not None
    assert (kind.text, kind.get("text")) == ("none", "N.C.")


def test_a_chord_between_notes_has_an_offset() -> None:
    (measure,) = measures("chords | C@1 G7@2.5 C@3 |\ntune | C4:2 E4:2 |")
    order = [child.tag for child in measure if child.tag in ("harmony", "note")]
    assert order == ["harmony", "harmony", "note", "harmony", "note"]
    divisions = int(measure.findtext("attributes/divisions", ""))
    places = [int(each.findtext("offset", "0")) for each in measure.findall("harmony")]
    assert [Fraction(place, divisions) for place in places] == [0, Fraction(3, 2), 0]


VALUES = [
    ("4", "whole"), ("3", "half."), ("1.5", "quarter."), ("1/4", "16th"),
    ("5/2", "half eighth"), ("7/2", "half. eighth"), ("5/4", "quarter 16th"),
    ("2/3 2/3 2/3", "quarter3:2 quarter3:2 quarter3:2"),
    ("1/2 5/2", "eighth eighth half"),  # small first: it leads to the second beat
    ("2/3 1/3 1", "quarter3:2 eighth3:2 quarter"),
    ("1/3 1 2/3", "eighth3:2 quarter.3:2 quarter3:2"),
    ("1/5 2/5 2/5", "16th5:4 eighth5:4 eighth5:4"),
    ("4/7 24/7", "quarter7:4 whole.7:4"),
    ("1/512 511/512", "? ?"),  # no note value is that short
    ("1/67 66/67", "? ?"),  # nor is there a tuplet of 67
]  # fmt: skip


@pytest.mark.parametrize(("lengths", "expected"), VALUES)
def test_lengths_as_note_values(lengths: str, expected: str) -> None:
    """Common engraving practice; MusicXML 4.0 `time-modification`: 3 in the time of 2."""
    found = drawn([Fraction(length) for length in lengths.split()])
    shown = [
        f"{v.name or '?'}{'.' * v.dots}{'{}:{}'.format(*v.ratio) if v.ratio else ''}"
        for note in found
        for v in note
    ]
    assert " ".join(shown) == expected
    for length, note in zip(lengths.split(), found, strict=True):
        assert sum(value.length for value in note) == Fraction(length)


def test_a_tuplet_begins_and_ends() -> None:
    (measure,) = measures("tune | C4:1 D4:1/3 E4:1/3 F4:1/3 G4:2/3 A4:1/3 B4:1 |")
    brackets = [
        [tuplet.get("type") for tuplet in note.iter("tuplet")] for note in measure.findall("note")
    ]
    assert brackets == [[], ["start"], [], ["stop"], ["start"], ["stop"], []]
    ratios = [
        [part.text for part in note.iterfind("time-modification/*")]
        for note in measure.findall("note")
    ]
    assert ratios == [[], *[["3", "2"]] * 5, []]


def test_a_pickup_is_drawn_from_where_it_begins() -> None:
    bars = measures(
        "road | pickup | |\nchords | | C |\ntune | G4:1/3 A4:1/3 B4:1/3 D5:2.5~ | D5:2.5 r:1.5 |"
    )
    pickup, full = bars
    assert (pickup.get("number"), pickup.get("implicit")) == ("0", "yes")
    assert (full.get("number"), full.get("implicit")) == ("1", None)
    assert notes(pickup)[3:] == ["D5 eighth)", "D5 half()"]
    assert notes(full) == [
        "D5 half()",
        "D5 eighth(",
        "r quarter.",
    ]


def test_accidentals_hold_to_the_end_of_the_bar() -> None:
    rows = "key G major\ntune | F#4:1 F4:1 F4:1 F#4:1 | F4:1~ F4:1 F5:2~ | F5:2 F5:2 |"
    signs = [
        [note.findtext("accidental", "") for note in measure.findall("note")]
        for measure in measures(rows)
    ]
    assert signs == [["", "natural", "", "sharp"], ["natural", "", "natural"], ["", "natural"]]


def test_words_by_syllable_and_verse() -> None:
    (first, second) = measures(
        "tune | C4:1 D4:1 E4:1 F4:1 | G4:4 |\n"
        "words | lan- tern _ sets | down |\nwords 2 | lamps | |\n"
    )
    lyrics = [
        [
            f"{lyric.get('number')} {lyric.findtext('syllabic', '')} {lyric.findtext('text', '_')}"
            for lyric in note.findall("lyric")
        ]
        for note in (*first.findall("note"), *second.findall("note"))
    ]
    assert lyrics == [
        ["1 begin lan", "2 single lamps"], ["1 end tern"], ["1  _"], ["1 single sets"],
        ["1 single down"],
    ]  # fmt: skip


def test_words_without_a_tune_stand_on_slashes() -> None:
    (measure,) = measures("chords | C |\nwords | one two three |")
    found = measure.findall("note")
    assert [note.findtext("notehead") for note in found] == ["slash"] * 3
    assert [note.findtext("lyric/text") for note in found] == ["one", "two", "three"]


def test_a_bar_without_a_tune_is_a_whole_measure_rest() -> None:
    (measure,) = measures("chords | C |", "3/4")
    rest = measure.find("note/rest")
    assert rest is not None
    assert rest.get("measure") == "yes"
    assert notes(measure) == ["r ?"]


ROAD = """section Verse
road   |           | segno | to coda  | 1. 2.  | 3.      |      |
chords |: C        | F     | G        | C     :| C       | F    ||

section
road   | fine      | ds al coda |      | coda   |
chords | C         | G          | F    | C      |"""


def test_the_road() -> None:
    bars = measures(ROAD)
    assert [texts(bar, "direction/direction-type/rehearsal") for bar in bars] == [
        ["Verse"], *[[]] * 5, [""], *[[]] * 3,
    ]  # fmt: skip
    lines = [
        (
            bar.get("number"),
            line.get("location"),
            line.findtext("bar-style", ""),
            *(f"{e.get('type')} {e.get('number')} {e.text or ''}".strip() for e in
              line.findall("ending")),
            *(e.get("direction") for e in line.findall("repeat")),
        )
        for bar in bars
        for line in bar.findall("barline")
    ]  # fmt: skip
    assert lines == [
        ("1", "left", "heavy-light", "forward"),
        ("4", "left", "", "start 1,2 1., 2."),
        ("4", "right", "light-heavy", "stop 1,2", "backward"),
        ("5", "left", "", "start 3 3."),
        ("6", "right", "light-light", "discontinue 3"),
        ("10", "right", "light-heavy"),
    ]
    sounds = {
        bar.get("number"): sound.attrib
        for bar in bars
        for sound in bar.findall("direction/sound")
        if "tempo" not in sound.attrib
    }
    assert sounds == {
        "2": {"segno": "segno"}, "3": {"tocoda": "coda"}, "7": {"fine": "yes"},
        "8": {"dalsegno": "segno"}, "10": {"coda": "coda"},
    }  # fmt: skip
    words = [text for bar in bars for text in texts(bar, "direction/direction-type/words")]
    assert words == ["To Coda", "Fine", "D.S. al Coda"]
    assert bars[1].find("direction/direction-type/segno") is not None
    assert bars[9].find("direction/direction-type/coda") is not None


# Where an ending stops: with its sign (stop), or open (discontinue). A last ending without a sign
# lasts to the next double bar line or section, or as long as the one before it.
STOPS = {
    "road | 1. | | 2. | |\nchords |: C | C :| C | C |": ["2 stop 1", "4 discontinue 2"],
    "road | | 1. | 2. | |\nchords |: C | C :| C | C |": ["2 stop 1", "3 discontinue 2"],
    "road | | 1. | 2. | 3. |\nchords |: C | C :| C :| C |": [
        "2 stop 1", "3 stop 2", "4 discontinue 3",
    ],
    "road | 1. | 2. | | |\nchords |: C :| C | C || C |": ["1 stop 1", "3 discontinue 2"],
    "road | 1. | 2. |\nchords |: C :| C |\n\nsection B\nchords | C |": [
        "1 stop 1", "2 discontinue 2",
    ],
    "road | 1. | | 2. |\nchords |: C | C :| C |\n\nroad | |\nchords |: C :|": [
        "2 stop 1", "3 discontinue 2",
    ],
    "road | | 1. | | 2. |\nchords | C | C | C | C |": ["3 discontinue 1", "4 discontinue 2"],
}  # fmt: skip


@pytest.mark.parametrize("rows", STOPS)
def test_where_endings_stop(rows: str) -> None:
    found = [
        f"{bar.get('number')} {ending.get('type')} {ending.get('number')}"
        for bar in measures(rows)
        for ending in bar.iterfind("barline[@location='right']/ending")
    ]
    assert found == STOPS[rows]


def test_signs_at_the_end_of_a_bar_stand_after_its_notes() -> None:
    (*_, last) = measures("chords |: C | F :|\nroad | | 3x, dc |\ntune | C4:4 | D4:4 |")
    assert [child.tag for child in last] == [
        "harmony", "note", "direction", "direction", "barline",
    ]  # fmt: skip
    assert texts(last, "direction/direction-type/words") == ["3x", "D.C."]
    repeat = last.find("barline/repeat")
    assert repeat is not None
    assert repeat.attrib == {"direction": "backward", "times": "3"}


def test_one_number_of_divisions_serves_all_bars_where_it_can() -> None:
    bars = measures("tune | C4:1/3 D4:2/3 E4:3 | C4:1/4 D4:15/4 |")
    assert [texts(bar, "attributes/divisions") for bar in bars] == [["12"], []]


def test_divisions_change_where_one_number_would_be_too_large() -> None:
    """MusicXML 4.0 `divisions`: 16383 at most, so that all programs can take them."""
    rows = "tune | C4:1/127 D4:507/127 | C4:1/131 D4:523/131 |"
    bars = measures(rows)
    assert [texts(bar, "attributes/divisions") for bar in bars] == [["127"], ["131"]]


SUFFIXES = [
    *["", "m", "7", "maj7", "m7", "dim", "dim7", "m7b5", "aug", "aug7", "m(maj7)", "6", "m6"],
    *["9", "maj9", "m9", "11", "maj11", "m11", "13", "maj13", "m13", "sus2", "sus4", "5"],
    *["6/9", "m6/9", "7sus4", "9sus4", "13sus4", "sus2sus4", "7b9", "7#9", "7#11", "7b13", "13b9"],
    *["7b5", "7#5", "maj7#5", "maj7#11", "9#11", "7(b9,#11)", "7alt", "add9", "m(add9)", "add11"],
    *["no3", "7no5", "(no3no5)", "quartal", "quartal4", "m#5", "m11b5", "9(13)", "7(b9,b13)"],
]


def test_kind_and_degrees_say_what_the_text_says() -> None:
    """A program that reads no text hears the same notes (MusicXML 4.0 `kind`, `degree`)."""
    symbols = [ChordSymbol.parse(f"{root}{suffix}") for root in ("C", "F#") for suffix in SUFFIXES]
    symbols += [ChordSymbol.parse(text) for text in ("C/E", "Dm7/C", "F/G", "Bb7sus4/Eb")]
    bars = tuple(
        Bar(str(count), changes=(Change(Fraction(0), symbol),))
        for count, symbol in enumerate(symbols, 1)
    )
    root = fromstring(write(Chart("T", (Section("", bars),))).data)
    for element in root.iter():
        for name in ("text", "print-object"):
            element.attrib.pop(name, None)
    for software in root.findall("identification/encoding/software"):
        software.text = "another"
    reading = read_bytes(tostring(root), "x")
    assert reading.warnings == ()
    for bar, symbol in zip(reading.chart.bars, symbols, strict=True):
        assert bar.changes[0].symbol.palette == symbol.palette, symbol.text
