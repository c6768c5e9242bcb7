"""Harmonies to chord symbols: the standard's kinds, its worked cases, and what real files hold."""

from collections.abc import Callable

import pytest

from chartwalk.chord import ChordSymbol
from chartwalk.musicxml.kinds import KINDS
from chartwalk.reading import Reading

Read = Callable[..., Reading]

# MusicXML 4.0, kind-value: every kind that has notes of its own, by its degrees.
STANDARD = {
    "major": "1 3 5", "minor": "1 b3 5", "augmented": "1 3 #5", "diminished": "1 b3 b5",
    "dominant": "1 3 5 b7", "major-seventh": "1 3 5 7", "minor-seventh": "1 b3 5 b7",
    "diminished-seventh": "1 b3 b5 bb7", "augmented-seventh": "1 3 #5 b7",
    "half-diminished": "1 b3 b5 b7", "major-minor": "1 b3 5 7",
    "major-sixth": "1 3 5 6", "minor-sixth": "1 b3 5 6",
    "dominant-ninth": "1 3 5 b7 9", "major-ninth": "1 3 5 7 9", "minor-ninth": "1 b3 5 b7 9",
    "dominant-11th": "1 3 5 b7 9 11", "major-11th": "1 3 5 7 9 11",
    "minor-11th": "1 b3 5 b7 9 11", "dominant-13th": "1 3 5 b7 9 11 13",
    "major-13th": "1 3 5 7 9 11 13", "minor-13th": "1 b3 5 b7 9 11 13",
    "suspended-second": "1 2 5", "suspended-fourth": "1 4 5", "power": "1 5", "pedal": "1",
}  # fmt: skip
# Outside the standard; what they mean was read from the texts printed beside them in real files.
FOUND = {
    "augmented-ninth": "1 3 #5 b7 9", "minor-major": "1 b3 5 7", "maj69": "1 3 5 6 9",
    "": "1 3 5",
}  # fmt: skip
FUNCTIONAL = {"Neapolitan", "Italian", "French", "German", "Tristan"}


def harmony(
    root: str,
    kind: str,
    text: str | None = None,
    degrees: str = "",
    *,
    bass: str = "",
    more: str = "",
) -> str:
    """Write a harmony; degrees such as ``add 9 -1`` are separated by commas."""

    def note(role: str, name: str) -> str:
        alter = name.count("#") - name[1:].count("b")
        return f"<{role}-step>{name[0]}</{role}-step><{role}-alter>{alter}</{role}-alter>"

    altered = ""
    for degree in filter(None, degrees.split(",")):
        action, value, alter, *hidden = degree.split()
        altered += (
            f"<degree{' print-object=' + chr(34) + 'no' + chr(34) if hidden else ''}>"
            f"<degree-value>{value}</degree-value><degree-alter>{alter}</degree-alter>"
            f"<degree-type>{action}</degree-type></degree>"
        )
    printed = "" if text is None else f' text="{text}"'
    slash = f"<bass>{note('bass', bass)}</bass>" if bass else ""
    return (
        f"<harmony><root>{note('root', root)}</root><kind{printed}>{kind}</kind>"
        f"{more}{slash}{altered}</harmony>"
    )


@pytest.fixture
def symbol(read_sheet: Read) -> Callable[..., tuple[ChordSymbol, tuple[str, ...]]]:
    """Read one harmony over a bar; return the symbol and the warnings."""

    def one(*args: str, **options: str) -> tuple[ChordSymbol, tuple[str, ...]]:
        reading = read_sheet("{h} C5:4", h=harmony(*args, **options))
        (change,) = reading.chart.bars[0].changes
        return change.symbol, tuple(warning.message for warning in reading.warnings)

    return one


Symbol = Callable[..., tuple[ChordSymbol, tuple[str, ...]]]


def degrees(symbol: ChordSymbol) -> str:
    return " ".join(degree.ascii for degree in symbol.degrees)


@pytest.mark.parametrize(("kind", "expected"), (STANDARD | FOUND).items())
@pytest.mark.parametrize("root", ["C", "F#", "Bb"])
def test_every_kind_without_a_text(symbol: Symbol, root: str, kind: str, expected: str) -> None:
    read, warnings = symbol(root, kind)
    assert degrees(read) == expected
    assert read.root is not None
    assert read.root.ascii == root
    assert not warnings


