"""What is told of chords and places: lines worked by hand from the demo songs."""

import pytest
from tests.plain.listener import Listener, demo

from chartwalk.chord import ChordSymbol
from chartwalk_tui.plain.chords import palette_words, symbol_signs, symbol_words
from chartwalk_tui.plain.speech import LONGEST, spoken, spoken_lines


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("C", "C"),
        ("Am7", "A minor 7"),
        ("A-7", "A minor 7"),
        ("AM7", "A major 7"),
        ("Amaj7", "A major 7"),
        ("A△", "A major 7"),
        ("A△9", "A major 9"),
        ("Am(maj7)", "A minor major 7"),
        ("Eb9", "E flat 9"),
        ("E(b9)", "E with flat 9"),
        ("E7(b9,#11)", "E 7 flat 9 sharp 11"),
        ("E7+9", "E 7 sharp 9"),
        ("E7-9", "E 7 flat 9"),
        ("C+7", "C augmented 7"),
        ("C-5", "C with flat 5"),
        ("Bdim7", "B diminished 7"),
        ("Bo7", "B diminished 7"),
        ("B°", "B diminished"),
        ("Bø7", "B half diminished 7"),
        ("Bm7b5", "B minor 7 flat 5"),
        ("Gsus", "G sus"),
        ("G7sus4", "G 7 sus 4"),
        ("Gsus24", "G sus 2 4"),
        ("Gadd9", "G add 9"),
        ("Gno3", "G no 3"),
        ("Gomit5", "G no 5"),
        ("G6/9", "G 6 9"),
        ("G69", "G 6 9"),
        ("G13/B", "G 13 over B"),
        ("Galt", "G altered"),
        ("Gquartal", "G quartal"),
        ("D/F#", "D over F sharp"),
        ("F##m", "F double sharp minor"),
        ("Bbb", "B double flat"),
        ("N.C.", "no chord"),
    ],
)
def test_a_symbol_is_said_from_left_to_right(written: str, said: str) -> None:
    assert spoken(symbol_words(ChordSymbol.parse(written))) == said


@pytest.mark.parametrize(
    ("written", "shown"), [("B♭△7", "Bbmaj7"), ("F#m7b5", "F#m7b5"), ("C°7/G♭", "Cdim7/Gb")]
)
def test_a_symbol_with_signs_is_plain_letters(written: str, shown: str) -> None:
    assert spoken(symbol_signs(ChordSymbol.parse(written)), signs=True) == shown


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("D/F#", "D, F sharp, A; bass F sharp, the 3rd"),
        ("C/Bb", "C, E, G; bass B flat, not in the chord"),
        ("F13", "F, A, C, E flat, G, D; usually left out, B flat"),
        ("C7alt", "C, E, B flat; to choose, G flat or G sharp, D flat or D sharp"),
        ("B-7#5", "B, D, F double sharp, the key G, A"),
    ],
)
def test_the_notes_of_a_chord_are_named(written: str, said: str) -> None:
    assert spoken(palette_words(ChordSymbol.parse(written).palette)) == said


def test_a_demo_song_begins() -> None:
    assert Listener(demo("lanterns-at-low-tide")).begin() == [
        "Lanterns at Low Tide.",
        "G major, 1 sharp: F sharp. 4/4, tempo 84. Chords as written.",
        "Pickup, step 1 of 30, Verse. No chord in the pickup.",
        "Next, G next bar: G, B, D.",
        "Type a letter and Enter; Enter alone is the next bar. ? lists all, q leaves.",
    ]


def test_another_meter_and_another_key() -> None:
    assert Listener(demo("last-ferry-bell")).begin()[1] == (
        "A minor, no sharps or flats. 6/8, tempo 58 in dotted quarters. Chords as written."
    )
    assert Listener(demo("lamplighter-swing")).begin()[1] == (
        "B flat major, 2 flats: B flat, E flat. 4/4, swing, tempo 132. Chords as written."
    )


def test_a_step_tells_the_chord_now_the_chord_next_and_a_jump_that_is_near() -> None:
    listener = Listener(demo("lanterns-at-low-tide"))
    assert listener.types("g 7") == [
        "Bar 7, step 8 of 30, Verse. A minor 7: A, C, E, G.",
        "Next, D 7 on beat 3: A and C stay, E to D, G to F sharp; bass A to D.",
    ]
    assert listener.types("") == [
        "Bar 8, step 9 of 30, Verse. G: G, B, D.",
        "Next, D 7 sus 4 on beat 3: D and G stay, B to C, A joins; bass G to D.",
        "Next bar, repeat, 2nd time, to bar 1.",
    ]


