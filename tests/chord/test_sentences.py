"""The sentences that take a symbol apart, in the words a pupil reads."""

import pytest

from chartwalk.chord import ChordSymbol


def test_explanation_goes_piece_by_piece() -> None:
    lines = ChordSymbol.parse("B-7#5").explanation
    assert [line.split(":")[0] for line in lines] == ["B", "-", "7", "♯5"]
    root, minor, seventh, fifth = lines
    assert "root" in root
    assert "minor" in minor
    assert "B D F♯" in minor
    assert "minor seventh" in seventh
    assert "A" in seventh.split(": ")[1].split()
    assert "raise" in fifth
    assert "F♯♯" in fifth
    assert fifth.endswith("key G")


@pytest.mark.parametrize(
    ("symbol", "line"),
    [
        (
            "C7(13)",
            "13: add the 13th, A; count up past the octave, the letter of the 6th; "
            "put it where it is comfortable",
        ),
        (
            "Cadd9",
            "add9: add the 9th, D, no seventh; count up past the octave, the letter of the 2nd; "
            "put it where it is comfortable",
        ),
        (
            "Cm13",
            "13: add a minor seventh, B♭, and above it the 9th, 11th and 13th, D F A; "
            "count up past the octave, the letters of the 2nd, 4th and 6th; "
            "put them where they are comfortable",
        ),
        ("C13", "usually left out: F, the 11th"),
        ("C11", "usually left out: E, the 3rd"),
        ("C7M", "M: make it a major seventh, B"),
        (
            "Cø7",
            "ø7: half-diminished: lower third and fifth, so C E♭ G♭, and add a minor seventh, B♭",
        ),
        ("Bbquartal4", "quartal4: fourths stacked in place of thirds: B♭ E♭ A♭ D♭"),
        ("C", "C: the root; without another sign the triad is major, C E G"),
        ("Gb7", "7: add a minor seventh, F♭, the key E"),
        ("C4", "4: add the fourth, F, beside the third"),
        ("Cm+", "+: raise the fifth, so C E♭ G♯"),
        ("C+", "+: augmented: raise the fifth, so C E G♯"),
        ("Cdim7(maj7)", "maj7: make it a major seventh, B"),
        ("C7alt", "alt: altered: choose G♭ or G♯ for the fifth and D♭ or D♯ for the 9th"),
        ("C#/E#", "/E♯: E♯, the key F, in the bass, the 3rd of the chord"),
        ("C/G#", "/G♯: G♯ in the bass, a note outside the chord"),
        ("C7sus4", "sus4: suspended: the fourth (F) in place of the third, so C F G"),
        ("Csus2", "sus2: suspended: the second (D) in place of the third, so C D G"),
        (
            "Csus2sus4",
            "sus2sus4: suspended: the second (D) and the fourth (F) in place of the third, "
            "so C D F G",
        ),
        ("C(sus4)", "sus4: suspended: the fourth (F) in place of the third, so C F G"),
        ("C7no3", "no3: leave out the third, E"),
        ("Comit3,5", "omit3,5: leave out the third and fifth, E G"),
        ("C7no9", "no9: leave out the 9th"),
        ("CmMaj", "Maj: add a major seventh, B"),
        (
            "CmM7alt",
            "alt: altered: make it a minor seventh, B♭; "
            "choose G♭ or G♯ for the fifth and D♭ or D♯ for the 9th",
        ),
        ("Cb", "C♭: the root, the key B; without another sign the triad is major, C♭=B E♭ G♭"),
        ("Bdim7/G#", "/G♯: G♯ in the bass, the same key as A♭, the ♭♭7 of the chord"),
        ("C#/F", "/F: F in the bass, the same key as E♯, the 3rd of the chord"),
        ("Cm7b5", "♭5: lower the fifth to G♭"),
        (
            "C7b9",
            "♭9: add the lowered 9th, D♭; count up past the octave, the letter of the 2nd; "
            "put it where it is comfortable",
        ),
        (
            "C9#11",
            "♯11: add the raised 11th, F♯; count up past the octave, the letter of the 4th; "
            "put it where it is comfortable",
        ),
        ("C9b5no5", "no5: leave out the fifth, G♭"),
    ],
)
def test_the_last_piece_is_told_in_plain_words(symbol: str, line: str) -> None:
    assert ChordSymbol.parse(symbol).explanation[-1] == line
