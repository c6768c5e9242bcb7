"""A drill from its beginning to its end: how it climbs, steps back, explains itself and stops."""

from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.trouble.logs import Log, repeated, straight, written

from chartwalk.trouble.beginning import begin, beginning_tempo, passage
from chartwalk.trouble.drill import (
    Drill,
    Elapsed,
    Event,
    Marked,
    Passed,
    Reason,
    Terms,
    follow,
)
from chartwalk.trouble.fullness import Fullness, fullnesses

STRAIGHT, REPEATED = straight(), repeated()
CLEAN, SPOILT, MARK = Passed(True), Passed(False), Marked()
ALL = tuple(Fullness)


def drill(start: int, goal: int = 96, **told: object) -> Drill:
    """A drill of bar 4 that begins at a tempo."""
    log = Log().mark(3).played(3, 3, 1, tempo=float(start))
    song = written("chords | C | F | G | Am | Dm |", tempo=str(goal))
    (spot,) = log.spots(song, 1)
    began = begin(song, spot, **told)  # type: ignore[arg-type]
    assert began is not None
    return began


def after_all(drill: Drill, *events: Event) -> list[Drill]:
    found = [drill]
    for event in events:
        found.append(follow(found[-1], event))
    return found


def tempos(drills: list[Drill]) -> list[int]:
    return [int(each.tempo) for each in drills]


# --- its beginning ---


def test_a_bar_before_and_a_bar_after() -> None:
    (spot,) = Log().mark(3).mark(4).spots(STRAIGHT)
    assert passage(STRAIGHT, spot) == (2, 5)


def test_at_the_ends_of_the_song_there_is_no_other_bar() -> None:
    first, last = Log().mark(0).mark(7).mark(7).spots(STRAIGHT)[::-1]
    assert passage(STRAIGHT, first) == (0, 1)
    assert passage(STRAIGHT, last) == (6, 7)


def test_through_a_jump_it_plays_the_jump() -> None:
    (spot,) = Log().mark(2).mark(0, pass_=2).spots(REPEATED)
    first, last = passage(REPEATED, spot) or (0, 0)
    assert [step.bar for step in REPEATED.steps[first : last + 1]] == [1, 2, 0, 1]


def test_the_bars_around_are_those_of_the_pass_that_was_marked() -> None:
    (spot,) = Log().mark(1, pass_=2).spots(REPEATED)
    first, last = passage(REPEATED, spot) or (0, 0)
    assert [step.bar for step in REPEATED.steps[first : last + 1]] == [0, 1, 3]


def test_what_is_never_played_can_not_be_drilled() -> None:
    song = written("road | | 0x | |\nchords | C |: F :| G |")
    (spot,) = Log().mark(1).spots(song)
    assert passage(song, spot) is None
    assert begin(song, spot) is None


@pytest.mark.parametrize(
    ("log", "tempo", "reason"),
    [
        (Log().mark(1, tempo=90).played(1, 1, 1, tempo=72), 69, Reason.BELOW_CLEAN),
        (Log().mark(1, tempo=90).played(1, 1, 1, tempo=96), 92, Reason.BELOW_CLEAN),
        (Log().mark(1, tempo=90).played(1, 1, 1, tempo=120), 92, Reason.BELOW_CLEAN),
        (Log().mark(1, tempo=96), 63, Reason.NEVER_CLEAN),  # two thirds of 96 are 64
        (Log().mark(1, tempo=60), 56, Reason.BELOW_MARK),
        (Log().played(1, 1, tempo=92).mark(1, 1, tempo=80), 72, Reason.BELOW_MARK),
        (Log().played(1, 1, tempo=60).mark(1, 1, tempo=80), 58, Reason.BELOW_CLEAN),
        (Log().mark(1, tempo=60).played(1, 1, 1, tempo=92), 88, Reason.BELOW_CLEAN),
        (Log().mark(1, tempo=60).played(1, 1, 1, clean=False), 56, Reason.BELOW_MARK),
        (Log().mark(1, tempo=90).played(1, 1, 1, tempo=30), 32, Reason.AT_LOWEST),
    ],
)
def test_where_it_begins(log: Log, tempo: int, reason: Reason) -> None:
    (spot,) = log.spots(STRAIGHT, 2)
    found, because = beginning_tempo(spot)
    assert (int(found), because.reason) == (tempo, reason)
    assert str(tempo) in because.words


# --- its rules ---