# MusicXML 4.0, kind: with use-symbols the text follows the symbol; the kinds are as above. Text
# that makes no chord behind its symbol is passed over, as all of it is in MusicXML 2.0.
DRAWN = [
    ("major-seventh", "7", "C△7"), ("major-ninth", "9", "C△9"), ("minor-seventh", "7", "C-7"),
    ("minor-sixth", "6", "C-6"), ("augmented-seventh", "7", "C+7"),
    ("diminished-seventh", "7", "C°7"), ("half-diminished", "7", "Cø7"), ("dominant", "7", "C7"),
    ("major-seventh", "", "Cmaj7"), ("major-sixth", "6", "C6"), ("minor-seventh", "m7", "Cm7"),
    ("major-minor", "7", "Cm(maj7)"),
]  # fmt: skip


@pytest.mark.parametrize(("kind", "text", "expected"), DRAWN)
def test_a_symbol_is_drawn_before_the_text(
    read_sheet: Read, kind: str, text: str, expected: str
) -> None:
    drawn = harmony("C", kind, text).replace("<kind ", '<kind use-symbols="yes" ')
    (change,) = read_sheet("{h} C5:4", h=drawn).chart.bars[0].changes
    assert change.symbol.text == expected
    assert degrees(change.symbol) == STANDARD[kind]


def test_the_table_holds_every_kind_of_the_standard() -> None:
    assert set(KINDS) == set(STANDARD) | set(FOUND) | {"other"}
    assert len(STANDARD) + len(FUNCTIONAL) + len({"other", "none"}) == 33


# MusicXML 4.0: the examples of `degree`, `kind` and `bass`, and the tutorial; then two that follow
# from `degree-alter`, where an added degree counts from a dominant chord.
WORKED = [
    (("A", "dominant", None, "alter 5 -1,subtract 3 0"), "", "A Eb G"),
    (("A", "minor-seventh", None, "add 13 -1"), "", "A C E G F"),
    (("A", "major", None, "add 9 0"), "", "A C# E B"),
    (("C", "major-seventh"), "", "C E G B"),
    (("G", "major"), "B", "G B D"),
    (("C", "major"), "G#", "C E G"),
    (("G", "major-sixth"), "D", "G B D E"),
    (("A", "dominant-11th"), "", "A C# E G B D"),
    (("C", "dominant", None, "add 7 0"), "", "C E G Bb"),
    (("C", "major", None, "add 7 1"), "", "C E G B"),
]


@pytest.mark.parametrize(("args", "bass", "expected"), WORKED)
def test_worked_cases(symbol: Symbol, args: tuple[str, ...], bass: str, expected: str) -> None:
    read, warnings = symbol(*args, bass=bass)
    assert " ".join(name.ascii for name in read.palette.names) == expected
    assert (read.bass.ascii if read.bass else "") == bass
    assert not warnings


# Texts that stand in real files, each beside the kind it was found with.
PRINTED = [
    ("dominant", "7", "1 3 5 b7"), ("minor-seventh", "m7", "1 b3 5 b7"), ("minor", "m", "1 b3 5"),
    ("major-seventh", "Maj7", "1 3 5 7"), ("diminished", "dim", "1 b3 b5"),
    ("major-sixth", "6", "1 3 5 6"), ("dominant-ninth", "9", "1 3 5 b7 9"),
    ("diminished-seventh", "dim7", "1 b3 b5 bb7"), ("minor-sixth", "m6", "1 b3 5 6"),
    ("dominant", "7b9", "1 3 5 b7 b9"), ("augmented", "+", "1 3 #5"),
    ("half-diminished", "m7b5", "1 b3 b5 b7"), ("augmented-seventh", "7+", "1 3 #5 b7"),
    ("minor-seventh", "mi7", "1 b3 5 b7"), ("dominant", "7#5", "1 3 #5 b7"),
    ("dominant", "7b5", "1 3 b5 b7"), ("suspended-fourth", "7sus", "1 4 5 b7"),
    ("dominant-13th", "13", "1 3 5 b7 9 11 13"), ("minor-ninth", "m9", "1 b3 5 b7 9"),
    ("minor", "mi", "1 b3 5"), ("diminished", "o", "1 b3 b5"), ("major-seventh", "ma7", "1 3 5 7"),
    ("augmented-ninth", "9+", "1 3 #5 b7 9"), ("suspended-fourth", "9sus", "1 4 5 b7 9"),
    ("dominant", "7#9", "1 3 5 b7 #9"), ("dominant-11th", "11", "1 3 5 b7 9 11"),
    ("suspended-fourth", "sus", "1 4 5"), ("dominant-ninth", "9#11", "1 3 5 b7 9 #11"),
    ("dominant-ninth", "9#5", "1 3 #5 b7 9"), ("minor-seventh", "-7", "1 b3 5 b7"),
    ("minor-major", "mMaj7", "1 b3 5 7"), ("major-ninth", "Maj9", "1 3 5 7 9"),
    ("augmented-seventh", "aug7", "1 3 #5 b7"), ("dominant-13th", "13b9", "1 3 5 b7 b9 11 13"),
    ("maj69", "m69", "1 b3 5 6 9"), ("suspended-fourth", "9sus4", "1 4 5 b7 9"),
    ("augmented", "aug", "1 3 #5"), ("dominant", "7#5b9", "1 3 #5 b7 b9"),
    ("minor", "m#5", "1 b3 #5"), ("diminished-seventh", "o7", "1 b3 b5 bb7"),
    ("half-diminished", "mi7b5", "1 b3 b5 b7"), ("maj69", "69", "1 3 5 6 9"),
    ("major-minor", "m(maj7)", "1 b3 5 7"), ("major", "add2", "1 2 3 5"),
    ("minor-seventh", "min7", "1 b3 5 b7"), ("minor-13th", "m13", "1 b3 5 b7 9 11 13"),
    ("minor", "m+", "1 b3 #5"), ("suspended-fourth", "4", "1 3 4 5"),
    ("dominant-ninth", "9b5", "1 3 b5 b7 9"), ("power", "5", "1 5"),
    ("major", "", "1 3 5"), ("", "m7", "1 b3 5 b7"), ("major", "m 7", "1 b3 5 b7"),
]  # fmt: skip


