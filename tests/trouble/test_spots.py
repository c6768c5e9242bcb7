"""Marks and passes of the log gathered into trouble spots."""

from fractions import Fraction

import pytest
from tests.trouble.logs import PASS, Log, after, repeated, straight, written

from chartwalk.log.records import Kind
from chartwalk.trouble.formula import Outcome, State

STRAIGHT, REPEATED = straight(), repeated()


def test_marks_close_together_are_one_spot() -> None:
    spots = Log().mark(2).mark(3).mark(3).mark(6).spots(STRAIGHT)
    assert [(spot.bars, len(spot.marks)) for spot in spots] == [((2, 3), 3), ((6,), 1)]
    assert [spot.trouble for spot in spots] == [3, 1]
    assert (spots[0].first, spots[0].last, spots[0].song) == (2, 3, "a")


def test_without_a_mark_there_is_no_spot() -> None:
    assert Log().played(0, 7).spots(STRAIGHT) == ()


def test_a_mark_that_has_no_place_in_the_chart_is_left_out() -> None:
    assert [spot.bars for spot in Log().mark(None).mark(1).spots(STRAIGHT)] == [(1,)]


@pytest.mark.parametrize(
    ("first", "last", "told", "counts"),
    [
        (2, 3, {}, True),
        (0, 7, {}, True),
        (1, 4, {"clean": False}, True),
        (2, 2, {}, False),  # half of it
        (3, 7, {}, False),
        (0, 7, {"steps": 3, "whole": False}, False),  # stopped before
        (0, 7, {"steps": 4, "whole": False}, True),
        (0, 7, {"span": None}, False),
        (0, 7, {"kind": "step"}, False),  # at no tempo
    ],
)
def test_a_pass_counts_if_it_played_all_of_the_spot(
    first: int, last: int, told: dict[str, object], counts: bool
) -> None:
    (spot,) = Log().mark(2).mark(3).played(first, last, 1, **told).spots(STRAIGHT, 1)
    assert len(spot.passes) == counts
    assert len(spot.trials) == 2 + counts


def test_a_spot_over_a_jump_is_played_by_what_takes_the_jump() -> None:
    log = Log().mark(2).mark(0, pass_=2)
    log.played(2, 0, 1, steps=2)  # over the repeat
    log.played(0, 4, 2, steps=7)  # all of it
    log.played(0, 3, 3, steps=3)  # the second time through
    (spot,) = log.spots(REPEATED, 3)
    assert spot.bars == (2, 0)
    assert spot.step == 2
    assert [each.day for each in spot.passes] == [after(1).date(), after(2).date()]


def test_it_begins_on_the_pass_it_was_marked_on() -> None:
    first = Log().mark(0, pass_=1).mark(1, pass_=1).spots(REPEATED)
    second = Log().mark(0, pass_=2).mark(1, pass_=2).mark(1, pass_=1).spots(REPEATED)
    assert [spot.step for spot in (*first, *second)] == [0, 3]


def test_a_bar_that_is_never_played_has_no_step() -> None:
    song = written("road | | 0x | |\nchords | C |: F :| G |")  # played 0 times: left out
    spots = Log().mark(1).mark(2).spots(song)
    assert [(spot.bars, spot.step) for spot in spots] == [((1,), None), ((2,), 1)]


def test_what_stands_beyond_the_end_of_the_chart_is_left_out() -> None:
    (spot,) = Log().mark(1).mark(8).played(8, 9, 1).spots(STRAIGHT, 1)
    assert (spot.bars, spot.passes) == ((1,), ())


def test_the_best_clean_tempo_and_the_goal() -> None:
    log = Log().mark(1, tempo=80)
    assert log.spots(STRAIGHT)[0].best is None
    log.played(1, 1, 1, tempo=72).played(1, 1, 2, tempo=66).played(1, 1, 3, tempo=92, clean=False)
    (spot,) = log.spots(STRAIGHT, 3)
    assert (spot.best, spot.goal) == (Fraction(72), Fraction(96))
    assert [trial.near for trial in spot.trials] == [80 / 96, 72 / 96, 66 / 96, 92 / 96]


def test_tempos_are_told_against_the_goal_of_today() -> None:
    # Clean at what was the goal then; the chart has been made faster since.
    log = Log().mark(1, tempo=84, goal=84).played(1, 1, 1, tempo=84, goal=84)
    faster = log.spots(written("chords | C | F |", tempo="112"), 1)[0]
    assert [trial.near for trial in faster.trials] == [0.75, 0.75]
    assert (faster.best, faster.goal) == (Fraction(84), Fraction(112))


def test_a_pass_from_a_bar_of_another_tempo_is_told_in_that_of_the_spot() -> None:
    song = written("tempo 80\nchords | C |\n\ntempo 120\nchords | F | G |")
    (spot,) = Log().mark(2, tempo=120).played(0, 2, 1, tempo=60, goal=80).spots(song, 1)
    assert (spot.best, spot.goal) == (Fraction(90), Fraction(120))


def test_odd_tempos_come_back_as_they_were() -> None:
    song = written("chords | C |", tempo="101.5")
    (spot,) = Log().mark(0).played(0, 0, 1, tempo=66.7).spots(song, 1)
    assert spot.best == Fraction("66.7")


def test_kinds_and_the_change_marked_most() -> None:
    log = Log().mark(1, chord="D7", came_from="Am7", kind=Kind.CHORD)
    log.mark(1, 0.1, chord="G", came_from="D7", kind=Kind.HANDS)
    log.mark(1, 0.2, chord="D7", came_from="Am7", kind=Kind.CHORD)
    log.mark(1, 0.3)
    (spot,) = log.spots(STRAIGHT)
    assert spot.change == ("Am7", "D7")
    assert spot.kinds == (Kind.CHORD, Kind.HANDS)
    log.mark(1, 0.4, chord="G", came_from="D7")
    assert log.spots(STRAIGHT)[0].change == ("D7", "G")  # of equals the latest
    (plain,) = Log().mark(1).spots(STRAIGHT)
    assert (plain.change, plain.kinds) == (None, ())


def test_clean_on_two_days_heals_and_a_mark_opens_again() -> None:
    log = Log().mark(1).played(0, 7, 1)
    assert log.spots(STRAIGHT, 1)[0].state is State.EASING
    assert log.played(1, 1, 2).spots(STRAIGHT, 2)[0].state is State.HEALED
    assert log.mark(1, 3).spots(STRAIGHT, 3)[0].state is State.OPEN


def test_outcomes_in_the_order_of_time() -> None:
    log = Log().played(1, 1, 2).played(1, 1, 1, clean=False).mark(1)
    (spot,) = log.spots(STRAIGHT, 2)
    assert [trial.outcome for trial in spot.trials] == [
        Outcome.MARK,
        Outcome.SPOILT,
        Outcome.CLEAN,
    ]


def test_a_mark_while_the_next_round_is_counted_in_is_about_the_round_before() -> None:
    """At 40 beats a minute two bars of four last twelve seconds."""
    ten_seconds_late = (PASS.seconds + 10) / 86_400
    for tempo, outcome in ((40.0, Outcome.SPOILT), (96.0, Outcome.CLEAN)):
        log = Log().played(1, 5, 1, clean=False, tempo=tempo).mark(5, 1 + 1 / 86_400)
        spots = log.mark(1, 1 + ten_seconds_late).spots(STRAIGHT, 2)
        (here,) = (spot for spot in spots if spot.bars == (1,))
        assert [trial.outcome for trial in here.trials] == [outcome, Outcome.MARK]