def test_it_climbs_after_three_clean_in_a_row() -> None:
    drills = after_all(drill(72), *[CLEAN] * 7)
    assert tempos(drills) == [69, 69, 69, 72, 72, 72, 76, 76]
    assert [each.because.words for each in drills] == [
        "Clean at 72 before: begin one mark below, at 69.",
        "Clean at 69: 2 more.",
        "Clean at 69: 1 more.",
        "Clean three times at 69: up to 72.",
        "Clean at 72: 2 more.",
        "Clean at 72: 1 more.",
        "Clean three times at 72: up to 76.",
        "Clean at 76: 2 more.",
    ]


def test_a_mark_steps_back_at_once_and_the_row_begins_anew() -> None:
    drills = after_all(drill(80), CLEAN, CLEAN, CLEAN, CLEAN, MARK, SPOILT, CLEAN, CLEAN, CLEAN)
    assert tempos(drills) == [76, 76, 76, 80, 80, 76, 76, 76, 76, 80]
    assert [each.because.reason for each in drills[5:8]] == [
        Reason.SLOWER,
        Reason.COUNTED,
        Reason.MORE,
    ]
    assert drills[5].because.words == "That gave trouble at 80: back to 76."


def test_one_pass_steps_back_once() -> None:
    drills = after_all(drill(80), MARK, MARK, MARK, SPOILT, MARK)
    assert tempos(drills) == [76, 72, 72, 72, 72, 69]


def test_a_pass_with_a_mark_is_not_clean_whatever_is_said_of_it() -> None:
    drills = after_all(drill(80, in_a_row=1), MARK, CLEAN, CLEAN)
    assert tempos(drills) == [76, 72, 72, 76]


def test_a_pass_that_was_not_clean_steps_back_without_a_mark() -> None:
    assert tempos(after_all(drill(80), CLEAN, SPOILT, SPOILT)) == [76, 76, 72, 69]


def test_at_the_slowest_it_stays_and_says_what_helps() -> None:
    drills = after_all(drill(36), *[SPOILT] * 4)
    assert tempos(drills) == [34, 32, 32, 32, 32]
    assert "each hand alone" in drills[-1].because.words


def test_it_ends_when_clean_at_the_goal() -> None:
    drills = after_all(drill(96), *[CLEAN] * 6)
    assert tempos(drills) == [92, 92, 92, 96, 96, 96, 96]
    assert [each.ended for each in drills[-2:]] == [False, True]
    assert drills[-1].because.words == "Clean three times at the goal, 96: done."
    assert follow(drills[-1], MARK) == drills[-1]


def test_it_ends_when_the_time_is_over() -> None:
    drills = after_all(drill(72), Elapsed(Fraction(19, 2)), CLEAN, Elapsed(Fraction(10)), CLEAN)
    assert [each.ended for each in drills] == [False, False, False, True, True]
    assert drills[-1].because.words == "The time is over, at 69: leave it for another day."


def test_it_may_have_no_end_in_time() -> None:
    endless = drill(72, minutes=None)
    assert follow(endless, Elapsed(Fraction(1000))) == endless


def test_the_goal_is_a_rung_though_no_metronome_has_it() -> None:
    drills = after_all(drill(95, goal=97, in_a_row=1), *[CLEAN] * 4)
    assert tempos(drills) == [92, 96, 97, 97, 97]


def test_the_beginning_and_the_slowest_are_rungs_too() -> None:
    terms = Terms(Fraction(100), Fraction(35), in_a_row=1)  # no metronome has 35 nor 33.3
    begun = Drill(0, 1, terms, terms.start, beginning_tempo(Log().mark(1).spots(STRAIGHT)[0])[1])
    drills = after_all(begun, CLEAN, SPOILT, SPOILT, SPOILT, CLEAN, CLEAN)
    third = Fraction(100, 3)
    assert [each.tempo for each in drills] == [35, 36, 35, 34, third, 34, 35]


def test_it_grows_fuller_before_it_grows_faster() -> None:
    drills = after_all(drill(92, ladder=ALL, in_a_row=1), *[CLEAN] * 6)
    assert [(int(each.tempo), each.fullness.name) for each in drills] == [
        (88, "PLAIN"),
        (88, "LEAN"),
        (88, "WRITTEN"),
        (88, "SUNG"),
        (92, "SUNG"),
        (96, "SUNG"),
        (96, "SUNG"),
    ]
    assert drills[3].because.words == "Clean once at 88: now as written, with the words sung."
    assert drills[-1].ended


