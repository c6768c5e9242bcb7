"""Charts moved by hand: chords, tunes, keys and ties, and what must not move.

References
----------
Hutchinson, *Music Theory for the 21st-Century Classroom* (MT21C), chapters on intervals and the
circle of fifths: up a major second is two fifths on, a minor third three back, a major third four
on, a fourth one back, a fifth one on, a minor second five back, an augmented unison seven on. What
is respelled is common practice, no source.
"""

from collections.abc import Callable

import pytest

from chartwalk.chart import Chart
from chartwalk.pitch import Pitch
from chartwalk.transpose import transpose

Of = Callable[..., Chart]
Move = Callable[[str, int, str], str]
Tune = Callable[[Chart], list[str]]

# Key, semitones, symbols as written and as moved.
CHORDS = [
    # names proper to the key: no A# in F major
    ("G major", -2, "G D/F# Em7 C Am7 D7", "F C/E Dm7 Bb Gm7 C7"),
    ("Eb major", 2, "Eb7 Abmaj7 Cm7 Bb7sus4", "F7 Bbmaj7 Dm7 C7sus4"),
    ("F# minor", 3, "F#m C#7/E# Bm G#m7b5", "Am E7/G# Dm Bm7b5"),
    ("A minor", 3, "Am E7/G# F#m7b5 Bm7b5 G#dim7", "Cm G7/B Am7b5 Dm7b5 Bdim7"),
    # from sharps to flats: B up a major third is D#, written Eb
    ("B major", 4, "B E F# G#m7 C#m/E D#m", "Eb Ab Bb Cm7 Fm/Ab Gm"),
    ("Gb major", 2, "Gbm7b5 Cb Db7/Cb", "Abm7b5 Db Eb7/Db"),
    ("G major", -1, "G C D7 F Eb7 Bb", "F# B C#7 E D7 A"),
    # a double flat, and C flat or F flat outside the key, take their plain names
    ("C major", 1, "C F Fm Bb Bdim7 E7 Ab", "Db Gb Gbm B Cdim7 F7 A"),
    ("C major", 6, "C F Bb Eb Am F#dim", "Gb Cb E A Ebm Cdim"),
    ("G major", -1, "F#m7b5 G#dim7 A#dim7", "E#m7b5 Gdim7 Adim7"),
    # another root outside the key: the name with fewer double accidentals above it
    ("Bb major", -1, "Bmaj7 C#dim7 Bbmaj7", "Bbmaj7 B#dim7 Amaj7"),
    # in minor the raised sixth and seventh are of the key, double sharps are still too much
    ("D minor", 4, "Dm A7 Bm7b5 C#dim7", "F#m C#7 D#m7b5 E#dim7"),
    ("D minor", 6, "Dm Bm7b5 C#dim7", "G#m E#m7b5 Gdim7"),
    # the bass goes where the root goes
    ("C major", 1, "Bb/D Ab/C Bb/C Bb/Ab C/Bb", "B/D# A/C# B/C# B/A Db/Cb"),
    ("C major", 6, "F/A F/Eb F7/Eb Eb/G D/F#", "Cb/Eb B/A B7/A A/C# Ab/C"),
    # a bass with a double accidental is read as a note of the chord, or it takes its plain name
    ("E minor", 4, "B7/D# B7/A", "D#7/F## D#7/C#"),
    ("C major", 6, "Dm7b5/Ab C/Ab", "Abm7b5/Ebb Gb/D"),
    ("G major", -1, "B7/D# E7/G# Em/G#", "A#7/C## D#7/F## D#m/G"),
    # what would stick to the root stays in brackets
    ("A major", -2, "C#b5 C#(b9) C(b5)", "B(b5) B(b9) Bb(b5)"),
    ("C major", 2, "N.C. n.c. C", "N.C. n.c. D"),
]

# Key, semitones, notes as written and as moved.
NOTES = [
    ("C major", 1, "C4 F#4 G#4 Bb4 B4", "Db4 G4 A4 Cb5 C5"),
    ("C major", -1, "C4 B3 E4 F4 Bb3 F#4", "B3 A#3 D#4 E4 A3 E#4"),
    ("F major", 2, "F4 Bb4 B4 C#5", "G4 C5 C#5 D#5"),
    ("B major", 4, "B3 D#4 F#4 A#4", "Eb4 G4 Bb4 D5"),
    # double accidentals: the plain name of the same key of the keyboard, in its octave
    ("C major", 6, "Eb4 Ab4 Db5 Gb4 Fb4", "A4 D5 G5 C5 Bb4"),
    ("C major", -1, "G#4 D#5 E#4 A#4 B#4", "G4 D5 E4 A4 B4"),
    # in minor the raised sixth and seventh keep theirs
    ("E minor", 4, "E4 C#5 D#5 A#4", "G#4 E#5 F##5 D5"),
    ("C# minor", 7, "A#4 B#4 F##4", "E#5 F##5 D5"),
]


