"""Plain, on bars worked by hand (common practice, no source)."""

from collections.abc import Callable

import pytest

A_TUNE = "chords | {} |\ntune | {} |"

BARS = {
    "a triad a chord": ("chords | Dm9 G13 | Cmaj7 |", "Dm@1 G@3 | C@1"),
    "figures over one root are one chord": ("chords | C Cmaj7 C7 F6 |", "C@1 F@4"),
    "a slash over one chord is one chord": ("chords | Am Am/G | F/A |", "Am@1 | F@1"),
    "another chord between keeps both": ("chords | C6 G7 C6 G7 |", "C@1 G@2 C@3 G@4"),
    "the first chord of a bar is written": ("chords | C C7 | Cmaj7 |", "C@1 | C@1"),
    "also where it comes late": ("chords | C | C7@3 |", "C@1 | C@3"),
    "a held bar stays empty": ("chords | C7 | | G7 |", "C@1 | - | G@1"),
    "no chord stays": ("chords | C7 N.C. C6 / |", "C@1 N.C.@2 C@3"),
}

SUSPENDED = {
    "sung where the chord begins": ("G7sus4", "C5:1 B4:3", "Gsus4@1"),
    "sung for half the chord": ("G7sus4", "D5:2 C5:2", "Gsus4@1"),
    "sung for less": ("G7sus4", "D5:2.5 C5:1.5", "G@1"),
    "in passing, twice, for half in all": ("G7sus4", "D5:1 C5:1 D5:1 C5:1", "Gsus4@1"),
    "the second": ("Gsus2", "A4:4", "Gsus2@1"),
    "second and fourth, the fourth sung": ("Gsus24", "C5:4", "Gsus4@1"),
    "not sung at all": ("G7sus4", "r:4", "G@1"),
    "sung over the second half": ("C Gsus4", "G4:2 C5:2", "C@1 Gsus4@3"),
    "sung under the chord before only": ("Am Gsus4", "C5:2 D5:2", "Am@1 G@3"),
    "as another name of the same key": ("G#sus4", "Db5:4", "G#sus4@1"),
    "resolved": ("G7sus4 G7", "C5:2 B4:2", "Gsus4@1 G@3"),
    "two that are one, sung by the first": ("G7sus4 G9sus4", "C5:1 D5:3", "Gsus4@1"),
    "two that are one, sung for less": ("G7sus4 G9sus4", "D5:1 C5:1 D5:2", "G@1"),
    "sung over the next bar, half in all": ("Gsus4 | ", "r:4 | C5:4", "Gsus4@1 | -"),
    "sung late in the next bar": ("Gsus4 | ", "r:4 | r:1 C5:3", "G@1 | -"),
    "sung across the bar line": ("C | Gsus4", "G4:3 C5:1~ | C5:1 B4:3", "C@1 | Gsus4@1"),
}

THIRDS = {
    "of the chord after": ("A7sus4 Am", "C major", "Am@1"),
    "of the chord after, over the bar line": ("Esus4 | E7", "C major", "E@1 | E@1"),
    "of the chord before": ("Am7 Asus2", "A major", "Am@1"),
    "after counts more than before": ("Am Asus4 A7 /", "C major", "Am@1 A@2"),
    "a seventh makes a dominant": ("E7sus4", "C major", "E@1"),
    "ii of the key": ("Dsus2", "C major", "Dm@1"),
    "iii of the key": ("Esus4", "C major", "Em@1"),
    "vi of the key": ("Asus2", "C major", "Am@1"),
    "IV of the key": ("Fsus2", "C major", "F@1"),
    "V of the key": ("Gsus4", "C major", "G@1"),
    "i of a minor key": ("Dsus4", "D minor", "Dm@1"),
    "iv of a minor key": ("Gsus2", "D minor", "Gm@1"),
    "V of a minor key, by its leading note": ("Asus4", "D minor", "A@1"),
    "outside the key": ("Bsus4", "C major", "B@1"),
}


@pytest.mark.parametrize("what", BARS)
def test_chords(played: Callable[..., str], what: str) -> None:
    rows, expected = BARS[what]
    assert played("plain", rows) == expected


@pytest.mark.parametrize("what", SUSPENDED)
def test_a_suspension_that_the_tune_holds(played: Callable[..., str], what: str) -> None:
    chords, tune, expected = SUSPENDED[what]
    assert played("plain", A_TUNE.format(chords, tune)) == expected


@pytest.mark.parametrize("what", THIRDS)
def test_the_third_a_suspension_falls_to(played: Callable[..., str], what: str) -> None:
    chords, key, expected = THIRDS[what]
    assert played("plain", f"chords | {chords} |", "4/4", key) == expected


def test_the_third_that_the_tune_holds_counts_first(played: Callable[..., str]) -> None:
    assert played("plain", A_TUNE.format("A7sus4 A7", "C5:2 C#5:2")) == "Am@1 A@3"
    assert played("plain", A_TUNE.format("Asus2 Am", "C#5:2 C5:2")) == "A@1 Am@3"
