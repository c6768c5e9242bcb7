"""Which bar a mark is about, which round it spoils, and drills from the first round to the last.

Bars of 4/4 at 120: a beat is half a second, a bar two. That people press late is common practice,
no source.
"""

from fractions import Fraction

import pytest
from tests.run.desk import Desk, song_of
from tests.run.test_conductor import BAR, EIGHT, starts

from chartwalk.arrange import Arrangement
from chartwalk.clock.player import LEAD
from chartwalk.depth import Depth
from chartwalk.mode import Mode
from chartwalk.trouble import Because, Drill, Drilled, Fullness, Reason
from chartwalk.trouble.drill import Terms

GOAL = Fraction(120)
FIGURES = song_of("tempo 120\n\nchords | C | Dm7 | G7 | C6 |\ntune   | C4:4 | D4:4 | E4:4 | F4:4 |")


def drilled(
    start: int, in_a_row: int = 1, ladder: tuple[Fullness, ...] = (Fullness.WRITTEN,)
) -> Drilled:
    terms = Terms(GOAL, Fraction(start), ladder, in_a_row, minutes=Fraction(10))
    return Drilled.of(Drill(1, 2, terms, Fraction(start), Because(Reason.NEVER_CLEAN, "")))


@pytest.mark.parametrize(
    ("after", "step"),
    [
        (BAR + 0.1, 0),  # within the first beat of the run there is no bar before
        (BAR + 1.9, 0),
        (2 * BAR + 0.4, 0),  # within the first beat of the second bar
        (2 * BAR + 0.6, 1),
        (3 * BAR + 0.1, 1),
        (4 * BAR + 1.0, 3),
    ],
)
def test_a_mark_is_about_the_bar_under_way_or_the_one_just_over(after: float, step: int) -> None:
    desk = Desk(EIGHT)
    desk.run()
    desk.wait(LEAD + after)
    assert desk.conductor.blamed(desk.session).step == step


def test_standing_still_a_mark_is_about_the_bar_in_sight() -> None:
    desk = Desk(EIGHT)
    desk.go(desk.session.at(4))
    assert desk.conductor.blamed(desk.session) == desk.session


def test_while_a_round_is_counted_in_a_mark_is_about_the_one_before() -> None:
    desk = Desk(EIGHT)
    desk.session = desk.session.at(1).starting_here().at(2).ending_here()
    desk.loop()
    desk.wait(LEAD + 0.5)
    assert desk.conductor.blamed(desk.session).step == 1, "nothing was played yet"
    desk.wait(3 * BAR + 0.5)
    assert desk.session.mode is Mode.COUNT_IN
    assert desk.conductor.blamed(desk.session).step == 2
    desk.mark()
    desk.wait(BAR)
    assert [(done.clean, done.whole) for done in desk.done] == [(False, True)]
    desk.wait(3 * BAR)
    assert [done.clean for done in desk.done] == [False, True]


def test_a_mark_in_the_count_in_counts_in_again_at_the_tempo_that_stays() -> None:
    desk = Desk(EIGHT, ladder_step="1 metronome mark", guide_tune="on")
    desk.session = desk.session.at(1).starting_here().ending_here().at_tempo(Fraction(100))
    desk.loop()
    desk.wait(LEAD + 2 * 2.4 + 0.3)  # a bar counted and one played, 2.4 s each; the next at 104
    desk.mark()
    desk.wait(5)
    played = [at for at, key in starts(desk) if key == 62]
    counted = 4 * 60 / 104
    # The count-in under way ends at 104; since the mark keeps the tempo, another follows at 100.
    assert played[:2] == pytest.approx([2.4, 4.8 + counted + 2.4], abs=0.002)
    assert desk.speed == pytest.approx(100 / 120)


