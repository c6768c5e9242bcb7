"""The twelve keys, ranked: the voice first, the hands second; and what is said about them."""

from collections.abc import Callable
from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.strategies import DrawFn

from chartwalk.chart import Bar, Change, Chart, Note, Section
from chartwalk.chord import ChordSymbol
from chartwalk.key import MODES, Key
from chartwalk.pitch import Name, Pitch
from chartwalk.transpose import interval_words, transpose
from chartwalk.voice import (
    VOICE_TYPES,
    KeyFit,
    SingerRange,
    advice,
    octave_words,
    rank_keys,
    strain,
    strain_words,
    sung_notes,
    tessitura,
)

Sheet = Callable[..., Chart]


def short(fit: KeyFit) -> tuple[str, int, int, str, int]:
    """Write a key as its name, its move, the octave, the sung range and the strained quarters."""
    sung = f"{fit.tune.lowest.pitch.ascii} {fit.tune.highest.pitch.ascii}"
    return fit.key.tonic.ascii, fit.shift, fit.octave, sung, int(fit.strained)


def test_all_twelve_keys_by_hand(sheet: Sheet) -> None:
    # C4 4 quarters, E4 2, G4 2, C5 4; the centre is 65 5/6. The singer's A3 to B4 is MIDI 57 to 71
    # with the middle at 64, and one semitone wider than the tune.
    #   No strain: moves by -1 to -3, all within a whole step of the middle; so the hands decide.
    #     B♭: 2 flats + 1 in its triad = 3; A: 3 sharps + 1 = 4; B: 5 + 2 = 7.
    #   4 quarters strain (the C4 or the C5) in the others; then whole steps off the middle:
    #     none: C (1 5/6 above).
    #     one: G (3 1/6 below), hands 1; D (3 5/6 above), 2 + 1 = 3; A♭ (2 1/6 below), 4 + 2 = 6;
    #       D♭ (2 5/6 above), 5 + 2 = 7.
    #     two: F (5 1/6 below), 1; E♭ (4 5/6 above) and E (5 5/6 above), both 5, the nearer first;
    #       G♭ (4 1/6 below), 6 + 3 = 9.
    chart = sheet("chords | C | C | C |\ntune | C4:4 | E4:2 G4:2 | C5:4 |")
    fits = rank_keys(chart, SingerRange.parse("A3 B4"))
    assert [short(fit) for fit in fits] == [
        ("Bb", -2, 0, "Bb3 Bb4", 0), ("A", -3, 0, "A3 A4", 0), ("B", -1, 0, "B3 B4", 0),
        ("C", 0, 0, "C4 C5", 4),
        ("G", -5, 0, "G3 G4", 4), ("D", 2, 0, "D4 D5", 4), ("Ab", -4, 0, "Ab3 Ab4", 4),
        ("Db", 1, 0, "Db4 Db5", 4),
        ("F", -7, 0, "F3 F4", 4), ("Eb", 3, 0, "Eb4 Eb5", 4), ("E", 4, 0, "E4 E5", 4),
        ("Gb", -6, 0, "Gb3 Gb4", 4),
    ]  # fmt: skip
    assert [fit.hands for fit in fits[:5]] == [3, 4, 7, 0, 1]
    assert [fit.accidentals for fit in fits] == [2, 3, 5, 0, 1, 2, 4, 5, 1, 3, 4, 6]
    assert fits[0].off == Fraction(-1, 6)
    assert fits[0].strain == ()
    assert [(note.pitch.ascii, note.bar) for note in fits[4].strain] == [("G3", "1")]


def test_less_time_outside_goes_before_the_middle(sheet: Sheet) -> None:
    # An octave and a half for a singer of an octave: E4 3 quarters, A4 4, B5 1. At -12 to -5 the
    # B5 fits but the rest not; as written one quarter strains, which no other key betters.
    chart = sheet("chords | C | C |\ntune | E4:3 B5:1 | A4:4 |", "A minor")
    best = rank_keys(chart, SingerRange.parse("E4 E5"))[0]
    assert short(best)[1:3] == (0, 0)
    assert strain_words(best.strain) == "B5 (bar 1)"
    assert best.strained == 1


