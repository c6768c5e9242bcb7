"""What a tune asks of a voice: its range, and where it sits, weighted by length."""

from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chartwalk.chart import Chart
from chartwalk.musicxml import read
from chartwalk.pitch import Name, Pitch
from chartwalk.transpose import transpose
from chartwalk.voice import (
    VOICE_TYPES,
    SingerRange,
    SungNote,
    strain,
    sung_notes,
    tessitura,
    time_outside,
)

Sheet = Callable[..., Chart]


def notes_of(chart: Chart) -> str:
    return ", ".join(f"{n.pitch.ascii} {n.length} in {n.bar}" for n in sung_notes(chart))


def test_notes_are_counted_as_written_each_once(sheet: Sheet) -> None:
    chart = sheet(
        "road | pickup |           | 1.      | 2.   |\n"
        "chords |      |: C        | F    :| G    |\n"
        "tune | G3:1   | C4:3 r:1  | D4:4    | E4:4 |"
    )
    assert notes_of(chart) == "G3 1 in 0, C4 3 in 1, D4 4 in 2, E4 4 in 3"


def test_tied_notes_are_one_also_over_the_bar_line(sheet: Sheet) -> None:
    chart = sheet("tune | C4:2~ C4:2~ | C4:1~ C4:1 C4:1 D4:1~ | E4:4 |")
    assert notes_of(chart) == "C4 6 in 1, C4 1 in 2, D4 1 in 2, E4 4 in 3"


def test_a_sheet_without_a_tune_has_no_notes(sheet: Sheet) -> None:
    assert sung_notes(sheet("chords | C | F |\ntune | r:4 | |")) == ()
    with pytest.raises(ValueError, match="no note"):
        tessitura(())


def test_range_centre_and_band_by_hand(sheet: Sheet) -> None:
    # C4 4, E4 2, G4 2, C5 4: (4*60 + 2*64 + 2*67 + 4*72) / 12
    tune = tessitura(sung_notes(sheet("tune | C4:4 | E4:2 G4:2 | C5:4 |")))
    assert (tune.lowest.pitch.ascii, tune.lowest.bar) == ("C4", "1")
    assert (tune.highest.pitch.ascii, tune.highest.bar) == ("C5", "3")
    assert tune.centre == Fraction(790, 12)
    assert [pitch.ascii for pitch in tune.band] == ["C4", "C5"]
    times = " ".join(f"{pitch.ascii}:{time}" for pitch, time in tune.times)
    assert times == "C4:4 E4:2 G4:2 C5:4"


def test_short_high_notes_do_not_widen_the_band(sheet: Sheet) -> None:
    # 20 quarters: a tenth is 2. C4 lasts 1 and A5 lasts 1, so the band begins and ends inside.
    tune = tessitura(sung_notes(sheet("tune | C4:1 E4:3 | E4:4 | G4:4 | G4:4 | B4:3 A5:1 |")))
    assert [pitch.ascii for pitch in tune.band] == ["E4", "B4"]
    assert (tune.lowest.pitch.ascii, tune.highest.pitch.ascii) == ("C4", "A5")


def test_a_tenth_of_the_time_reached_exactly_belongs_to_the_lower_pitch(sheet: Sheet) -> None:
    tune = tessitura(sung_notes(sheet("tune | C4:2 D4:2 | D4:4 | D4:4 | D4:4 | D4:2 E4:2 |")))
    assert [pitch.ascii for pitch in tune.band] == ["C4", "D4"]


def test_the_first_bar_that_reaches_so_far_is_named(sheet: Sheet) -> None:
    tune = tessitura(sung_notes(sheet("tune | D4:4 | C4:2 E5:2 | E5:1 C4:3 |")))
    assert (tune.lowest.bar, tune.highest.bar) == ("2", "2")
    assert tune.highest.place == "bar 2"
    pickup = tessitura(sung_notes(sheet("road | pickup | |\ntune | E5:1 | C4:4 |")))
    assert pickup.highest.place == "pickup"


def b4_centred(sheet: Sheet) -> Chart:
    """C4 to E5, centred on B4: 5 quarters 11 semitones below it, 11 quarters 5 above it."""
    return sheet("tune | C4:4 | C4:1 E5:3 | E5:4 | E5:4 | B4:4 | B4:4 | B4:4 | B4:4 |")


