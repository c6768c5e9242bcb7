"""The order in which the bars are played, against published cases.

References
----------
music21 10.5.1, ``test_repeat`` and the docs of ``repeat``: the cases R1 to R24. IMT: lesson L29,
repeats. LMT: *High-Yield Music Theory*, vol. 1, section 1.8. GEH: Gehrkens, *Music Notation and
Terminology*, sections 36 to 39 and the glossary; Grove, *Dictionary of Music*, first edition,
"Double Bar". ABC 2.1, sections 4.8 to 4.10. Schmidt-Jones, *Understanding Basic Music Theory*,
repeats. Wikipedia, captions of "Dal segno" and "Da capo". MusicXML 4.0, ``repeat``.
"""

from collections.abc import Callable

import pytest

from chartwalk.chart import Chart
from chartwalk.roadmap import Step, unroll

Road = Callable[[str], Chart]

# Case, source, layout, order heard (bars from 1; 1-4 is 1 2 3 4).
CASES = """
R1 repeat docs         | . / |:, :| 3x / .                           | 1 2 2 2 3
R2 measureMap doc      | . / |:, :| 3x / . / |:, :| / .              | 1 2 2 2 3 4 4 5
R3 ExpandRepeat        | |:, :| / |:, :|                             | 1 1 2 2
R4 ExpandRepeat        | |:, :| / . / |:, :|                         | 1 1 2 3 3
R5 ExpandRepeat        | . / :| / . / .                              | 1 2 1 2 3 4
R6a ExpandRepeatE      | . / |:, :| 1x / .                           | 1 2 3
R6b ExpandRepeatE      | . / |:, :| / .                              | 1 2 2 3
R6c ExpandRepeatE      | . / |:, :| 4x / .                           | 1 2 2 2 2 3
R6d ExpandRepeatE      | . / |:, :| 0x / .                           | 1 3
R7 CoherenceB2         | |: / |: / :| / :|                           | 1 2 3 2 3 4 1 2 3 2 3 4
R8 ExpressionsB        | . / . / dc / .                              | 1 2 3 1 2 3 4
R9 ExpressionsC        | . / fine / dc al fine / .                   | 1 2 3 1 2
R10 ExpressionsD       | . / to coda / dc al coda / coda / .         | 1 2 3 1 2 4 5
R11 ExpressionsE       | . / segno / ds / .                          | 1 2 3 2 3 4
R12 ExpressionsF       | . / segno / fine / ds al fine / .           | 1 2 3 4 2 3
R13 ExpressionsG       | . / segno, to coda / . / ds al coda / . / coda / . | 1 2 3 4 2 6 7
R14 ExpressionsH       | . / . / |:, :| / dc / .                     | 1 2 3 3 4 1 2 3 4 5
R15 repeatAfterJump    | . / . / |:, :| again / dc / .               | 1 2 3 3 4 1 2 3 3 4 5
R16 ExpressionsI       | . / to coda / |:, :|, dc al coda / . / coda | 1 2 3 3 1 2 5
R17 EndingsG           | . / 1. 2. / :| / 3. / .                     | 1 2 3 1 2 3 1 4 5
R18 EndingsH           | . / 1. 2. / :| / 3., :| / 4. / . / . / .    | 1 2 3 1 2 3 1 4 1 5-8
R20 repeatExpressionsA | |:, :| / segno / fine / ds al fine          | 1 1 2 3 4 2 3
R21 repeatExpressionsB | |:, :| / . / to coda / dc al coda / coda / . | 1 1 2 3 4 1 2 3 5 6
R21b repeatBracketsA   | . / :| / |: / 1. / :| / 2.                  | 1 2 1 2 3 4 5 3 6
IMT two repeats        | |: / . / . / :| / |: / :| / . / . / . / .   | 1-4 1-4 5 6 5 6 7-10
IMT D.C. al Fine       | . / . / . / fine / . / . / . / dc al fine   | 1-8 1-4
IMT D.S. al Fine       | . / segno / . / fine / . / . / . / ds al fine | 1-8 2-4
LMT D.C. al Fine       | . / . / 1., :| / 2., fine / . / dc al fine  | 1 2 3 1 2 4 5 6 1 2 4
LMT Fine after endings | . / . / 1., :| / 2. / fine / dc al fine     | 1 2 3 1 2 4 5 6 1 2 4 5
LMT D.S. al Coda       | . / segno / to coda / . / ds al coda / coda / . | 1-5 2 3 6 7
GEH minuet and trio    | |: / :| / |: / :|, fine / |: / :|, dc al fine | 1 2 1 2 3 4 3 4 5 6 5 6 1-4
GEH senza repetizione  | |: / :| / |: / :| / dc                      | 1 2 1 2 3 4 3 4 5 1-5
GEH D.C. e poi la coda | . / to coda / . / dc al coda / coda         | 1-4 1 2 5
GEH right-hand repeat  | . / . / . / :| / .                          | 1-4 1-4 5
ABC 4.8 lone repeat    | . / :| / . / :| / .                         | 1 2 1 2 3 4 3 4 5
ABC 4.8 three times    | . / |: / :| 3x / .                          | 1 2 3 2 3 2 3 4
ABC 4.8 ::             | |: / :| / |: / :|                           | 1 2 1 2 3 4 3 4
ABC 4.10 [1,3,5-7 | |: / 1. 3. 5. 6. 7., :| / 2. 4. 8., :| / . | 1 2 1 3 1 2 1 3 1 2 1 2 1 2 1 3 4
ABC 4.10 [1-3          | |: / 1. 2. 3., :| / 4.                      | 1 2 1 2 1 2 1 3
SJ an ending a pass    | |: / . / 1., :| / 2., :| / 3. / .           | 1 2 3 1 2 4 1 2 5 6
WP D.S. al Coda        | . / segno / |:, :|, to coda / ds al coda / coda | 1 2 3 3 4 2 3 5
WP D.S. al Fine        | . / segno / |:, :| again / ds al fine / fine | 1 2 3 3 4 2 3 3 4 5
WP D.S. al Fine audio  | . / segno / |:, :| / ds al fine / fine      | 1 2 3 3 4 2 3 4 5
WP D.C. al Fine        | . / . / |:, :| again / dc al fine / fine    | 1 2 3 3 4 1 2 3 3 4 5
WP D.C. al Coda        | . / to coda / |:, :| / dc al coda / coda    | 1 2 3 3 4 1 2 5
"""
# Tunes from the corpus of music21 10.5.1, ryansMammoth; its repeat signs and brackets as marks, its
# bar numbers (pickup 0). Order: R22 counts only (36 bars heard), R23 and R24 bar lists (printed
# values).
TUNES = [
    (
        "R22 GlobeHornpipe",
        "0 . / . / . / . / . / . / . / . / :| / |: / . / . / . / . / . / . / . / :|",
        "0-8 0-8 9-17 9-17",
    ),
    (
        "R23 SmugglersReel",
        "0 . / . / . / . / . / . / . / . / :| / |: / . / . / . / . / . / . / 1., :| / 2.",
        "0-8 0-8 9-16 9-15 17",
    ),
    ("R24 BanjoReel", "0 . / . / . / . / 1., :| / 2. / |: / . / . / . / :|", "0-4 0-3 5-10 6-10"),
]
LONG_CASE = [
    "R19 EndingsI",
    ". / 1. 2. / :| / 3., :| / |: / 1. 2. 3., :| / 4., :| / 5.",
    "1 2 3 1 2 3 1 4 5 6 5 6 5 6 5 7 5 8",
]
ROWS = [[cell.strip() for cell in line.split(" | ")] for line in CASES.strip().split("\n")]
ROWS.append(LONG_CASE)


