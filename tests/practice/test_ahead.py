"""The change that comes next: which chord, how many bars off, on which beat, past which jump."""

from collections.abc import Callable

import pytest

from chartwalk.practice import Ahead, Session
from chartwalk.song import Song

Written = Callable[..., Song]

# Step and chord under way in the fixture's song; the chord that comes, the jump before it.
AHEAD = [
    ((0, 0), "G in 1 on 1"),
    ((1, 0), "C in 0 on 3"),
    ((1, 1), "Am in 2 on 1"),
    ((2, 0), "Am in 1 on 1"),
    ((3, 0), "D7 in 0 on 3"),
    ((3, 1), "G in 1 on 1, repeat, 2nd time"),
    ((4, 1), "F in 2 on 1, 2nd ending"),
    ((5, 0), "F in 1 on 1, 2nd ending"),
    ((6, 0), "G in 1 on 3"),
    ((7, 0), "G in 0 on 3"),
]


def _told(ahead: Ahead | None) -> str:
    """Write what comes as `symbol in bars on beat`, and the jump."""
    if ahead is None:
        return ""
    symbol = ahead.symbol.text if ahead.symbol else ""
    return ", ".join(
        [f"{symbol} in {ahead.bars} on {ahead.beat}", *([ahead.why] if ahead.why else [])]
    )


@pytest.mark.parametrize(("place", "told"), AHEAD)
def test_the_next_change(session: Session, place: tuple[int, int], told: str) -> None:
    assert _told(session.at(*place).ahead()) == told


def test_after_the_last_change_nothing_comes(session: Session) -> None:
    assert session.at(7, 1).ahead() is None


def test_the_next_change_is_where_the_next_key_leads(session: Session) -> None:
    here, steps = session, [0]
    while ahead := here.ahead():
        following = here.next_change()
        assert ahead.symbol == following.now.symbol
        assert ahead.bars == following.step - here.step
        here = following
        steps.append(here.step)
    assert here.step == 7, "the way leads to the last bar"
    assert len(steps) > 6


def test_beats_are_the_meters_own(written: Written) -> None:
    session = Session(written("chords | C D E |", "6/8"))
    ahead = session.ahead()
    assert _told(ahead) == "D in 0 on 5/3"
    assert _told(Session(written("chords | C D |", "2/2")).ahead()) == "D in 0 on 2"


def test_the_beats_of_a_pickup_are_counted_from_the_end(written: Written) -> None:
    session = Session(written("road | | pickup | |\nchords | C | D7@4 | G |\ntune | | r:2 | |"))
    assert _told(session.ahead()) == "D7 in 1 on 4"


def test_a_jump_far_ahead_is_told_with_the_chord_behind_it(written: Written) -> None:
    rows = "road | segno | fine | | ds al fine |\nchords | C | G | D | |"
    session = Session(written(rows))
    assert _told(session.at(2).ahead()) == "C in 2 on 1, back to segno"


def test_a_jump_into_a_held_chord_brings_that_chord(written: Written) -> None:
    """On paper the bar holds the chord before it; after the jump that is another chord."""
    session = Session(written("road | | segno | ds |\nchords | C | | G |"))
    there = session.at(3)
    assert there.now.symbol is not None
    assert there.now.symbol.text == "C"
    assert _told(session.at(2).ahead()) == "C in 1 on 1, back to segno"


def test_of_two_jumps_the_first_is_told(written: Written) -> None:
    rows = "road | | 1. | 2. | dc |\nchords |: | C :| D | E |"
    session = Session(written(rows))
    assert _told(session.at(1).ahead()) == "D in 2 on 1, repeat, 2nd time"


def test_no_chord_is_a_change_too(written: Written) -> None:
    assert _told(Session(written("chords | C | N.C. |")).ahead()) == "N.C. in 1 on 1"


@pytest.mark.parametrize(
    ("step", "index", "why"),
    [
        (0, 4, "repeat, 2nd time"),
        (3, 4, "repeat, 2nd time"),
        (4, 6, "2nd ending"),
        (5, 6, "2nd ending"),
    ],
)
def test_the_next_jump(session: Session, step: int, index: int, why: str) -> None:
    jump = session.song.jump_after(step)
    assert jump is not None
    assert (jump.index, jump.why) == (index, why)


def test_after_the_last_jump_the_road_runs_straight_on(session: Session) -> None:
    assert session.song.jump_after(6) is None
    assert session.song.jump_after(7) is None
