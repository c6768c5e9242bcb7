"""Tempo by metronome marks, with the goal among them, and what a run does to a session."""

from collections.abc import Callable
from fractions import Fraction
from itertools import pairwise, product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chartwalk.practice import TRANSITIONS, Mode, Session, Signal
from chartwalk.song import Song
from chartwalk.tempo import MARKS, next_tempo

Written = Callable[..., Song]

tempos = st.fractions(1, 400, max_denominator=8)


def test_the_marks_of_a_mechanical_metronome() -> None:
    # Common practice, no source: 40 to 60 by 2, to 72 by 3, to 120 by 4, to 144 by 6, to 208 by 8.
    between = [mark for mark in MARKS if 40 <= mark <= 208]
    assert between == [
        *[40, 42, 44, 46, 48, 50, 52, 54, 56, 58, 60, 63, 66, 69, 72, 76, 80, 84, 88, 92, 96],
        *[100, 104, 108, 112, 116, 120, 126, 132, 138, 144, 152, 160, 168, 176, 184, 192, 200, 208],
    ]


@pytest.mark.parametrize(
    ("tempo", "goal", "slower", "faster"),
    [
        (84, 84, 80, 88),
        (83, 83, 80, 84),
        (80, 83, 76, 83),
        (84, 83, 83, 88),
        (60, 100, 58, 63),
        (120, 100, 116, 126),
        (81, 100, 80, 84),
        (400, 400, 392, 408),  # eighths in 7/8 go beyond what a mechanical metronome has
    ],
)
def test_one_mark_slower_and_faster(tempo: int, goal: int, slower: int, faster: int) -> None:
    assert next_tempo(Fraction(tempo), False, Fraction(goal)) == slower
    assert next_tempo(Fraction(tempo), True, Fraction(goal)) == faster


@given(tempos, tempos)
def test_a_mark_up_is_undone_by_a_mark_down(tempo: Fraction, goal: Fraction) -> None:
    marks = sorted({*map(Fraction, MARKS), goal})
    for low, high in pairwise(marks):
        assert next_tempo(low, True, goal) == high
        assert next_tempo(high, False, goal) == low
    assert next_tempo(marks[0], False, goal) == marks[0]
    assert next_tempo(marks[-1], True, goal) == marks[-1]
    up, down = next_tempo(tempo, True, goal), next_tempo(tempo, False, goal)
    assert up >= tempo >= down
    assert not any(down < mark < up and mark != tempo for mark in marks)


def test_a_session_begins_at_the_goal(written: Written) -> None:
    session = Session(written("tempo 83\nchords | C |"))
    assert session.tempo == session.goal == 83
    slower = session.in_tempo(up=False)
    assert slower.tempo == 80
    assert slower.goal == 83
    assert slower.in_tempo(up=True).tempo == 83
    assert session.in_tempo(up=True).tempo == 84


def test_the_goal_is_always_met_on_the_way(written: Written) -> None:
    session = Session(written("tempo 101.5\nchords | C |"))
    for _ in range(12):
        session = session.in_tempo(up=False)
    assert session.tempo == 60
    seen = []
    for _ in range(16):
        session = session.in_tempo(up=True)
        seen.append(session.tempo)
    assert Fraction("101.5") in seen


def test_a_slower_session_is_slower_in_every_bar(written: Written) -> None:
    song = written("tempo 80\nchords | C |\n\ntempo 120\nchords | D |")
    session = Session(song).in_tempo(up=False)
    assert session.tempo == 76
    assert session.forward().goal == 120
    assert session.forward().tempo == Fraction(120 * 76, 80)
    assert session.forward().scale == session.scale


def test_moving_does_not_change_the_tempo(session: Session) -> None:
    slow = session.in_tempo(up=False)
    for moved in (slow.forward(), slow.end(), slow.next_change(), slow.at(3), slow.at_bar("2")):
        assert moved is not None
        assert moved.scale == slow.scale


# Mode, signal, mode after it; every other signal changes nothing.
LEADS = {
    ("stopped", "run"): "count-in",
    ("count-in", "counted in"): "running",
    ("count-in", "stop"): "stopped",
    ("running", "stop"): "stopped",
}


@pytest.mark.parametrize(("mode", "signal"), product(Mode, Signal))
def test_where_each_signal_leads(session: Session, mode: Mode, signal: Signal) -> None:
    before = Session(session.song, step=3, change=1, scale=Fraction(3, 4), mode=mode)
    after = before.signal(signal)
    assert after.mode.value == LEADS.get((mode.value, signal.value), mode.value)
    assert (after.step, after.change, after.scale) == (3, 1, Fraction(3, 4))


def test_the_table_holds_nothing_else() -> None:
    found = {
        (mode.value, signal.value): after.value for (mode, signal), after in TRANSITIONS.items()
    }
    assert found == LEADS


def test_a_run_leads_from_the_step_under_way_to_the_end(session: Session) -> None:
    run = session.at(5).run()
    assert len(run.bars) == 3
    assert run.first == 5


def test_no_tempo_is_out_of_the_clock_s_reach(written: Written) -> None:
    session = Session(written("tempo 999\n\nchords | C |"))
    slowest = session
    for _ in range(200):
        slowest = slowest.in_tempo(up=False)
    assert Fraction(1, 10) <= slowest.scale < Fraction(1, 5)
