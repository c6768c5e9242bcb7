"""Tap tempo. Taps spread by 2 to 5 % of the interval (Repp 2005, from memory)."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.run.desk import song_of

from chartwalk.practice import Session
from chartwalk.tap import LAST, PAUSE, Taps


def tapped(*moments: float) -> Taps:
    taps = Taps()
    for moment in moments:
        taps = taps.tap(moment)
    return taps


def test_two_taps_make_a_tempo_and_one_makes_none() -> None:
    assert Taps().tempo is None
    assert tapped(10.0).tempo is None
    assert tapped(10.0, 10.5).tempo == 120


def test_a_pause_begins_anew() -> None:
    assert tapped(10.0, 10.5, 13.1).tempo is None  # 2.6 s: slower than 24 a minute
    assert tapped(10.0, 10.5, 13.1, 13.6).tempo == 120
    assert tapped(0.0, PAUSE).tempo == 24


def test_one_tap_off_the_beat_changes_little() -> None:
    assert tapped(0.0, 0.5, 1.0, 1.62, 2.0, 2.5).tempo == 120


def test_the_last_taps_count() -> None:
    slow = [float(number) for number in range(6)]
    fast = [5.0 + 0.5 * number for number in range(1, LAST)]
    assert tapped(*slow).tempo == 60
    assert tapped(*slow, *fast).tempo == 120
    assert len(tapped(*slow, *fast).moments) == LAST


def test_time_that_stands_still_or_goes_back_begins_anew() -> None:
    assert tapped(10.0, 10.0).tempo is None
    assert tapped(10.0, 9.0).tempo is None


@given(
    st.integers(30, 240),
    st.lists(st.floats(-0.025, 0.025), min_size=6, max_size=6),
    st.floats(0, 1e6),
)
def test_taps_that_spread_as_a_player_s_do_come_near_the_tempo(
    tempo: int, spread: list[float], start: float
) -> None:
    beat = 60 / tempo
    moments = [start + beat * (number + off) for number, off in enumerate(spread)]
    found = tapped(*moments).tempo
    assert found is not None
    # Two neighbours off by 2.5 % each spoil an interval by 5 % at most.
    assert float(found) == pytest.approx(tempo, rel=0.06, abs=1)


@pytest.mark.parametrize(
    ("tapped_tempo", "tempo"), [(Fraction(60), 60), (Fraction(1), 12), (Fraction(9999), 1200)]
)
def test_a_session_takes_a_tapped_tempo_as_far_as_a_clock_can_go(
    tapped_tempo: Fraction, tempo: int
) -> None:
    session = Session(song_of("tempo 120\n\nchords | C |")).at_tempo(tapped_tempo)
    assert float(session.tempo) == pytest.approx(tempo, rel=1e-9)