def numbers(text: str) -> list[int]:
    """Read ``1-4 6`` as 1 2 3 4 6."""
    found: list[int] = []
    for word in text.split():
        first, _, last = word.partition("-")
        found += range(int(first), int(last or first) + 1)
    return found


def heard(steps: tuple[Step, ...], first: int = 1) -> list[int]:
    return [step.bar + first for step in steps]


@pytest.mark.parametrize(("case", "layout", "order"), ROWS)
def test_order(road: Road, case: str, layout: str, order: str) -> None:
    assert heard(unroll(road(layout))) == numbers(order)


@pytest.mark.parametrize(("case", "layout", "order"), TUNES)
def test_corpus_tune(road: Road, case: str, layout: str, order: str) -> None:
    assert heard(unroll(road(layout)), first=0) == numbers(order)


def test_globe_hornpipe_has_18_bars_written_and_36_heard(road: Road) -> None:
    # music21 10.5.1 test_repeat ImportedB.
    chart = road(TUNES[0][1])
    assert (len(chart.bars), len(unroll(chart))) == (18, 36)


def test_banjo_reel_has_11_bars_written_and_20_heard(road: Road) -> None:
    # music21 10.5.1 test_repeat ImportedA.
    chart = road(TUNES[2][1])
    assert (len(chart.bars), len(unroll(chart))) == (11, 20)


def test_endings_and_a_jump_together(road: Road) -> None:
    # music21 10.5.1 drops the endings here (1 2 3 1 2 3 4 5 6 1 2 3 4, printed values); by LMT the
    # second ending is played the second time and the last ending after the jump.
    steps = unroll(road(". / . / 1., :| / 2., fine / . / dc al fine"))
    assert heard(steps) == [1, 2, 3, 1, 2, 4, 5, 6, 1, 2, 4]


