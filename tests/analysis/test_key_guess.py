"""The key that tune and chords speak for: demo songs, a corpus sheet, and charts made by hand."""

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from chartwalk.analysis.guess import guess, key_question, main_key
from chartwalk.chart import Chart
from chartwalk.files import open_song
from chartwalk.key import Key
from chartwalk.leadfile import loads

if TYPE_CHECKING:
    from tests.analysis.conftest import Asked

SONGS = sorted((Path(__file__).parents[2] / "songs").glob("*.lead"))
SHEET = "leadSheet/fosterBrownHair"  # of music21's corpus: a public-domain song by Stephen Foster

HELD = """title x
key F major
meter 4/4
chords | C7     |    | F / N.C. / | Bb/D   |
tune   | E4:3 r:1 | G4:4 | A4:1/3 A4:2/3 r:3 | r:4 |
"""


def chart_of(path: Path) -> Chart:
    return open_song(path).chart


def in_keys(chart: Chart, change: Callable[[Key], Key]) -> Chart:
    """The same notes and chords under other signatures."""
    return replace(
        chart,
        sections=tuple(
            replace(section, bars=tuple(replace(bar, key=change(bar.key)) for bar in section.bars))
            for section in chart.sections
        ),
    )


def lead(text: str) -> Chart:
    return loads(text).chart


@pytest.mark.parametrize("path", SONGS, ids=lambda path: path.stem)
def test_no_demo_song_is_contradicted(asked: "Asked", path: Path) -> None:
    chart = chart_of(path)
    found = asked.key_of(chart)
    assert found.key == main_key(chart)
    assert not found.contradicts
    assert 0.8 < found.certain <= 1


@pytest.mark.parametrize("path", SONGS, ids=lambda path: path.stem)
@pytest.mark.parametrize("fifths", [-4, -3, -2, -1, 1, 2, 3, 4])
def test_a_wrong_key_is_contradicted(asked: "Asked", path: Path, fifths: int) -> None:
    chart = chart_of(path)
    written = in_keys(chart, lambda key: Key(key.fifths + fifths, key.mode))
    found = asked.key_of(written)
    assert found.contradicts
    assert found.key == main_key(chart)


def test_a_relative_key_is_told_but_contradicts_nothing(asked: "Asked") -> None:
    minor = next(chart_of(path) for path in SONGS if path.stem == "last-ferry-bell")
    found = asked.key_of(in_keys(minor, lambda key: Key(key.fifths, "major")))
    assert found.key == Key.parse("A minor")
    assert not found.contradicts


def test_a_file_without_a_key_is_in_doubt_where_it_is_not_in_c(asked: "Asked") -> None:
    text = "title x\nmeter 4/4\nchords | D | G | A7 | D | Bm | Em | A7 | D |\n"
    found = asked.key_of(lead(text))
    assert found.key == Key.parse("D major")
    assert found.contradicts
    assert asked.key_of(lead(text.replace("meter", "key D major\nmeter"))).contradicts is False


def test_the_corpus_sheet_without_its_flat(asked: "Asked") -> None:
    """It is printed without a signature and stands in F, as music21 finds by its own reading."""
    from music21 import corpus, harmony

    theirs = corpus.parse(SHEET).parts[0].flatten()
    lasting: Any = harmony.realizeChordSymbolDurations  # a chord symbol has no length by itself
    lasting(theirs)
    best = theirs.analyze("key.krumhansl")
    chart = chart_of(Path(str(corpus.getWork(SHEET))))
    assert main_key(chart) == Key(0)
    found = asked.key_of(chart)
    assert found.contradicts
    assert found.key.ascii == f"{best.tonic.name} {best.mode}" == "F major"
    assert not asked.key_of(in_keys(chart, lambda _: Key(-1))).contradicts