def test_a_bar_of_another_meter_says_so() -> None:
    listener = Listener(demo("lanterns-at-low-tide"))
    assert listener.types("g 17")[0] == ("Bar 17, step 24 of 30, Chorus. Now 2/4. C: C, E, G.")
    assert listener.types("")[0] == (
        "Bar 18, step 25 of 30, Chorus. Now 4/4. G over D: G, B, D; bass D, the 5th."
    )


def test_the_bar_in_full() -> None:
    listener = Listener(demo("lanterns-at-low-tide"))
    listener.types("g 2")
    assert listener.types("x") == [
        "Chords: E minor 7 on beat 1, G over D on beat 3.",
        "Tune: G4 on beat 1, E4 on the and of 2, D4 on beat 3, D4 on beat 4.",
        "Words: long the sand, the",
    ]
    listener.types("g 2")  # the second time
    assert listener.types("x")[2] == "Words: by this light, her"


def test_rests_and_bars_without_a_tune_or_words() -> None:
    listener = Listener(demo("lamplighter-swing"))
    listener.types("")
    assert listener.types("x")[1:] == [
        "Tune: C5 on beat 1, G4 on the and of 1, rest on beat 4.",
        "Words: a jar,",
    ]
    lanterns = Listener(demo("lanterns-at-low-tide"))
    lanterns.types("Z")
    assert lanterns.types("x") == ["Chords: G on beat 1.", "Tune: G4 on beat 1."]


def test_chords_left_out_at_a_leaner_depth_are_told() -> None:
    listener = Listener(demo("lanterns-at-low-tide"))
    listener.types("d", "g 10")
    assert listener.types("x")[:2] == [
        "Chords: G on beat 1.",
        "Left out: G 7 over B on beat 3.",
    ]


def test_words_are_joined_and_what_goes_on_keeps_its_hyphen() -> None:
    listener = Listener(demo("lanterns-at-low-tide"))
    listener.types("g 1")
    assert listener.types("x")[2] == "Words: lanterns swing a-"


def test_where_am_i() -> None:
    listener = Listener(demo("lanterns-at-low-tide"))
    listener.types("g 6", "[")
    assert listener.types("h") == [
        "Lanterns at Low Tide. G major, 1 sharp: F sharp. 4/4, tempo 84. Chords as written.",
        "Passage: bar 6. l loops it, f lets you hear it.",
        "Bar 6, step 7 of 30, Verse.",
        "C: C, E, G.",
        "Next, G over B on beat 3: G stays, C to B, E to D; bass walks C, B, A.",
        "In 3 bars, repeat, 2nd time, to bar 1.",
    ]


def test_the_chord_in_full() -> None:
    listener = Listener(demo("lanterns-at-low-tide"))
    listener.types("j", "j")
    assert listener.types("c") == [
        "D over F sharp.",
        "root D, 3rd F sharp, 5th A.",
        "D: the root; without another sign the triad is major, D F sharp A.",
        "/F sharp: F sharp in the bass, the 3rd of the chord.",
    ]


def test_the_road_in_words() -> None:
    assert Listener(demo("lanterns-at-low-tide")).types("w") == [
        "24 bars on paper, 30 as played.",
        "Verse pickup and 1 to 8.",
        "Again 1 to 6.",
        "2nd ending 9 to 10.",
        "Chorus 11 to 19.",
        "Outro 20 to 23.",
    ]


def test_names_with_signs_are_shorter() -> None:
    listener = Listener(demo("lamplighter-swing"))
    assert listener.types("#") == [
        "Bar 1, step 1 of 38, Verse. Bb6: Bb, D, F, G.",
        "Next, Bdim7 on beat 3: D and F stay, Bb to B, G to Ab; bass walks Bb, B, C, C#, D.",
    ]
    assert listener.types("#")[0] == "Bar 1, step 1 of 38, Verse. B flat 6: B flat, D, F, G."


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("F♯♯, A", "F double sharp, A"),
        ("low\x1b[2J tide", "low [2J tide"),
        ("Café  夜\u202e", "Café 夜"),
        ("Cafe\N{COMBINING ACUTE ACCENT}", "Café"),
        ("it’s · on—and …", "it's, on-and ..."),
        ("bars 12-13", "bars 12 to 13"),
        ("lan-terns", "lan-terns"),
        ("│ ♥", "box drawings light vertical black heart suit"),
        ("next bar. ? lists", "next bar. ? lists"),
        ("\ud800", ""),
    ],
)
def test_what_a_voice_can_say(text: str, said: str) -> None:
    assert spoken(text) == said


def test_what_is_long_is_told_in_several_lines_without_a_loss() -> None:
    words = [f"word{number}" for number in range(60)]
    lines = spoken_lines(" ".join(words))
    assert len(lines) > 1
    assert all(len(line) <= LONGEST for line in lines)
    assert " ".join(lines).split() == words
    assert all(len(line) <= LONGEST for line in spoken_lines("x" * 1000))
    assert spoken_lines(" \t") == []
