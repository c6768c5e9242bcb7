"""Stepping through a song: bars, changes, the ends, a bar by its printed number."""

from collections.abc import Callable
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from chartwalk.practice import Session
from chartwalk.song import Song

Written = Callable[..., Song]
Demo = Callable[[str], Song]

NUMBERS = ["0", "1", "2", "3", "1", "2", "4", "5"]
# Every change of the fixture's song in the order it is played: step, chord of the bar, symbol.
CHANGES = [
    (0, 0, "D7"),
    (1, 0, "G"),
    (1, 1, "C"),
    (3, 0, "Am"),
    (3, 1, "D7"),
    (4, 0, "G"),
    (4, 1, "C"),
    (6, 0, "F"),
    (7, 1, "G"),
]


def _where(session: Session) -> tuple[int, int]:
    return session.step, session.change


def _symbol(session: Session) -> str:
    return session.now.symbol.text if session.now.symbol else ""


def test_bar_by_bar_to_the_end_and_no_further(session: Session) -> None:
    found = []
    for _ in NUMBERS:
        found.append(session.bar.number)
        session = session.forward()
    assert found == NUMBERS
    assert _where(session) == (7, 0)
    assert session.forward() == session


def test_bar_by_bar_back_to_the_start_and_no_further(session: Session) -> None:
    session = session.end()
    found = []
    for _ in NUMBERS:
        found.append(session.bar.number)
        session = session.forward(-1)
    assert found == NUMBERS[::-1]
    assert _where(session) == (0, 0)
    assert session.forward(-1) == session


def test_several_bars_at_once_stay_within_the_song(session: Session) -> None:
    assert session.forward(3).bar.number == "3"
    assert session.forward(100).step == 7
    assert session.forward(100).forward(-100).step == 0


def test_home_and_end(session: Session) -> None:
    assert session.end().step == 7
    assert session.end().at(0).step == 0


def test_a_bar_begins_on_its_first_chord(session: Session) -> None:
    on_the_second = session.at(1, 1)
    assert _symbol(on_the_second) == "C"
    assert _where(on_the_second.forward()) == (2, 0)
    assert _where(on_the_second.forward(-1)) == (0, 0)


def test_a_place_outside_the_song_is_moved_into_it(session: Session) -> None:
    assert _where(session.at(-5, -5)) == (0, 0)
    assert _where(session.at(99, 99)) == (7, 1)
    assert _where(session.at(3, 99)) == (3, 1)


def test_change_by_change_to_the_end(session: Session) -> None:
    found = []
    for _ in CHANGES:
        found.append((*_where(session), _symbol(session)))
        session = session.next_change()
    assert found == CHANGES
    assert session.next_change() == session


def test_change_by_change_back_to_the_start(session: Session) -> None:
    session = session.at(7, 1)
    found = []
    for _ in CHANGES:
        found.append((*_where(session), _symbol(session)))
        session = session.previous_change()
    assert found == CHANGES[::-1]
    assert session.previous_change() == session


@pytest.mark.parametrize("place", CHANGES[:-1])
def test_previous_undoes_next(session: Session, place: tuple[int, int, str]) -> None:
    here = session.at(*place[:2])
    assert here.next_change().previous_change() == here


@pytest.mark.parametrize("place", CHANGES[1:])
def test_next_undoes_previous(session: Session, place: tuple[int, int, str]) -> None:
    here = session.at(*place[:2])
    assert here.previous_change().next_change() == here


@pytest.mark.parametrize(
    ("name", "length"), [("cafe-on-the-quay", 72), ("light-on-the-long-wall", 37)]
)
def test_changes_of_a_demo_song_there_and_back(demo: Demo, name: str, length: int) -> None:
    song = demo(name)
    session = Session(song)
    there = [session]
    while there[-1].next_change() != there[-1]:
        there.append(there[-1].next_change())
    back = [there[-1]]
    while back[-1].previous_change() != back[-1]:
        back.append(back[-1].previous_change())
    assert back == there[::-1]
    assert len(there) == sum(len(song.bars[step.bar].changes) for step in song.steps)
    assert {session.step for session in there} == set(range(length))


def test_a_held_chord_is_the_one_before_on_paper(session: Session) -> None:
    held = session.at(2)
    assert (held.now.held, _symbol(held)) == (True, "C")
    assert held.next_change().step == 3
    assert _where(held.previous_change()) == (1, 1)