def test_a_drill_climbs_from_clean_round_to_clean_round_and_ends_at_the_goal() -> None:
    desk = Desk(EIGHT)
    desk.session = desk.conductor.drill(desk.session, drilled(112))
    desk.following = True
    assert (desk.session.step, desk.session.looped) == (1, (1, 2))
    assert desk.session.tempo == 112
    desk.wait(60)
    # The marks of the metronome above 112: 116, 120.
    assert [done.scale * GOAL for done in desk.done] == [112, 116, 120]
    assert all(done.clean and done.whole for done in desk.done)
    assert desk.session.mode is Mode.STOPPED
    assert (desk.session.lap, desk.session.looped) == (0, None)
    assert not desk.world.port.sounding


def test_a_mark_steps_back_from_the_next_round_on() -> None:
    desk = Desk(EIGHT)
    desk.session = desk.conductor.drill(desk.session, drilled(112))
    desk.following = True
    bar = 4 * 60 / 112
    desk.wait(LEAD + 2 * bar + 1)
    desk.mark()
    desk.wait(0.5 * bar)
    assert desk.session.tempo == 112, "the round goes on as it is"
    desk.wait(2 * bar + 1)
    assert desk.session.tempo == 108
    plan = desk.conductor.plan
    assert isinstance(plan, Drilled)
    assert plan.at(1).because.reason is Reason.COUNTED
    desk.wait(60)
    assert [done.scale * GOAL for done in desk.done] == [112, 108, 112, 116, 120]
    assert [done.clean for done in desk.done] == [False, True, True, True, True]


def test_a_drill_in_fullness_plays_each_round_at_its_depth() -> None:
    desk = Desk(FIGURES)
    ladder = (Fullness.PLAIN, Fullness.WRITTEN)
    desk.session = desk.conductor.drill(desk.session, drilled(120, ladder=ladder))
    desk.following = True
    desk.wait(LEAD + BAR + 0.5)
    assert desk.session.arrangement == Arrangement(0, Depth.PLAIN)
    assert str(desk.session.now.symbol) == "Dm"
    desk.wait(3 * BAR)
    assert desk.session.arrangement.depth.value == "written"
    assert str(desk.session.now.symbol) == "Dm7"
    desk.wait(10)
    assert desk.session.mode is Mode.STOPPED
    assert len(desk.done) == 2


def test_when_its_time_is_over_a_drill_ends_with_the_round() -> None:
    desk = Desk(EIGHT)
    desk.session = desk.conductor.drill(desk.session, drilled(80, in_a_row=3))
    desk.following = True
    desk.wait(4)
    plan = desk.conductor.plan
    assert isinstance(plan, Drilled)
    desk.conductor.change(desk.session, plan.elapsed(0, Fraction(10)))
    desk.wait(30)
    assert [done.whole for done in desk.done] == [True]
    assert desk.done[0].scale * GOAL == 80
    assert desk.session.mode is Mode.STOPPED


def test_a_mark_in_the_count_in_has_the_tempo_of_the_round_it_is_about() -> None:
    desk = Desk(EIGHT)
    desk.session = desk.conductor.drill(desk.session, drilled(112))
    desk.following = True
    desk.wait(LEAD + 3 * 4 * 60 / 112 + 0.5)
    assert desk.session.mode is Mode.COUNT_IN
    assert desk.session.tempo == 116
    assert desk.conductor.blamed(desk.session).tempo == 112


def test_a_mark_taken_back_leaves_the_round_clean_and_the_drill_as_it_was() -> None:
    desk = Desk(EIGHT)
    desk.session = desk.conductor.drill(desk.session, drilled(112))
    desk.following = True
    desk.wait(LEAD + 2 * 4 * 60 / 112 + 1)
    desk.mark()
    desk.wait(0.5)
    desk.conductor.forgive(desk.session)
    desk.wait(60)
    assert [done.scale * GOAL for done in desk.done] == [112, 116, 120]
    assert all(done.clean for done in desk.done)


def test_of_two_marks_in_a_round_one_taken_back_leaves_it_spoilt() -> None:
    desk = Desk(EIGHT)
    desk.run()
    desk.wait(LEAD + 2 * BAR)
    desk.mark()
    desk.mark()
    desk.conductor.forgive(desk.session)
    desk.wait(60)
    assert [done.clean for done in desk.done] == [False]
