"""What real files get wrong on the road, how it is mended, and the order that comes of it.

Every case stands for an irregularity found in public-domain lead sheets. The orders were written
down by hand; each mend is told in a warning that names its bar.
"""

from collections.abc import Callable

import pytest

from chartwalk.chart import Chart
from chartwalk.reading import Reading
from chartwalk.roadmap import unroll

Read = Callable[..., Reading]
Order = Callable[[Chart], str]

# What is wrong, the sheet, the order of play, then a word of each warning with its bar.
MENDS = [
    ("endings 1 and 3: the first is taken twice",
     "|: C5:4 / [1 C5:4 :| / [3 C5:4", "1 2 1 2 1 3", "2: 1. 2. | 3."),
    ("endings numbered 1 and 1",
     "|: C5:4 / [1 C5:4 :| / [1 C5:4", "1 2 1 3", "2: 1. | 2."),
    ("endings numbered 2 and 2",
     "|: C5:4 / [2 C5:4 :| / [2 C5:4", "1 2 1 3", "2: 1. | 2."),
    ("endings without numbers",
     "|: C5:4 / [ C5:4 :| / [ C5:4", "1 2 1 3", "2: 1. | 2."),
    ("endings without a closing sign",
     "C5:4 / [1 C5:4 ] / [2 C5:4 ] / C5:4", "1 2 1 3 4", "2: :| is assumed"),
    ("a first ending without a second",
     "|: C5:4 / [1 C5:4 ] :| / C5:4", "1 2 1 3", "3: ending 2"),
    ("a second ending without a first",
     "|: C5:4 :| / [2 C5:4 ] / C5:4", "1 1 2 3", "2: left out"),
    ("an ending outside a repeat", "C5:4 / [1 C5:4 ] / C5:4", "1 2 3", "2: left out"),
    ("a second ending that starts late",
     "|: C5:4 / [1 C5:4 :| / C5:4 / [2 C5:4", "1 2 1 3 4", "3: to start here"),
    ("a repeat after a finished group of endings without a sign of its own",
     "|: C5:4 / [1 C5:4 ] :| / [2 C5:4 ] / C5:4 / C5:4 :| / C5:4",
     "1 2 1 3 4 5 4 5 6", "4: without |:"),
    ("the same, and the last ending shows no stop",
     "|: C5:4 / [1 C5:4 ] :| / [2 C5:4 / C5:4 / C5:4 :| / C5:4",
     "1 2 1 3 4 5 4 5 6", "4: without |:"),
    ("a repeat never closed", "C5:4 / |: C5:4 / C5:4", "1 2 3", "2: never closed"),
    ("the first of two opening signs never closed",
     "|: C5:4 / |: C5:4 :| / C5:4", "1 2 2 3", "1: never closed"),
    ("a coda sign without a jump", "C5:4 / coda C5:4", "1 2", "2: without D.C. or D.S."),
    ("Coda in words without a jump", "C5:4 / w:Coda C5:4", "1 2", "2: without a jump"),
    ("a D.S. without a segno", "C5:4 w:Fine / C5:4 w:D.S._al_Fine", "1 2 1", "2: D.C. al Fine"),
    ("a D.S. before its segno", "C5:4 w:D.S. / segno C5:4", "1 1 2", "1: D.C. is assumed"),
    ("al Fine without a Fine", "C5:4 / C5:4 w:D.C._al_Fine", "1 2 1 2", "2: D.C. is assumed"),
    ("a Fine before the segno",
     "C5:4 w:Fine / segno C5:4 / C5:4 w:D.S._al_Fine", "1 2 3 2 3", "3: D.S. is assumed"),
    ("a plain D.C. with a Fine", "C5:4 w:Fine / C5:4 w:D.C.", "1 2 1", "2: D.C. al Fine"),
    ("a plain D.C. with To Coda and Coda",
     "C5:4 w:To_Coda / C5:4 w:D.C. / w:Coda C5:4", "1 2 1 3", "2: D.C. al Coda"),
    ("al Coda with the word Coda where to leave",
     "C5:4 w:Coda / C5:4 w:D.C._al_Coda / w:Coda C5:4", "1 2 1 3", "1: read as To Coda"),
    ("the same with signs in a text, and a plain D.C.",
     "C5:4 / C5:2 w:⊕ C5:2 / C5:4 w:D.C. / w:⊕ C5:4", "1 2 3 1 2 4",
     "2: read as To Coda; 3: D.C. al Coda"),
    ("the same at the start of a bar",
     "C5:4 / w:𝄌 C5:4 / C5:4 w:D.C._al_Coda / w:Coda C5:4", "1 2 3 1 4", "1: read as To Coda"),
    ("al Coda without either", "C5:4 / C5:4 w:D.C._al_Coda", "1 2 1 2", "2: D.C. is assumed"),
    ("al Coda with a Coda and nowhere to leave",
     "C5:4 / C5:4 w:D.C._al_Coda / w:Coda C5:4", "1 2 1 2 3",
     "2: D.C. is assumed; 3: left out"),
    ("al Coda with one coda sign, before the jump",
     "C5:4 coda / C5:4 w:D.C._al_Coda / C5:4", "1 2 1 3", "3: to start here"),
    ("al Coda with one coda sign, after the jump",
     "C5:4 / C5:4 w:D.C._al_Coda / coda C5:4", "1 2 1 2 3",
     "2: D.C. is assumed; 3: left out"),
    ("a Coda before its To Coda",
     "w:Coda C5:4 / C5:4 w:To_Coda / C5:4 w:D.C._al_Coda / C5:4", "1 2 3 1 2 4",
     "1: before its To Coda; 4: to start here"),
    ("a bare coda sign at the very start of a bar: leave before it",
     "C5:4 / coda C5:4 / C5:4 w:D.C._al_Coda / coda C5:4", "1 2 3 1 4", "1: To Coda"),
    ("a third coda sign",
     "C5:4 coda / C5:4 w:D.C._al_Coda / coda C5:4 / coda C5:4", "1 2 1 3 4", "3: one coda sign"),
    ("one coda sign written twice, on the bar line and beside it",
     "C5:4 coda / {left} C5:4 w:D.C._al_Coda / coda C5:4", "1 2 1 3", ""),
    ("two segnos", "segno C5:4 / segno C5:4 / C5:4 w:D.S.", "1 2 3 1 2 3", "2: second Segno"),
    ("two jumps", "C5:4 / C5:4 w:D.C. / C5:4 w:D.C.", "1 2 1 2 3", "3: second jump"),
    ("a closing sign and D.S. on one bar line, back to the same bar",
     "C5:4 / segno |: C5:4 coda / C5:4 w:D.S._al_Coda :| / coda C5:4", "1 2 3 2 4", "3: one jump"),
    ("a closing sign and D.C. on one bar line, back to the beginning",
     "C5:4 w:Fine / C5:4 w:D.C._al_Fine :|", "1 2 1", "2: one jump"),
    ("Fine in the first ending, which ends the song",
     "|: C5:4 / [1 C5:4 w:Fine :| / [2 C5:4 / C5:4 w:D.C._al_Fine", "1 2 1 3 4 1 2",
     "2: in an early ending"),
    ("the same with D.C. in the last ending",
     "|: C5:4 / [1 C5:4 w:Fine :| / [2 C5:4 w:D.C._al_Fine", "1 2 1 3 1 2", "2: early ending"),
    ("the same after an introduction, back to the segno",
     "C5:4 / segno |: C5:4 / [1 C5:4 w:Fine :| / [2 C5:4 w:D.S.", "1 2 3 2 4 2 3",
     "3: early ending; 4: D.S. al Fine is assumed"),
    ("the same without a jump: the last repeat sign leads back",
     "|: C5:4 / [1 C5:4 w:Fine :| / [2 C5:4 :|", "1 2 1 3 1 2",
     "2: early ending; 3: the last repeat sign leads back"),
    ("the same after an introduction",
     "C5:4 / |: C5:4 / [1 C5:4 w:Fine :| / [2 C5:4 :|", "1 2 3 2 4 2 3",
     "3: early ending; 4: the last repeat sign leads back"),
    ("Fine in the second of three endings",
     "|: C5:4 / [1 C5:4 :| / [2 C5:4 w:Fine :| / [3 C5:4 w:D.C._al_Fine",
     "1 2 1 3 1 4 1 2 1 3", "2: early ending"),
    ("Fine in a first ending that the way after the jump does not pass",
     "|: C5:4 / segno C5:4 / [1 C5:4 w:Fine :| / [2 C5:4 w:D.S._al_Fine",
     "1 2 3 1 2 4 2 4", "4: D.S. is assumed"),
    ("endings that stand in words alone",
     "|: C5:4 / w:1. C5:4 :| / w:2. C5:4", "1 2 1 3", "2: in words alone"),
    ("endings in other words",
     "|: C5:4 / w:1st_ending C5:4 :| / w:2nd_ending C5:4", "1 2 1 3", "2: in words alone"),
    ("a D.C. beside the closing sign of a first ending",
     "|: C5:4 / [1 C5:4 w:D.C. :| / [2 C5:4", "1 2 1 3", "2: never reached"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("text", "played", "told"), [case[1:] for case in MENDS], ids=[case[0] for case in MENDS]
)
def test_mends(read_sheet: Read, order: Order, text: str, played: str, told: str) -> None:
    reading = read_sheet(text, left='<barline location="left"><coda/></barline>')
    assert order(reading.chart) == played
    expected = [part.split(": ", 1) for part in told.split("; ") if part]
    assert len(reading.warnings) == len(expected), reading.warnings
    for warning, (bar, words) in zip(reading.warnings, expected, strict=True):
        assert warning.bar == bar
        assert words in warning.message


# Odd, but sound: nothing is mended and nothing is told.
SOUND = [
    ("an ending that stops before its closing sign",
     "|: C5:4 / [1 C5:4 ] / C5:4 :| / [2 C5:4", "1 2 3 1 4"),
    ("a bridge between the second ending and its closing sign, then a third ending",
     "|: C5:4 / [1 C5:4 ] :| / [2 C5:4 ] / C5:4 :| / [3 C5:4", "1 2 1 3 4 1 5"),
    ("a second backward repeat with no forward one",
     "C5:4 / C5:4 :| / C5:4 :| / C5:4", "1 2 1 2 3 3 4"),
    ("a D.C. after a repeat of its last bars",
     "C5:4 w:To_Coda / |: C5:4 w:D.C._al_Coda :| / w:Coda C5:4", "1 2 2 1 3"),
    ("a closing sign in the last ending too",
     "|: C5:4 / [1 C5:4 ] :| / [2 C5:4 ] :| / C5:4", "1 2 1 3 4"),
    ("two groups of endings with a sign each",
     "|: C5:4 / [1 C5:4 :| / [2 C5:4 / |: C5:4 / [1 C5:4 :| / [2 C5:4", "1 2 1 3 4 5 4 6"),
    ("two groups of endings, the second without a sign of its own",
     "|: C5:4 / [1 C5:4 :| / [2 C5:4 / C5:4 / [1 C5:4 :| / [2 C5:4", "1 2 1 3 4 5 4 6"),
    ("a Fine without a jump", "C5:4 w:Fine / C5:4", "1 2"),
    ("a segno without a jump", "segno C5:4 / C5:4", "1 2"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("text", "played"), [case[1:] for case in SOUND], ids=[case[0] for case in SOUND]
)
def test_what_needs_no_mend(read_sheet: Read, order: Order, text: str, played: str) -> None:
    reading = read_sheet(text)
    assert order(reading.chart) == played
    assert not reading.warnings


def test_endings_without_numbers_are_no_more_than_a_repeat_has_passes(read_sheet: Read) -> None:
    reading = read_sheet(" / ".join(["[ C5:4"] * 120))
    passes = [mark.passes for bar in reading.chart.bars for mark in bar.marks if mark.passes]
    assert passes == [(number,) for number in (*range(1, 100), *range(1, 22))]
    assert len(unroll(reading.chart)) == 120