@pytest.mark.parametrize("path", SONGS[:3], ids=lambda path: path.stem)
def test_lengths_say_as_much_as_the_notes_in_order(asked: "Asked", path: Path) -> None:
    """Against music21's own analysis of a stream of notes and chords as they follow each other."""
    from music21 import chord, note, stream

    def spelled(text: str) -> str:
        return text.replace("b", "-")

    song = open_song(path)
    everything: Any = stream.Stream()
    for bar, soundings in zip(song.bars, song.soundings, strict=True):
        for tune_note in bar.tune:
            if tune_note.pitch:
                everything.append(
                    note.Note(spelled(tune_note.pitch.ascii), quarterLength=tune_note.length)
                )
        ends = [sounding.at for sounding in soundings[1:]] + [bar.length]
        for sounding, end in zip(soundings, ends, strict=True):
            names = [
                spelled(tone.name.ascii)
                for tone in (sounding.symbol.palette.tones if sounding.symbol else ())
                if tone.degree.number <= 7
            ]
            if names:
                everything.append(chord.Chord(names, quarterLength=end - sounding.at))
    best = everything.analyze("key.krumhansl")
    found = asked.key_of(song.chart)
    assert found.key.ascii == f"{spelled_back(best.tonic.name)} {best.mode}"
    assert found.certain == pytest.approx(best.correlationCoefficient)


def spelled_back(name: str) -> str:
    return name.replace("-", "b")


def test_what_sounds_how_long() -> None:
    # C7 for two bars, F for two quarters, then nothing, then Bb for a bar; the bass is left aside.
    chords = {"C": 8 + 2, "E": 8, "G": 8, "Bb": 8 + 4, "F": 2 + 4, "A": 2, "D": 4}
    tune = {"E": 3, "G": 4, "A": 1}
    expected = {name: length + tune.get(name, 0) for name, length in chords.items()}
    assert dict(key_question(lead(HELD)).lengths) == pytest.approx(expected)


def test_only_bars_in_the_main_key_are_heard() -> None:
    text = HELD + "\nkey D major\nchords | F#m | B7 |\n"
    assert main_key(lead(text)) == Key.parse("F major")
    assert key_question(lead(text)) == key_question(lead(HELD))


def test_a_chart_without_notes_has_no_key(asked: "Asked") -> None:
    silent = lead("title x\nmeter 4/4\nchords | N.C. | |\n")
    assert key_question(silent).lengths == ()
    assert asked.analyst.key_of(silent) is None


FITS = [(Key(fifths, mode), 0.0) for fifths in range(-5, 7) for mode in ("major", "minor")]


@pytest.mark.parametrize(
    ("best", "certain", "written", "fit", "contradicts"),
    [
        ("D major", 0.9, "C major", 0.7, True),
        ("D major", 0.9, "C major", 0.85, False),  # not clearly
        ("A minor", 0.9, "C major", 0.1, False),  # relative
        ("F# major", 0.9, "F# major", 0.9, False),
    ],
)
def test_what_contradicts(
    best: str, certain: float, written: str, fit: float, contradicts: bool
) -> None:
    fits = {**dict(FITS), Key.parse(written): fit, Key.parse(best): certain}
    found = guess(Key.parse(written), fits.items())
    assert (found.key.ascii, found.certain) == (best, certain)
    assert found.contradicts is contradicts


def test_a_sound_alike_is_spelled_as_written() -> None:
    fits = {**dict(FITS), Key.parse("F# major"): 0.9}
    found = guess(Key.parse("Gb major"), fits.items())
    assert found.key == Key.parse("Gb major")
    assert not found.contradicts
    assert guess(Key.parse("Db major"), fits.items()).key == Key.parse("Gb major")
    assert guess(Key.parse("B major"), fits.items()).key == Key.parse("F# major")


def test_the_main_key_has_most_of_the_bars_by_length() -> None:
    chart = lead(
        "title x\nmeter 4/4\nkey G major\nchords | G | G |\n\n"
        "meter 2/4\nkey C major\nchords | C | C | C |\n"
    )
    assert sum((bar.length for bar in chart.bars), Fraction(0)) == 14
    assert main_key(chart) == Key(1)