def test_the_lower_of_two_ways_is_sung_an_octave_below(sheet: Sheet) -> None:
    # A baritone (G2 to E4) and C4 to C5: as written all but the C4 and E4 lie above him; an octave
    # lower C3 to C4 fits, and its centre 53 5/6 is the middle of his range, 53 1/2, to a third.
    chart = sheet("chords | C | C | C |\ntune | C4:4 | E4:2 G4:2 | C5:4 |")
    best = rank_keys(chart, VOICE_TYPES["baritone"])[0]
    assert short(best) == ("C", 0, -1, "C3 C4", 0)
    assert advice(best) == (
        "as written, in C, sung an octave below what is written: your highest note becomes C4 "
        "(bar 3)"
    )


@pytest.mark.parametrize(
    ("low", "high", "shift", "octave"),
    [
        ("C4", "C5", 0, 0), ("G3", "G4", -5, 0), ("E3", "E4", -8, 0), ("Eb3", "Eb4", 3, -1),
        ("C3", "C4", 0, -1), ("E2", "E3", -8, -1), ("Eb2", "Eb3", 3, -2), ("F4", "F5", 5, 0),
        ("B4", "B5", 11, 0), ("C5", "C6", 0, 1), ("D5", "D6", 2, 1),
    ],
)  # fmt: skip
def test_how_the_voice_and_the_sheet_share_a_move(
    sheet: Sheet, low: str, high: str, shift: int, octave: int
) -> None:
    # The singer's range is just as wide as the tune, so one key fits, in one octave.
    chart = sheet("chords | C |\ntune | C4:2 C5:2 |")
    fits = rank_keys(chart, SingerRange.parse(f"{low} {high}"))
    assert short(fits[0])[1:] == (shift, octave, f"{low} {high}", 0)
    assert all(fit.strain for fit in fits[1:])


def test_the_advice_in_a_sentence(sheet: Sheet) -> None:
    # Only E holds G4 to E♭5 between E4 and C5.
    bars = " | ".join(["G4:4"] * 13)
    chart = sheet(f"tune | {bars} | Eb5:4 |", "G major")
    best = rank_keys(chart, SingerRange.parse("E4 C5"))[0]
    assert advice(best) == "down a minor third to E: your highest note becomes C5 (bar 14)"


def test_the_advice_in_a_minor_key_that_fits_as_written(sheet: Sheet) -> None:
    chart = sheet("road | pickup | |\nchords | | Em |\ntune | B4:1 | E4:4 |", "E minor")
    best = rank_keys(chart, SingerRange.parse("E4 B4"))[0]
    assert advice(best) == "as written, in E minor: your highest note is B4 (pickup)"


def test_the_advice_says_what_strains_where_no_key_fits(sheet: Sheet) -> None:
    chart = sheet("chords | C |\ntune | C4:1 D5:1 C4:1 G4:1 |")
    singer = SingerRange.parse("C4 C5")
    assert advice(rank_keys(chart, singer)[0]).endswith(", but 1 note strains")
    twice = sheet("chords | C |\ntune | C4:1 C4:1 D5:1 D5:1 |")
    assert advice(rank_keys(twice, singer)[0]).endswith(", but 2 notes strain")


def test_notes_that_strain_are_named_with_their_bars(sheet: Sheet) -> None:
    chart = sheet("road | pickup | | | |\ntune | E5:1 | A3:1 E5:1 F5:2 | E5:2 E5:2 | C4:4 |")
    notes = strain(sung_notes(chart), SingerRange.parse("C4 D5"))
    assert strain_words(notes) == "F5 (bar 1), E5 (pickup, bars 1, 2), A3 (bar 1)"
    assert strain_words(()) == ""


def test_a_sheet_without_a_tune_is_not_ranked(sheet: Sheet) -> None:
    assert rank_keys(sheet("chords | C | F |"), VOICE_TYPES["alto"]) == ()
    assert rank_keys(sheet("chords | C |\ntune | r:4 |"), VOICE_TYPES["alto"]) == ()


def test_a_tune_without_chords_is_ranked_by_its_signature(sheet: Sheet) -> None:
    for rows in ("tune | C4:2 C5:2 |", "chords | N.C. |\ntune | C4:2 C5:2 |"):
        fits = rank_keys(sheet(rows), SingerRange.parse("A3 E5"))
        assert [fit.hands for fit in fits] == [fit.accidentals for fit in fits]
        assert fits[0].key == Key(0)


def test_a_slash_bass_counts_for_the_hands_once(sheet: Sheet) -> None:
    def hands(symbol: str) -> Fraction:
        fits = rank_keys(sheet(f"chords | {symbol} |\ntune | C4:4 |"), VOICE_TYPES["alto"])
        return next(fit.hands for fit in fits if not fit.shift)

    assert [hands(symbol) for symbol in ("C", "C/Bb", "D", "D/F#", "Ebm7")] == [0, 1, 1, 1, 4]