def test_back_is_the_way_it_came() -> None:
    up = after_all(drill(92, ladder=ALL, in_a_row=1), *[CLEAN] * 4)
    down = after_all(up[-1], *[SPOILT] * 5)
    assert [(int(each.tempo), each.fullness.name) for each in down] == [
        (92, "SUNG"),
        (88, "SUNG"),
        (88, "WRITTEN"),
        (88, "LEAN"),
        (88, "PLAIN"),
        (84, "PLAIN"),
    ]
    assert down[2].because.words == "That gave trouble at 88: back to as written."
    again = follow(down[-1], CLEAN)
    assert (int(again.tempo), again.fullness.name) == (88, "PLAIN")


@pytest.mark.parametrize(
    ("goal", "start", "ladder", "in_a_row"),
    [(96, 97, ALL, 3), (96, 31, ALL, 3), (96, 80, (), 3), (96, 80, ALL, 0), (0, 0, ALL, 3)],
)
def test_terms_no_drill_can_hold_to(
    goal: int, start: int, ladder: tuple[Fullness, ...], in_a_row: int
) -> None:
    with pytest.raises(ValueError, match="drill"):
        Terms(Fraction(goal), Fraction(start), ladder, in_a_row)


# --- whatever happens ---

events = st.sampled_from([CLEAN, CLEAN, CLEAN, SPOILT, MARK]) | st.builds(
    Elapsed, st.fractions(0, 12, max_denominator=4)
)
drills = st.builds(
    drill,
    st.integers(10, 300),
    goal=st.integers(20, 250),
    ladder=st.sampled_from([ALL, ALL[:2], ALL[2:3], ALL[2:]]),
    in_a_row=st.integers(1, 4),
)


@given(drills, st.lists(events, max_size=60))
def test_the_tempo_stays_within_bounds_and_every_step_is_explained(
    drill: Drill, happened: list[Event]
) -> None:
    found = after_all(drill, *happened)
    for each in found:
        assert drill.terms.goal / 3 <= each.tempo <= drill.terms.goal
        assert 0 < each.scale <= 1
        assert each.tempo == drill.terms.start or each.rung in (0, len(drill.terms.ladder) - 1)
    for before, following in pairwise(found):
        if (before.tempo, before.rung, before.ended) != (
            following.tempo,
            following.rung,
            following.ended,
        ):
            assert following.because != before.because
            assert "{" not in following.because.words
            assert following.row == 0 or following.ended


@given(drills, st.lists(events, max_size=60))
def test_it_moves_one_rung_at_a_time(drill: Drill, happened: list[Event]) -> None:
    for before, following in pairwise(after_all(drill, *happened)):
        assert abs(following.rung - before.rung) <= 1
        assert before.rung == following.rung or before.tempo == following.tempo


@given(drills, st.lists(events, max_size=30))
def test_clean_from_now_on_it_ends_at_the_goal_at_its_fullest(
    drill: Drill, happened: list[Event]
) -> None:
    going = after_all(drill, *(each for each in happened if not isinstance(each, Elapsed)))[-1]
    for _ in range(60 * 4):  # rungs by clean passes, more than there can be
        going = going if going.ended else follow(going, CLEAN)
    assert going.because.reason is Reason.DONE
    assert (going.tempo, going.fullness) == (drill.terms.goal, drill.terms.ladder[-1])


@given(drills, st.lists(events, max_size=30))
def test_its_time_ends_it_wherever_it_is(drill: Drill, happened: list[Event]) -> None:
    over = after_all(drill, *happened, Elapsed(Fraction(10)))[-1]
    assert over.ended
    assert follow(over, CLEAN) == over


# --- how full ---


def test_only_what_differs_is_a_way_to_play_it() -> None:
    assert fullnesses(written("chords | C | F |"), 0, 1) == (Fullness.WRITTEN,)
    assert fullnesses(written("chords | Cmaj7 | F |"), 0, 1) == (Fullness.PLAIN, Fullness.WRITTEN)
    assert fullnesses(written("chords | Cmaj7 | F |"), 1, 1) == (Fullness.WRITTEN,)


def test_crowded_chords_can_be_lean_and_words_sung() -> None:
    song = written("chords | Cmaj7 Dm7 Em7 Dm7 | F |\ntune | C4:4 | F4:4 |\nwords | la | |")
    assert fullnesses(song, 0, 1) == ALL
    assert fullnesses(song, 1, 1) == (Fullness.WRITTEN,)
    assert [each.depth.value for each in ALL] == ["plain", "lean", "written", "written"]