def test_opening_sign_at_the_start_may_be_left_out(road: Road) -> None:
    # GEH 36.
    assert unroll(road("|: / . / :| / .")) == unroll(road(". / . / :| / ."))


def test_pickup_stays_out_where_the_repeat_is_opened_after_it(road: Road) -> None:
    # A-R Editions, house note: the pickup belongs to the beginning unless a left-hand repeat
    # follows it.
    assert heard(unroll(road("0 . / |: / . / :| / .")), first=0) == [0, 1, 2, 3, 1, 2, 3, 4]
    assert heard(unroll(road("0 . / . / . / :| / .")), first=0) == [0, 1, 2, 3, 0, 1, 2, 3, 4]


@pytest.mark.parametrize(
    ("layout", "passes"),
    [
        # Which time through, counted by hand.
        (". / . / .", "1 1 1"),
        (". / :| / .", "1 1 2 2 1"),
        (". / |:, :| 3x / .", "1 1 2 3 1"),
        (". / . / dc / .", "1 1 1 2 2 2 1"),
        (". / segno / ds / .", "1 1 1 2 2 1"),
        # In an ending, the pass of its repeat.
        (". / 1., :| / 2.", "1 1 2 2"),
        (". / 1. 2., :| / 3. / .", "1 1 2 2 3 3 1"),
        (". / :| / |: / 1. / :| / 2.", "1 1 2 2 1 1 1 2 2"),
        # The first bar of the repeat is its ending.
        ("1., :| / 2. / .", "1 2 1"),
    ],
)
def test_passes(road: Road, layout: str, passes: str) -> None:
    assert [step.pass_ for step in unroll(road(layout))] == numbers(passes)


@pytest.mark.parametrize(
    ("layout", "jumps"),
    [
        # Which step (from 1) has a reason, and a word of it.
        (". / segno / ds / .", {4: "segno"}),
        (". / . / dc / .", {4: "beginning"}),
        (". / 1., :| / 2. / .", {3: "repeat", 4: "2nd ending"}),
        (". / 1. 2., :| / 3. / .", {3: "repeat", 5: "repeat", 6: "3rd ending"}),
        (". / to coda / . / dc al coda / coda", {5: "beginning", 7: "coda"}),
        (". / segno / to coda / . / ds al coda / coda / .", {6: "segno", 8: "coda"}),
        (". / . / .", {}),
    ],
)
def test_jumps_are_told(road: Road, layout: str, jumps: dict[int, str]) -> None:
    steps = unroll(road(layout))
    assert [step.index + 1 for step in steps if step.why] == list(jumps)
    for place, word in jumps.items():
        assert word in str(steps[place - 1].why)


def test_ten_thousand_bars(road: Road) -> None:
    # 2,500 repeats of four bars, one ending each way: 4 bars written, 1 2 3 1 2 4 heard.
    chart = road(" / ".join(["|: / . / 1., :| / 2."] * 2500))
    steps = unroll(chart)
    assert len(chart.bars) == 10_000
    assert len(steps) == 2500 * 6
    assert [step.bar for step in steps[-6:]] == [9996, 9997, 9998, 9996, 9997, 9999]


def test_the_last_pass_may_take_the_first_ending(road: Road) -> None:
    # An ending may serve any passes (ABC 2.1 section 4.10: "[1,3"); what follows is the music
    # after all endings.
    steps = unroll(road(". / 1. 3., :| / 2., :| / ."))
    assert [step.bar for step in steps] == [0, 1, 0, 2, 0, 1, 3]
    assert steps[-1].why == "past the other endings"


def test_a_jump_at_the_last_pass_of_an_early_ending(road: Road) -> None:
    steps = unroll(road(". / 1. 3., :|, dc / 2., :| / ."))
    assert [step.bar for step in steps] == [0, 1, 0, 2, 0, 1, 0, 1, 3]


def test_after_al_coda_fine_counts_in_the_coda_alone(road: Road) -> None:
    # Common practice, no source: the player asked for the coda, a Fine before it is another road's.
    steps = unroll(road(". / fine / to coda / dc al coda / coda / fine / ."))
    assert [step.bar for step in steps] == [0, 1, 2, 3, 0, 1, 2, 4, 5]


def test_an_ending_counts_the_bars_before_it_also_when_a_jump_lands_among_them(road: Road) -> None:
    steps = unroll(road("|: / segno / 1., :| / 2. / ds / ."))
    assert [(step.bar, step.pass_) for step in steps[-4:]] == [(1, 3), (3, 3), (4, 2), (5, 1)]


def test_a_chart_without_bars_has_no_steps() -> None:
    assert unroll(Chart("Nothing", ())) == ()