@pytest.mark.parametrize(("kind", "text", "expected"), PRINTED)
@pytest.mark.parametrize("root", ["B", "Eb"])
def test_the_printed_text_is_what_is_read(
    symbol: Symbol, root: str, kind: str, text: str, expected: str
) -> None:
    read, warnings = symbol(root, kind, text)
    assert degrees(read) == expected
    assert read.root is not None
    assert read.root.ascii == root
    assert not warnings


# What is printed, the degrees beside it, and the symbol: degrees the text covers come once.
WITH_DEGREES = [
    (("G", "dominant", "7b9", "add 9 -1"), "G7b9"),
    (("G", "dominant", "7", "add 9 -1"), "G7b9"),
    (("G", "dominant", None, "add 9 -1"), "G7b9"),
    (("G", "minor-seventh", "m7", "alter 5 -1"), "Gm7b5"),
    (("G", "half-diminished", "m7b5", "alter 5 -1"), "Gm7b5"),
    (("G", "dominant", "7", "alter 5 -1"), "G7b5"),
    (("G", "major", "", "add 7 0"), "G7"),
    (("G", "dominant", "7#5", "alter 5 1"), "G7#5"),
    (("G", "dominant", None, "alter 9 -1"), "G7b9"),
    (("G", "dominant", None, "add 9 -1,add 9 1"), "G7(b9,#9)"),
    (("G", "dominant-ninth", None, "add 11 1"), "G9#11"),
    (("G", "suspended-fourth", None, "add 7 0"), "G7sus4"),
    (("G", "dominant-13th", "13sus", "add 4 0 hidden,subtract 3 0 hidden"), "G13sus"),
    (("G", "major", "omit5", "subtract 5 0"), "Gomit5"),
    (("G", "major", None, "subtract 9 0"), "G"),  # nothing to leave out
    (("G", "diminished", None, "add 7 -1"), "Gdim7"),
    (("G", "major", None, "add 30 0"), "G"),  # no such degree
    (("G", "dominant", None, "alter 5 1,alter 5 2"), "G7#5"),  # the second would be no note
    (("B", "major", "b5"), "B(b5)"),  # an accidental that would stick to the root
    (("B", "major", "b5(add9)"), "B(b5)(add9)"),
    (("C", "major", "#11"), "C(#11)"),
    (("Bb", "major", "5"), "Bb5"),
    (("C", "dominant", "sept"), "C7"),  # a text no one can read: the kind says it
    (("B", "dominant", "b"), "B7"),  # not B flat
    (("C", "other", None, "add 1 0,add 3 0,add 5 0,add 9 0"), "C(add9)"),
    (("C", "other", "m7b5"), "Cm7b5"),
]


