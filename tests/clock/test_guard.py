"""The guard over a port: when it is let go, when it is opened again, and when neither."""

import pytest

from chartwalk.clock.guard import DOUBT, EVERY, MISSING, Guard, found_again
from chartwalk.clock.sound import Sound

PIANO = "Stage Piano:Stage Piano MIDI 1 20:0"
AGAIN = "Stage Piano:Stage Piano MIDI 1 24:0"


class Room:
    """What is wanted, what sounds and what is there; ``told`` is what the guard said."""

    def __init__(self, wanted: str = "piano") -> None:
        self.wanted = wanted
        self.sound = Sound.heard(wanted)
        self.there = [wanted]
        self.looks = 0
        self.told: list[tuple[str, str]] = []
        self.guard = Guard(
            lambda: self.wanted,
            lambda: self.sound,
            self.look,
            lambda name: self.told.append(("gone", name)),
            lambda name: self.told.append(("back", name)),
        )

    def look(self) -> list[str]:
        self.looks += 1
        return self.there


def test_a_port_that_is_there_is_left_alone() -> None:
    room = Room()
    assert [room.guard.check() for _ in range(3)] == [EVERY] * 3
    assert room.told == []


def test_a_port_missed_twice_in_a_row_is_gone_and_once_is_nothing() -> None:
    room = Room()
    room.there = []
    assert room.guard.check() == DOUBT
    room.there = ["piano"]
    assert room.guard.check() == EVERY
    room.there = ["organ"]
    assert room.guard.check() == DOUBT
    assert room.told == []
    assert room.guard.check() == EVERY
    assert room.told == [("gone", "piano")]


def test_a_miss_of_one_port_does_not_count_against_another() -> None:
    room = Room()
    room.there = []
    room.guard.check()
    room.wanted, room.sound = "organ", Sound.heard("organ")
    room.guard.check()
    assert room.told == []


def test_a_silent_port_is_waited_for() -> None:
    room = Room()
    room.sound, room.there = Sound.silent("not there"), []
    assert [room.guard.check() for _ in range(3)] == [MISSING] * 3
    assert room.told == []
    room.there = ["organ", "piano"]
    room.guard.check()
    assert room.told == [("back", "piano")]


def test_a_port_that_is_there_and_stays_silent_is_tried_less_and_less_often() -> None:
    room = Room()
    room.sound = Sound.silent("in use")
    pauses = [room.guard.check() for _ in range(7)]
    assert pauses == sorted(pauses)
    assert pauses[0] == MISSING
    assert MISSING < pauses[-1] == pauses[-2] < 60
    room.sound = Sound.heard("piano")
    room.guard.check()
    room.sound = Sound.silent("the cable is out")
    assert room.guard.check() == MISSING


@pytest.mark.parametrize(
    ("wanted", "sound"), [("", Sound.silent("none")), ("piano", Sound.opening("piano"))]
)
def test_nothing_is_looked_for_while_nothing_is_wanted_or_it_is_being_opened(
    wanted: str, sound: Sound
) -> None:
    room = Room()
    room.wanted, room.sound = wanted, sound
    room.guard.check()
    assert room.looks == 0


@pytest.mark.parametrize("silent", [False, True])
def test_what_changed_while_it_looked_is_not_acted_upon(silent: bool) -> None:
    room = Room()
    if silent:
        room.sound = Sound.silent("not there")
    look = room.guard._look

    def slow_look() -> object:
        found = list(look())
        room.wanted, room.sound = "organ", Sound.heard("organ")
        return found if silent else []

    room.guard._look = slow_look  # type: ignore[assignment]
    for _ in range(2):
        room.wanted = "piano"
        room.guard.check()
    assert room.told == []


def test_after_it_is_closed_it_says_nothing() -> None:
    room = Room()
    room.there = []
    room.guard.check()
    room.guard.close()
    room.guard.check()
    assert room.told == []


@pytest.mark.parametrize(
    ("there", "found"),
    [
        ([AGAIN, PIANO], PIANO),
        (["Through:Through 14:0", AGAIN], AGAIN),
        ([AGAIN, AGAIN.replace("24", "28")], None),
        (["Stage Piano:Stage Piano MIDI 2 20:1"], None),
        ([], None),
    ],
)
def test_a_cable_put_in_again_may_have_other_numbers(there: list[str], found: str | None) -> None:
    # RtMidi names ALSA's ports "client:port 20:0", by the numbers the sequencer gave them.
    assert found_again(PIANO, there) == found
