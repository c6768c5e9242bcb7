"""Roman numerals as the player sees them, against published progressions.

References
----------
MT21C: Hutchinson, *Music Theory for the 21st-Century Classroom*: "Roman Numeral Chord Symbols",
"Diatonic Chords in Major", "Diatonic Chords in Minor", "Secondary Dominants", and the jazz
progressions of its introduction to jazz theory.
"""

from typing import TYPE_CHECKING

import pytest

from chartwalk.chord import ChordSymbol
from chartwalk.key import Key
from chartwalk.pitch import Interval, Name

if TYPE_CHECKING:
    from tests.analysis.conftest import Asked

MAJOR_KEYS = [Key(fifths) for fifths in range(-7, 8)]
MINOR_KEYS = [Key(fifths, "minor") for fifths in range(-7, 8)]

# What follows the root: triads, sixths, sevenths, extensions, alterations, suspensions.
QUALITIES = """ m dim + 6 m6 6/9 m6/9 7 maj7 △7 m7 mMaj7 dim7 ø7 m7b5 +7 7#5 maj7#5 7b5 9 maj9 m9 11
maj11 m11 13 maj13 m13 7b9 7#9 7#11 7b13 7b9b13 maj7#11 alt sus2 sus4 7sus4 9sus 13sus(b9) 5 add9
m(add9) maj7b5 m7#5 7no3""".replace("\n", " ").split(" ")


def rooted(key: Key, interval: str, quality: str) -> str:
    """A symbol so far above the tonic."""
    return f"{(key.tonic + Interval.parse(interval)).ascii}{quality}"


@pytest.mark.parametrize(
    ("keys", "chords", "numerals"),
    [
        # MT21C, progressions Dm9 - G9(13) - C△9 and Dm7(b5) - G7alt - Cm6/9, from their tonics.
        (MAJOR_KEYS, "M2 m9, P5 9(13), P1 △9", "ii7 V7 Imaj7"),
        (MINOR_KEYS, "M2 m7(b5), P5 7alt, P1 m6/9", "iiø7 V7 i"),
        # MT21C "Diatonic Chords in Major".
        (
            MAJOR_KEYS,
            "P1 , M2 m, M3 m, P4 , P5 , M6 m, M7 dim",
            "I ii iii IV V vi vii°",
        ),
        # MT21C "Diatonic Chords in Minor": i ii° III iv V VI VII vii°. We count in the tonic's
        # major scale, so III, VI and VII have their flats.
        (
            MINOR_KEYS,
            "P1 m, M2 dim, m3 , P4 m, P5 , m6 , m7 , M7 dim",
            "i ii° ♭III iv V ♭VI ♭VII vii°",
        ),
        # MT21C "Secondary Dominants in Major and Minor": triads, then sevenths.
        (MAJOR_KEYS, "M2 , M3 , M6 , M7 ", "V/V V/vi V/ii V/iii"),
        (MAJOR_KEYS, "M2 7, M3 7, M6 7, M7 7", "V7/V V7/vi V7/ii V7/iii"),
        (MINOR_KEYS, "M2 , M2 7, P1 7", "V/V V7/V V7/iv"),
        # The same: what it allows to be read in two ways is read as the plain chord here.
        (MINOR_KEYS, "P4 , m7 7", "IV ♭VII7"),
        # The same: a diminished chord can't be tonicized.
        (MAJOR_KEYS, "A4 7", "♯IV7"),
        # The twelve bars of a blues, and the major chord that ends a minor song; common practice,
        # no source.
        (MAJOR_KEYS, "P1 7, P4 7, P5 7", "I7 IV7 V7"),
        (MINOR_KEYS, "P1 ", "I"),
        # Borrowed and passing chords; common practice, no source.
        (MAJOR_KEYS, "P4 m, m7 , m6 , m3 , m2 7, A4 dim7", "iv ♭VII ♭VI ♭III ♭II7 ♯iv°7"),
    ],
)
def test_in_every_key(asked: "Asked", keys: list[Key], chords: str, numerals: str) -> None:
    for key in keys:
        symbols = [rooted(key, *chord.split(" ")) for chord in chords.split(", ")]
        assert asked.numerals((text, key) for text in symbols) == numerals.split(), key


@pytest.mark.parametrize(
    ("key", "symbols", "numerals"),
    [
        # MT21C "Roman Numeral Chord Symbols": upper case major, lower case minor, + and °.
        ("C major", "C Cm C+ Bdim", "I i I+ vii°"),
        ("A minor", "C+", "♭III+"),
        # MT21C, practice exercises: Dm7(b5) is half-diminished, written ø7.
        ("C minor", "Dm7b5 Dø7", "iiø7 iiø7"),
        # The bass is left aside, and so are sixths, extensions and altered fifths.
        ("G major", "D/F# D7/C G/B C/D", "V V7 I IV"),
        ("C major", "C6 C6/9 Am11 G13(#11) G7b5 Cadd9", "I I vi7 V7 V7 I"),
        # Nothing without a third is minor, or the dominant of another chord.
        ("C major", "Gsus G7sus4 Dsus2 D7sus4 A5 G7no3", "Vsus4 V7sus4 IIsus2 II7sus4 VI5 V7"),
        # A major seventh or a sixth makes no dominant of another chord.
        ("C major", "Dmaj7 D6 D+", "IImaj7 II II+"),
        ("C major", "D9 Aalt E7#5", "V7/V V7/ii V+7/vi"),
    ],
)
def test_how_symbols_are_read(asked: "Asked", key: str, symbols: str, numerals: str) -> None:
    assert asked.in_key(key, symbols) == numerals


def test_no_chord_has_no_numeral(asked: "Asked") -> None:
    assert asked.analyst.numeral(ChordSymbol.parse("N.C."), Key()) == ""


@pytest.mark.parametrize("keys", [MAJOR_KEYS, MINOR_KEYS], ids=["major", "minor"])
def test_a_song_has_the_same_numerals_in_every_key(asked: "Asked", keys: list[Key]) -> None:
    """Moving chord and key together changes nothing, over roots of at most one accidental."""
    places = range(-6, 8)  # of the root, on the line of fifths from the tonic
    pairs = [
        (f"{Name.from_fifths(key.tonic.fifths + place).ascii}{quality}", key, place, quality)
        for place in places
        for key in keys
        for quality in QUALITIES
        if abs(Name.from_fifths(key.tonic.fifths + place).alter) <= 1
    ]
    numerals = asked.numerals((text, key) for text, key, _, _ in pairs)
    found: dict[tuple[int, str], set[str]] = {}
    for numeral, (_, _, place, quality) in zip(numerals, pairs, strict=True):
        found.setdefault((place, quality), set()).add(numeral)
    assert {place: seen for place, seen in found.items() if len(seen) > 1} == {}
    assert len(found) == len(places) * len(set(QUALITIES))
    assert all("" not in seen for seen in found.values())
    # No two roots of one quality share a numeral, so that none can be mistaken for another.
    for quality in set(QUALITIES):
        of_quality = [
            numeral for (_, other), seen in found.items() for numeral in seen if other == quality
        ]
        assert len(set(of_quality)) == len(of_quality), quality