@pytest.mark.parametrize(("args", "expected"), WITH_DEGREES)
def test_degrees_beside_the_text(symbol: Symbol, args: tuple[str, ...], expected: str) -> None:
    assert symbol(*args) == (ChordSymbol.parse(expected), ())


@pytest.mark.parametrize(
    ("inversion", "bass", "expected"),
    [("0", "", "C7"), ("1", "", "C7/E"), ("2", "", "C7/G"), ("3", "", "C7/Bb"), ("1", "G", "C7/G"),
     ("1", "C", "C7")],
)  # fmt: skip
def test_inversions(symbol: Symbol, inversion: str, bass: str, expected: str) -> None:
    more = f"<inversion>{inversion}</inversion>"
    assert symbol("C", "dominant", "7", bass=bass, more=more) == (ChordSymbol.parse(expected), ())


def test_an_inversion_no_chord_has_is_told(symbol: Symbol) -> None:
    read, (warning,) = symbol("C", "major", more="<inversion>5</inversion>")
    assert read.text == "C"
    assert "no inversion 5" in warning


# The keys are those of the chords of classical harmony on the tonic C (Hutchinson, augmented sixth
# and Neapolitan chords), and of the Tristan chord F B D# G#.
@pytest.mark.parametrize(
    ("root", "kind", "expected", "keys"),
    [("C", "Neapolitan", "Db/F", "F Ab Db"), ("C", "Italian", "Ab7(no5)", "Ab C F#"),
     ("C", "French", "Ab7(b5)", "Ab C D F#"), ("C", "German", "Ab7", "Ab C Eb F#"),
     ("F", "Tristan", "Fm7b5", "F B D# G#"), ("F", "tristan", "Fm7b5", "F B D# G#")],
)  # fmt: skip
def test_kinds_without_a_symbol_are_told(
    symbol: Symbol, root: str, kind: str, expected: str, keys: str
) -> None:
    read, (warning,) = symbol(root, kind)
    assert read == ChordSymbol.parse(expected)
    wanted = {ChordSymbol.parse(name).palette.tones[0].name.pitch_class for name in keys.split()}
    assert {name.pitch_class for name in read.palette.names} == wanted
    assert kind in warning


@pytest.mark.parametrize("kind", ["cluster", "other"])
def test_unknown_kinds_are_told(symbol: Symbol, kind: str) -> None:
    read, (warning,) = symbol("C", kind, "quux")
    assert read.root is not None
    assert "quux" in warning


def test_degrees_no_symbol_can_say_are_told(symbol: Symbol) -> None:
    read, (warning,) = symbol("C", "major", None, "add 5 2")
    assert read.text == "C"
    assert "♯♯5" in warning


@pytest.mark.parametrize(
    ("xml", "expected"),
    [
        ("<harmony><root><root-step>C</root-step></root><kind>none</kind></harmony>", "N.C."),
        ('<harmony><kind text="N.C.">none</kind></harmony>', "N.C."),
        ("<harmony><numeral><numeral-root>5</numeral-root></numeral><kind>dominant</kind></harmony>",
         "D7"),
        ("<harmony><numeral><numeral-root>6</numeral-root><numeral-alter>-1</numeral-alter>"
         "<numeral-key><numeral-fifths>0</numeral-fifths><numeral-mode>major</numeral-mode>"
         "</numeral-key></numeral><kind>major</kind></harmony>", "Ab"),
        ("<harmony><root><root-step>C</root-step></root></harmony>", "C"),
    ],
)  # fmt: skip
def test_other_roots(read_sheet: Read, xml: str, expected: str) -> None:
    key = "<key><fifths>1</fifths></key>"
    reading = read_sheet("{h} C5:4", h=xml, attributes=key)
    (change,) = reading.chart.bars[0].changes
    assert change.symbol.text == expected


@pytest.mark.parametrize(
    "xml",
    ["<harmony><function>II</function><kind>minor</kind></harmony>", "<harmony/>",
     "<harmony><root><root-step>H</root-step></root><kind>major</kind></harmony>",
     "<harmony><root><root-step>C</root-step><root-alter>7</root-alter></root></harmony>"],
)  # fmt: skip
def test_no_readable_root_is_told(read_sheet: Read, xml: str) -> None:
    reading = read_sheet("C5:4 / {h} C5:4", h=xml)
    assert reading.chart.bars[1].changes == ()
    (warning,) = reading.warnings
    assert (warning.file, warning.bar, warning.index) == ("sheet.musicxml", "2", 1)