@pytest.mark.parametrize(("key", "semitones", "written", "moved"), CHORDS)
def test_chords(moved_chords: Move, key: str, semitones: int, written: str, moved: str) -> None:
    assert moved_chords(key, semitones, written) == moved


@pytest.mark.parametrize(("key", "semitones", "written", "moved"), NOTES)
def test_notes(moved_notes: Move, key: str, semitones: int, written: str, moved: str) -> None:
    assert moved_notes(key, semitones, written) == moved


@pytest.mark.parametrize("semitones", [12, -12])
def test_an_octave_keeps_every_name(moved_chords: Move, moved_notes: Move, semitones: int) -> None:
    odd = "Fb7/Ebb B##m Cb E#dim/B"
    assert moved_chords("C# major", semitones, odd) == odd
    octaves = {12: "Fb5 B##4 C##6 r", -12: "Fb3 B##2 C##4 r"}
    assert moved_notes("C# major", semitones, "Fb4 B##3 C##5 r") == octaves[semitones]


def test_no_move_gives_the_chart_itself(of: Of) -> None:
    chart = of("chords | Fb7/Ebb |", "C# major")
    assert transpose(chart, 0) is chart


def test_a_song_that_changes_its_key(of: Of, tune: Tune) -> None:
    # G to B flat and A flat to B: each key change goes along, and the names with it.
    song = of(
        "chords | G     C/E    | D7   |\n"
        "tune   | B4:2 C#5:2   | D5:4 |\n\n"
        "key Ab major\n"
        "chords | Ab     Fm/Ab  | Eb7  |\n"
        "tune   | C5:2   Gb4:2  | Db5:4 |",
        "G major",
    )
    up = transpose(song, 3)
    assert [bar.key.ascii for bar in up.bars] == ["Bb major"] * 2 + ["B major"] * 2
    assert [" ".join(change.symbol.text for change in bar.changes) for bar in up.bars] == [
        "Bb Eb/G", "F7", "B G#m/B", "F#7",
    ]  # fmt: skip
    assert tune(up) == ["D5 E5", "F5", "D#5 A4", "E5"]
    assert [bar.key.ascii for bar in transpose(song, -1).bars] == (
        ["F# major"] * 2 + ["G major"] * 2
    )


def test_the_rest_stays(of: Of) -> None:
    rows = (
        "credit invented\nnote two\nvoice A3 D5\ntempo 84\nfeel swing\n\n"
        "section Verse\n"
        "road   | pickup | segno     |      |\n"
        "chords |       |: C@1 G@3.5 | F   :|\n"
        "tune   | G4:1   | C4:2 r:2  | E4:4 |\n"
        "words  | Oh     | la-       | la |\n"
    )
    chart = of(rows)
    up = transpose(chart, 5)
    assert (up.title, up.credit, up.note) == (chart.title, "invented", "two")
    assert up.voice == chart.voice == (Pitch.parse("A3"), Pitch.parse("D5"))
    for before, after in zip(chart.bars, up.bars, strict=True):
        assert (after.number, after.meter, after.tempo, after.feel, after.length) == (
            before.number, before.meter, before.tempo, before.feel, before.length
        )  # fmt: skip
        assert (after.words, after.marks, after.pickup) == (
            before.words, before.marks, before.pickup
        )  # fmt: skip
        assert [change.at for change in after.changes] == [change.at for change in before.changes]
    assert [section.name for section in up.sections] == ["Verse"]


def test_a_tie_holds_over_a_key_change(of: Of, tune: Tune) -> None:
    # D to A flat would have E flat and F to B would have D sharp: one note, so E flat all through.
    song = of("tune | A4:4~ |\n\nkey F major\ntune | A4:2~ A4:1 A4:1 |", "D major")
    assert tune(transpose(song, 6)) == ["Eb5~", "Eb5~ Eb5 D#5"]


def test_a_note_struck_again_takes_the_name_of_its_own_key(of: Of, tune: Tune) -> None:
    song = of("tune | A4:4 |\n\nkey F major\ntune | A4:4 |", "D major")
    assert tune(transpose(song, 6)) == ["Eb5", "D#5"]


def test_notes_that_only_sound_alike_stay_struck_twice(of: Of, tune: Tune) -> None:
    # E sharp and F are two syllables; G and G under a tie would be one.
    song = of("tune  | E#4:2~ F4:2 |\nwords | la     la   |")
    up = transpose(song, 2)
    assert tune(up) == ["G4 G4"]
    assert up.bars[0].words == song.bars[0].words


def test_a_bar_without_notes_parts_a_tie(of: Of, tune: Tune) -> None:
    song = of("tune | A4:4~ | |\n\nkey F major\ntune | A4:4 |", "D major")
    assert tune(transpose(song, 6)) == ["Eb5~", "", "D#5"]


@pytest.mark.parametrize("semitones", [13, -13])
def test_a_chart_moves_an_octave_at_most(of: Of, semitones: int) -> None:
    with pytest.raises(ValueError, match="at most 12 semitones"):
        transpose(of("chords | C |"), semitones)
