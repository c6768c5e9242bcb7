"""Tempo by metronome marks, with the goal among them, and what a run does to a session."""

from collections.abc import Callable
from fractions import Fraction
from itertools import pairwise, product

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.run.desk import song_of

from chartwalk.clock.schedule import check_rate
from chartwalk.mode import TRANSITIONS, Mode, Signal
from chartwalk.practice import Session
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


# Mode, signal, mode after it; nothing else can happen.
LEADS = {
    ("stopped", "begins to count in"): "count-in",
    ("your turn", "begins to count in"): "count-in",
    ("looping", "begins to count in"): "count-in",  # into the next round
    ("count-in", "begins to run"): "running",
    ("count-in", "begins a round"): "looping",
    ("count-in", "begins to be heard"): "listening",
    ("running", "comes to the end"): "stopped",
    ("looping", "comes to the end"): "stopped",  # after the last round of a drill
    ("listening", "comes to the end"): "your turn",
    ("count-in", "is stopped"): "stopped",
    ("running", "is stopped"): "stopped",
    ("looping", "is stopped"): "stopped",
    ("listening", "is stopped"): "stopped",
    ("your turn", "is stopped"): "stopped",
}


@pytest.mark.parametrize(("mode", "signal"), product(Mode, Signal))
def test_where_each_signal_leads(session: Session, mode: Mode, signal: Signal) -> None:
    before = Session(session.song, step=3, change=1, scale=Fraction(3, 4), mode=mode)
    leads = LEADS.get((mode.value, signal.value))
    if leads is None:
        with pytest.raises(ValueError, match=f"{mode.value} never {signal.value}"):
            before.signal(signal)
        return
    after = before.signal(signal)
    assert after.mode.value == leads
    assert (after.step, after.change, after.scale) == (3, 1, Fraction(3, 4))


def test_the_table_holds_nothing_else() -> None:
    found = {
        (mode.value, signal.value): after.value for (mode, signal), after in TRANSITIONS.items()
    }
    assert found == LEADS


def test_which_modes_move() -> None:
    moving = {mode.value for mode in Mode if mode.moving}
    assert moving == {"count-in", "running", "looping", "listening"}


def test_a_session_can_always_be_stopped_and_run_again() -> None:
    for mode in Mode:
        stopped = mode if mode is Mode.STOPPED else TRANSITIONS[mode, Signal.STOP]
        assert TRANSITIONS[stopped, Signal.COUNT] is Mode.COUNT_IN


def test_a_tempo_is_taken_as_it_is(written: Written) -> None:
    session = Session(written("tempo 80\nchords | C |\n\ntempo 120\nchords | D |"))
    session = session.at_tempo(Fraction(100))
    assert session.tempo == 100
    assert session.forward().tempo == 150  # in proportion
    assert session.goal == 80


@given(st.fractions(1, 100_000, max_denominator=100))
def test_no_tempo_that_is_asked_for_is_out_of_the_clock_s_reach(tempo: Fraction) -> None:
    session = Session(song_of("tempo 83.5\n\nchords | C |")).at_tempo(tempo)
    assert check_rate(float(session.scale)) == float(session.scale)
    if Fraction(84, 10) < tempo < 835:
        assert session.tempo == tempo


def test_no_tempo_is_out_of_the_clock_s_reach(written: Written) -> None:
    session = Session(written("tempo 999\n\nchords | C |"))
    slowest = session
    for _ in range(200):
        slowest = slowest.in_tempo(up=False)
    assert Fraction(1, 10) <= slowest.scale < Fraction(1, 5)