def test_a_bar_that_moves_late_begins_with_the_held_chord(session: Session) -> None:
    last = session.end()
    assert (last.now.held, _symbol(last)) == (True, "F")
    assert [sounding.at for sounding in last.chords] == [0, 2]
    assert [sounding.held for sounding in last.chords] == [True, False]


def test_before_the_first_chord_nothing_sounds(written: Written) -> None:
    session = Session(written("chords | | / G | C |"))
    assert session.now.symbol is None
    assert _symbol(session.next_change()) == "G"
    assert session.next_change().previous_change().step == 0


def test_a_song_without_chords(written: Written) -> None:
    session = Session(written("tune | B4:4 | A4:4 |"))
    assert session.next_change() == session
    assert session.forward().previous_change() == session
    assert session.ahead() is None


def test_going_to_a_bar_by_its_printed_number(session: Session) -> None:
    def step(number: str, start: int = 0) -> int | None:
        found = session.at(start).at_bar(number)
        return found.step if found else None

    assert step("0") == 0
    assert step("2") == 2
    assert step("2", 2) == 5  # the next one ahead
    assert step("2", 5) == 2  # then the first from the start
    assert step("4", 7) == 6
    assert step("1", 1) == 4
    for missing in ("6", "", "x", "01", "-1", "1.", "二"):
        assert step(missing) is None


def test_going_to_a_bar_takes_the_page_at_its_word(written: Written) -> None:
    session = Session(written("road | | bar 17a | bar X |\nchords | C | D | E |"))
    assert [session.at_bar(number) for number in ("2", "3", "17")] == [None] * 3
    assert session.at_bar("17a") == session.at(1)
    assert session.at_bar("X") == session.at(2)


def test_going_to_a_bar_begins_on_its_first_chord(session: Session) -> None:
    found = session.at(1, 1).at_bar("3")
    assert found is not None
    assert _where(found) == (3, 0)


# Step, place in quarters, chord of the bar.
PLACES = [
    (1, "0", 0), (1, "1", 0), (1, "1.999", 0), (1, "2", 1), (1, "3.5", 1), (2, "3", 0),
    (7, "1", 0), (7, "2", 1), (0, "0", 0),
]  # fmt: skip


@pytest.mark.parametrize(("step", "place", "change"), PLACES)
def test_the_chord_that_sounds_at_a_place(
    session: Session, step: int, place: str, change: int
) -> None:
    assert _where(session.at_place(step, Fraction(place))) == (step, change)


def test_a_push_sounds_before_the_bar_line(demo: Demo) -> None:
    session = Session(demo("lamplighter-swing"))
    found = session.at_bar("9")
    assert found is not None
    symbols = [_symbol(found.at_place(found.step, Fraction(eighth, 2))) for eighth in range(8)]
    assert symbols == ["Cm9"] * 4 + ["F13"] * 3 + ["Bb6"]


@settings(deadline=None)
@given(
    st.lists(
        st.sampled_from(["forward", "back", "next", "previous", "home", "end", "1", "2", "9"]),
        max_size=30,
    )
)
def test_any_walk_stays_within_the_song(written: Written, keys: list[str]) -> None:
    session = Session(written("chords |: C G | | / D :| | E E E E |"))
    moves: dict[str, Callable[[Session], Session]] = {
        "forward": Session.forward,
        "back": lambda here: here.forward(-1),
        "next": Session.next_change,
        "previous": Session.previous_change,
        "home": lambda here: here.at(0),
        "end": Session.end,
    }
    for key in keys:
        moved = moves[key](session) if key in moves else session.at_bar(key)
        session = moved or session
        assert 0 <= session.step < len(session.song.steps)
        assert 0 <= session.change < len(session.chords)
        assert session.scale == 1


def test_the_place_is_kept_through_every_depth_and_key(
    written: "Callable[..., Song]",
) -> None:
    # Where lean and plain leave a chord out, an earlier one sounds; written is where we were.
    session = Session(written("chords | C D7 G7 Am | F@1 F7@1.5 Bb@2 Dm/C@4 | G |"))
    for step, change in [(0, 0), (0, 1), (0, 2), (0, 3), (1, 0), (1, 1), (1, 2), (1, 3), (2, 0)]:
        here = session.at(step, change)
        there = here
        for _ in range(6):
            there = there.arrange(there.arrangement.plainer())
        assert (there.step, there.change, there.now.symbol) == (step, change, here.now.symbol)
        assert there.as_written == here.now