def test_silence_is_no_chord_for_the_hands(sheet: Sheet) -> None:
    chart = sheet("chords | D | N.C. | C |\ntune | C4:4 | C4:4 | C4:4 |")
    as_written = next(fit for fit in rank_keys(chart, SingerRange.parse("C4 C4")) if not fit.shift)
    assert as_written.hands == Fraction(1, 2), "an F♯ in two chords"


def test_a_change_of_key_counts_by_its_bars(sheet: Sheet) -> None:
    chart = sheet("chords | C |\ntune | C4:4 |\n\nkey D major\n\nchords | D |\ntune | D4:4 |")
    as_written = next(f for f in rank_keys(chart, SingerRange.parse("C4 D4")) if not f.shift)
    assert as_written.hands == Fraction(0 + 2, 2) + Fraction(0 + 1, 2)
    assert as_written.key == Key(0), "the key of the first bar"
    assert as_written.accidentals == 0


def test_octaves_in_words() -> None:
    words = [octave_words(octave) for octave in (0, -1, 1, -2, 3)]
    assert words == [
        "",
        "an octave below",
        "an octave above",
        "two octaves below",
        "3 octaves above",
    ]


keys = st.builds(Key, st.integers(-6, 6), st.sampled_from(sorted(MODES)))
pitches = st.builds(
    Pitch, st.builds(Name, st.sampled_from("CDEFGAB"), st.integers(-1, 1)), st.integers(2, 6)
)
SYMBOLS = ["C", "F#m7b5", "Bbmaj7#11", "N.C.", "G7/B", "Ab/C", "E7b9"]


@st.composite
def charts(draw: DrawFn) -> Chart:
    key = draw(keys)
    bars = []
    for number in range(draw(st.integers(1, 4))):
        cuts = draw(st.sets(st.sampled_from([1, 2, 3]), max_size=3))
        edges = [0, *sorted(cuts), 4]
        tune = tuple(
            Note(draw(pitches | st.none()), Fraction(end - start), draw(st.booleans()))
            for start, end in pairwise(edges)
        )
        chord = ChordSymbol.parse(draw(st.sampled_from(SYMBOLS)))
        bars.append(Bar(str(number + 1), key=key, changes=(Change(Fraction(0), chord),), tune=tune))
    return Chart("T", (Section("", tuple(bars)),))


singers = st.tuples(st.integers(36, 64), st.integers(3, 26)).map(
    lambda ends: SingerRange(Pitch.from_midi(ends[0]), Pitch.from_midi(ends[0] + ends[1]))
)
sung_charts = charts().filter(sung_notes)


@settings(max_examples=60)
@given(sung_charts, singers)
def test_every_key_is_what_it_says(chart: Chart, singer: SingerRange) -> None:
    fits = rank_keys(chart, singer)
    assert len({fit.key.tonic.pitch_class for fit in fits}) == 12
    written = sung_notes(chart)
    for fit in fits:
        moved = transpose(chart, fit.shift)
        assert fit.key == moved.bars[0].key
        assert fit.interval.semitones == fit.shift
        assert interval_words(fit.interval)
        sounding = [note.in_octave(fit.octave) for note in sung_notes(moved)]
        assert fit.tune == tessitura(sounding)
        assert fit.strain == tuple(note for note in sounding if singer.beyond(note.pitch))
        assert fit.strained == sum(note.length for note in fit.strain)
        assert fit.off == tessitura(written).centre + fit.shift + 12 * fit.octave - singer.centre


@settings(max_examples=60)
@given(sung_charts, singers)
def test_no_move_of_the_voice_strains_less_than_the_best(chart: Chart, singer: SingerRange) -> None:
    best = rank_keys(chart, singer)[0]
    written = sung_notes(chart)
    for move in range(-40, 41):
        outside = sum(
            note.length
            for note in written
            if not singer.low.midi <= note.pitch.midi + move <= singer.high.midi
        )
        assert best.strained <= outside


@settings(max_examples=60)
@given(sung_charts, singers, st.integers(-12, 12))
def test_the_key_it_is_written_in_does_not_matter_to_the_voice(
    chart: Chart, singer: SingerRange, semitones: int
) -> None:
    def judged(sheet: Chart) -> dict[int, tuple[Fraction, Fraction]]:
        fits = rank_keys(sheet, singer)
        return {fit.key.tonic.pitch_class: (fit.strained, abs(fit.off)) for fit in fits}

    assert judged(transpose(chart, semitones)) == judged(chart)