def test_a_tune_for_a_soprano_and_not_for_a_bass(sheet: Sheet) -> None:
    notes = sung_notes(b4_centred(sheet))
    assert tessitura(notes).centre == Pitch.parse("B4").midi
    assert strain(notes, VOICE_TYPES["soprano"]) == ()
    assert strain(notes, VOICE_TYPES["bass"])
    assert time_outside(tessitura(notes), VOICE_TYPES["bass"]) == 11 + 16, "all but the C4"


# The other ranges of the same page of the Yale library, from Grove's dictionary.
GROVE = {"tenor": SingerRange.parse("C3 A4"), "bass": SingerRange.parse("F2 E4")}


def test_an_octave_lower_it_fits_the_tenor_in_both_dictionaries(sheet: Sheet) -> None:
    notes = sung_notes(transpose(b4_centred(sheet), -12))
    tune = tessitura(notes)
    assert (tune.lowest.pitch.ascii, tune.highest.pitch.ascii) == ("C3", "E4")
    assert strain(notes, VOICE_TYPES["tenor"]) == strain(notes, GROVE["tenor"]) == ()
    assert {note.pitch.ascii for note in strain(notes, VOICE_TYPES["bass"])} == {"E4"}
    assert strain(notes, GROVE["bass"]) == (), "its highest note is just met"


def test_the_role_of_siegfried_sits_well_inside_its_range() -> None:
    # A worked case of what tessitura means: range C♯3 to C5, tessitura about C4 to A4.
    def note(text: str, length: int) -> SungNote:
        return SungNote(Pitch.parse(text), Fraction(length), "1")

    tune = tessitura(
        [note("C#3", 1), note("C4", 30), note("E4", 40), note("A4", 28), note("C5", 1)]
    )
    assert (tune.lowest.pitch.ascii, tune.highest.pitch.ascii) == ("C#3", "C5")
    assert [pitch.ascii for pitch in tune.band] == ["C4", "A4"]


def test_a_song_of_the_corpus_is_measured_as_music21_does() -> None:
    # A public-domain song by Stephen Foster in the corpus of music21 10.5.1.
    from music21 import corpus

    name = "leadSheet/fosterBrownHair"
    tune = tessitura(sung_notes(read(Path(str(corpus.getWork(name)))).chart))
    part = corpus.parse(name).parts[0]
    theirs = [n for n in part.flatten().notes if n.isNote and n.quarterLength]
    ambitus = part.analyze("ambitus")
    assert tune.lowest.pitch.midi == ambitus.noteStart.pitch.midi
    assert tune.highest.pitch.midi == ambitus.noteEnd.pitch.midi
    total = sum(Fraction(n.quarterLength) for n in theirs)
    weighted = sum(n.pitch.midi * Fraction(n.quarterLength) for n in theirs)
    assert sum(time for _, time in tune.times) == total
    assert tune.centre == weighted / total


names = st.builds(Name, st.sampled_from("CDEFGAB"), st.integers(-1, 1))
lengths = st.fractions(Fraction(1, 8), 4, max_denominator=8)
notes = st.builds(
    SungNote, st.builds(Pitch, names, st.integers(2, 6)), lengths, st.sampled_from(["0", "1", "12"])
)


@given(st.lists(notes, min_size=1, max_size=12))
def test_centre_and_band_lie_within_the_range(found: list[SungNote]) -> None:
    tune = tessitura(found)
    low, high = tune.lowest.pitch.midi, tune.highest.pitch.midi
    assert low == min(note.pitch.midi for note in found)
    assert high == max(note.pitch.midi for note in found)
    assert low <= tune.centre <= high
    assert low <= tune.band[0].midi <= tune.band[1].midi <= high
    total = sum(note.length for note in found)
    below = sum(note.length for note in found if note.pitch < tune.band[0])
    above = sum(note.length for note in found if note.pitch > tune.band[1])
    assert below < total / 10, "the band holds the middle 80 % at least"
    assert above <= total / 10


@given(st.lists(notes, min_size=1, max_size=12), st.integers(-2, 2))
def test_an_octave_moves_a_tessitura_and_changes_nothing_else(
    found: list[SungNote], octaves: int
) -> None:
    moved = [note.in_octave(octaves) for note in found]
    assert tessitura(moved) == tessitura(found).in_octave(octaves)
