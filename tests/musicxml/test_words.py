"""Words that are road signs, chords, feels or sections, in the spellings of real files."""

import pytest

from chartwalk.chart import Sign
from chartwalk.mending.words import (
    feel_word,
    looks_like_chords,
    no_chord,
    road_sign,
    section_word,
    times_word,
)

SIGNS = {
    Sign.DC: "D.C.|DC|d.c.|d. c.   |Da Capo|D.C|D.C. senza replica|[D.C.]",
    Sign.DS: "D.S.|DS|Dal Segno|del segno|D. S.|D.S. 𝄋",
    Sign.DC_AL_FINE: (
        "D.C. al Fine|D.C.alfine|DC al Fine|Da Capo al Fine|da capo al fine|(D.C. al Fine)|"
        "3 repeats then D.C.al fine|DCalFine|D. C. al Fine (no repeat)|Dacapo al fine|D C al Fine"
    ),
    Sign.DC_AL_CODA: "D.C. al Coda|D.C.alCoda|da capo al coda|D.C. al ⊕|D.C. e poi la Coda",
    Sign.DS_AL_FINE: "D.S. al Fine|d.s. al fine|dal segno al fine|D.S.alFine|DSalFine",
    Sign.DS_AL_CODA: "D.S. al Coda|dal segno al coda|D.S. al 𝄌|DS al Coda|D.S. al Coda 2",
    Sign.FINE: "Fine|FINE|fine|(fine)|4x Fine|Fine.|Fine 2nd time|Fine (on D.C.)|last time fine",
    Sign.TO_CODA: (
        "To Coda|TO Coda|to coda|To ⊕|To Coda 𝄌|(To Coda)|al Coda|3x to Coda|To Coda on D.S.|"
        "On D.S. go to Coda"
    ),
    Sign.CODA: "Coda|coda|CODA|(Coda)|The Coda|Coda 1|𝄌|𝄌 Coda|Coda:",
    Sign.SEGNO: "Segno|segno|𝄋",
}
NOT_SIGNS = [
    "d. c. al capo", "Feelin' fine today", "Refined", "D C G", "words", "Hands",
    "codas of the year",
    "the end", "", "Allegro", "D", "dc3", "andante", "I Feel Fine",
]  # fmt: skip


@pytest.mark.parametrize(
    ("text", "sign"), [(text, sign) for sign, texts in SIGNS.items() for text in texts.split("|")]
)
def test_road_signs(text: str, sign: Sign) -> None:
    assert road_sign(text) is sign


@pytest.mark.parametrize("text", NOT_SIGNS)
def test_words_that_are_no_signs(text: str) -> None:
    assert road_sign(text) is None


@pytest.mark.parametrize("text", ["N.C.", "NC", "NO CHORD", "n.c.", "(N.C.)", "N. C.", "No chords"])
def test_no_chord(text: str) -> None:
    assert no_chord(text)
    assert not road_sign(text)


@pytest.mark.parametrize("text", ["Nocturne", "N", "NCO", "no", ""])
def test_no_chord_is_something_else(text: str) -> None:
    assert not no_chord(text)


@pytest.mark.parametrize(
    ("text", "feel"),
    [("Swing", "swing"), ("Medium swing", "swing"), ("(SWING)", "swing"), ("Swung 8ths", "swing"),
     ("straight", "straight"), ("Straight 8ths", "straight"), ("Swinging", None), ("slow", None)],
)  # fmt: skip
def test_feel(text: str, feel: str | None) -> None:
    assert feel_word(text) == feel


@pytest.mark.parametrize(
    ("text", "times"),
    [("3x", 3), ("Play 4 times", 4), ("(2 X)", 2), ("3", None), ("4x Fine", None)],
)
def test_times(text: str, times: int | None) -> None:
    assert times_word(text) == times


@pytest.mark.parametrize(
    ("text", "name"),
    [("Verse", "Verse"), ("[Chorus]", "Chorus"), ("Verse 2:", "Verse 2"),
     ("Pre-Chorus", "Pre-Chorus"),
     ("bridge", "bridge"), ("Chorus of angels", None), ("A", None)],
)  # fmt: skip
def test_section_words(text: str, name: str | None) -> None:
    assert section_word(text) == name


@pytest.mark.parametrize(
    ("text", "chords"),
    [("Bb-Bdim-Cm7-F7", True), ("G7", True), ("Am D G", True), ("C-7 F7", True), ("C/E, G7", True),
     ("A", False), ("Am", False), ("Go", False), ("Slowly", False), ("D.C.", False), ("", False)],
)  # fmt: skip
def test_chords_as_words(text: str, chords: bool) -> None:
    assert looks_like_chords(text) is chords
