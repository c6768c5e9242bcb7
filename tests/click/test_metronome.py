"""The metronome of a screen: which port it opens, why it is silent, where the run is."""

import threading
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import cast

import pytest

from chartwalk.chart import Bar
from chartwalk.clock.client import Clock
from chartwalk.clock.place import Place
from chartwalk.clock.schedule import ScheduledBar
from chartwalk.clock.sound import NO_PORT, Sound
from chartwalk.clock.state import State
from chartwalk.metronome import Metronome
from chartwalk.midi import Ports
from chartwalk.run import Manner, Score, count_in, make_score, played

MakeBar = Callable[..., Bar]
MakeMetronome = Callable[..., Metronome]

PIANO, ORGAN, THROUGH = "Piano:Piano MIDI 1 20:0", "Organ 24:0", "Midi Through:Port-0 14:0"


SILENT = Sound.silent(NO_PORT)


@dataclass
class FakeClock:
    """A clock that never ticks; ``told`` is what it was told, in order."""

    port: str | None = None
    told: list[tuple[str, object]] = field(default_factory=list)
    heard: Sound = SILENT
    at: Place | None = None
    messages: list[str] = field(default_factory=list)
    asked: float | None = None  # the moment that the place was asked for
    outcome: Sound | None = None  # of opening a port; it sounds at once if this is None

    def open(self, port: str | None) -> None:
        self.told.append(("open", port))
        if port is None:
            self.heard = Sound.silent(NO_PORT)
        elif self.outcome:
            self.heard = Sound.opening(port)
        else:
            self.heard = Sound.heard(port)

    @property
    def sound(self) -> Sound:
        """What sounds; the port that is being opened is there once somebody has asked."""
        sound = self.heard
        if self.outcome and not sound.settled:
            self.heard = self.outcome
        return sound

    def load(self, bars: Iterable[ScheduledBar]) -> None:
        self.told.append(("load", tuple(bars)))

    def rate(self, value: float) -> None:
        self.told.append(("rate", value))

    def run(self, first: int = 0) -> None:
        self.told.append(("run", first))

    def replace(self, first: int, bars: Iterable[ScheduledBar]) -> None:
        self.told.append(("replace", (first, tuple(bars))))

    def strike(self, keys: Iterable[int], gap: float = 0.0) -> None:
        self.told.append(("strike", (tuple(keys), gap)))

    def stop(self) -> None:
        self.told.append(("stop", None))

    def close(self) -> None:
        self.told.append(("close", None))

    def place(self, now: float | None = None) -> Place | None:
        self.asked = now
        return self.at

    def take_message(self) -> str | None:
        return self.messages.pop(0) if self.messages else None


def as_clock(clock: FakeClock) -> Clock:
    return cast("Clock", clock)


@pytest.fixture
def clock() -> FakeClock:
    """A clock that only remembers what it was told."""
    return FakeClock()


@pytest.fixture
def metronome(clock: FakeClock) -> MakeMetronome:
    """Make a metronome on the clock that only remembers, in front of some ports."""

    def make(*outputs: str, wanted: str | None = None, problem: str | None = None) -> Metronome:
        def start(port: str | None) -> Clock:
            clock.port = port
            return as_clock(clock)

        return Metronome(
            wanted, look=lambda: Ports(outputs, problem), start=start, now=lambda: 50.0
        )

    return make


def _score(bars: Sequence[Bar], first: int = 0) -> Score:
    """Write out a run from a step to the end, counted in."""
    manner = Manner()
    turns = (
        *count_in(bars, first, manner.click),
        *played(bars, first, len(bars) - 1),
    )
    return make_score(turns, manner)


def _place(bar: int, tick: float, state: State = State.RUNNING) -> Place:
    return Place(bar, tick, state)


def test_before_it_has_looked_it_says_so(metronome: MakeMetronome, clock: FakeClock) -> None:
    made = metronome(PIANO)
    assert clock.port is None
    assert clock.told == []
    assert made.silence
    assert made.port is None


@pytest.mark.parametrize(
    ("outputs", "wanted", "port"),
    [
        ((PIANO, ORGAN), None, PIANO),
        ((THROUGH, ORGAN), None, ORGAN),
        ((PIANO, ORGAN), "organ", ORGAN),
        ((PIANO, ORGAN), ORGAN, ORGAN),
        ((THROUGH, PIANO), "through", THROUGH),
    ],
)
def test_the_port_it_opens(
    metronome: MakeMetronome,
    clock: FakeClock,
    outputs: tuple[str, ...],
    wanted: str | None,
    port: str,
) -> None:
    made = metronome(*outputs, wanted=wanted)
    assert made.connect().outputs == outputs
    assert clock.told == [("open", port)]
    assert (made.port, made.silence) == (port, "")


def test_a_wanted_port_that_is_missing(metronome: MakeMetronome, clock: FakeClock) -> None:
    made = metronome(PIANO, wanted="organ")
    made.connect()
    assert clock.told == [("open", None)]
    assert made.port is None
    assert "'organ'" in made.silence
    assert PIANO in made.silence
    assert "\n" not in made.silence


def test_a_port_chosen_later(metronome: MakeMetronome) -> None:
    made = metronome(PIANO, ORGAN, wanted="harp")
    made.connect()
    assert made.silence
    made.wanted = "organ"
    made.connect()
    assert (made.port, made.silence) == (ORGAN, "")


def test_a_wanted_port_that_comes_goes_and_comes_back(clock: FakeClock) -> None:
    there = [PIANO]
    made = Metronome("organ", look=lambda: Ports(tuple(there)), start=lambda port: as_clock(clock))
    seen = []
    for outputs in ([PIANO], [PIANO, ORGAN], [PIANO], [ORGAN]):
        there[:] = outputs
        made.connect()
        seen.append((made.port, "'organ'" in made.silence))
    assert seen == [(None, True), (ORGAN, False), (None, True), (ORGAN, False)]
    assert clock.told == [("open", None), ("open", ORGAN), ("open", None), ("open", ORGAN)]


def test_looking_twice_opens_the_port_anew_and_it_sounds(
    metronome: MakeMetronome, clock: FakeClock
) -> None:
    made = metronome(PIANO)
    for _ in range(2):
        made.connect()
        assert (made.port, made.silence) == (PIANO, "")
    assert clock.told == [("open", PIANO)] * 2  # what a dead sound server left is opened afresh


@pytest.mark.parametrize(
    ("outcome", "port", "silence"),
    [(Sound.heard(PIANO), PIANO, ""), (Sound.silent("busy"), None, "Busy.")],
)
def test_after_looking_it_is_known_whether_the_port_sounds(
    metronome: MakeMetronome, clock: FakeClock, outcome: Sound, port: str | None, silence: str
) -> None:
    clock.outcome = outcome
    made = metronome(PIANO)
    made.connect()
    assert made.silence == silence
    assert made.port == port


def test_the_last_to_look_has_the_last_word(clock: FakeClock) -> None:
    slow, looking, looks = threading.Event(), threading.Event(), iter((True, False))

    def look() -> Ports:
        if next(looks):
            looking.set()
            assert slow.wait(20)
            return Ports((PIANO,))
        return Ports((ORGAN,))

    made = Metronome(look=look, start=lambda port: as_clock(clock))
    threads = [threading.Thread(target=made.connect) for _ in range(2)]
    threads[0].start()
    assert looking.wait(20)
    threads[1].start()
    slow.set()
    for thread in threads:
        thread.join(20)
    assert clock.told == [("open", PIANO), ("open", ORGAN)]
    assert made.port == ORGAN


def test_a_clock_of_its_own_is_shown_the_ports(monkeypatch: pytest.MonkeyPatch) -> None:
    looks: list[Callable[[], tuple[str, ...]]] = []

    def start(_: str | None, *, look: Callable[[], tuple[str, ...]]) -> None:
        looks.append(look)

    monkeypatch.setattr(Clock, "start", start)
    monkeypatch.setattr("chartwalk.metronome.output_ports", lambda: Ports((PIANO, ORGAN)))
    Metronome()
    assert [look() for look in looks] == [(PIANO, ORGAN)]


def test_without_any_port(metronome: MakeMetronome) -> None:
    for made in (metronome(), metronome(THROUGH)):
        made.connect()
        assert made.port is None
        assert "connect a keyboard" in made.silence


def test_where_no_midi_system_answers(metronome: MakeMetronome) -> None:
    made = metronome(problem="No MIDI system answers: do this.")
    assert made.connect().problem == "No MIDI system answers: do this."
    assert made.silence == "No MIDI system answers: do this."


def test_a_score_is_played_at_its_rate(
    metronome: MakeMetronome, clock: FakeClock, bar: MakeBar
) -> None:
    made = metronome(PIANO)
    score = _score([bar("4/4")] * 3, 1)
    made.play(score, 0.75)
    names = [name for name, _ in clock.told]
    assert names[0] == "load"
    assert names[-1] == "run"
    assert ("load", score.bars) in clock.told
    assert ("rate", 0.75) in clock.told
    assert ("run", 0) in clock.told
    assert made.score == score
    made.rate(1.25)
    made.stop()
    made.close()
    assert clock.told[-3:] == [("rate", 1.25), ("stop", None), ("close", None)]


def test_other_turns_go_on_from_where_they_are_put(
    metronome: MakeMetronome, clock: FakeClock, bar: MakeBar
) -> None:
    made = metronome(PIANO)
    score, other = _score([bar("4/4")] * 4), _score([bar("3/4")] * 2)
    made.play(score, 1.0)
    made.go_on(3, other)
    assert clock.told[-1] == ("replace", (3, other.bars))
    assert made.score.turns == (*score.turns[:3], *other.turns)
    assert made.score.bars == (*score.bars[:3], *other.bars)
    clock.at = _place(4, 960.0)
    where = made.where()
    assert where is not None
    assert where.turn == other.turns[1]
    assert where.place == 1


def test_a_chord_sounds_whether_a_run_goes_on_or_not(
    metronome: MakeMetronome, clock: FakeClock, bar: MakeBar
) -> None:
    made = metronome(PIANO)
    made.sound([48, 52, 55])
    assert clock.told == [("strike", ((48, 52, 55), 0.0))]
    made.play(_score([bar("4/4")]), 1.0)
    clock.at = _place(1, 960.0)
    told = len(clock.told)
    made.sound([50, 53, 57], 0.15)
    made.sound([])
    assert clock.told[told:] == [("strike", ((50, 53, 57), 0.15)), ("strike", ((), 0.0))]
    assert made.where() is not None


def test_where_the_run_is(metronome: MakeMetronome, clock: FakeClock, bar: MakeBar) -> None:
    made = metronome(PIANO)
    assert made.where() is None
    made.play(_score([bar("4/4"), bar("4/4", pickup="1"), bar("3/4")], 1), 1.0)
    assert made.where() is None
    # Schedule: a bar and three beats counted in, the pickup, a bar of 3/4.
    for index, tick, counted, step, place, length in [
        (0, 0.0, True, 1, "0", 4),
        (0, 3839.9, True, 1, "3839/960", 4),
        (1, 960.0, True, 1, "1", 3),
        (2, 480.0, False, 1, "1/2", 1),
        (3, 1920.7, False, 2, "2", 3),
        (3, 2880.0, False, 2, "3", 3),
    ]:
        clock.at = _place(index, tick)
        where = made.where()
        assert where is not None
        assert where.index == index
        assert (where.turn.counted is not None, where.turn.step) == (counted, step)
        assert where.place == Fraction(place)
        assert where.turn.length == length


def test_a_clock_that_stands_is_nowhere(
    metronome: MakeMetronome, clock: FakeClock, bar: MakeBar
) -> None:
    made = metronome(PIANO)
    made.play(_score([bar("4/4")]), 1.0)
    clock.at = _place(1, 100.0, State.STOPPED)
    assert made.where() is None
    assert made.changeable == 0


@pytest.mark.parametrize(
    ("at", "finished"),
    [
        (None, False),
        (_place(1, 3840.0), False),  # the end, but it runs still
        (_place(1, 3839.0, State.STOPPED), False),
        (_place(0, 3840.0, State.STOPPED), False),
        (_place(1, 3840.0, State.STOPPED), True),
    ],
)
def test_it_is_finished_once_it_has_stopped_at_the_end_of_the_last_bar(
    metronome: MakeMetronome, clock: FakeClock, bar: MakeBar, at: Place | None, finished: bool
) -> None:
    made = metronome(PIANO)
    assert not made.finished
    made.play(_score([bar("4/4")]), 1.0)
    clock.at = at
    assert made.finished is finished


def test_the_place_lags_as_much_as_the_sound(
    metronome: MakeMetronome, clock: FakeClock, bar: MakeBar
) -> None:
    made = metronome(PIANO)
    made.play(_score([bar("4/4")]), 1.0)
    clock.at = _place(0, 0.0)
    made.where()
    assert clock.asked == 50.0
    made.offset = 0.25
    made.where()
    assert clock.asked == 49.75


def test_a_longer_offset_takes_back_no_bar(
    metronome: MakeMetronome, clock: FakeClock, bar: MakeBar
) -> None:
    made = metronome(PIANO)
    made.play(_score([bar("4/4")] * 2), 1.0)
    clock.at = _place(1, 100.0)
    assert made.where() is not None
    clock.at = _place(0, 3600.0)  # what is heard now, as the player says
    where = made.where()
    assert where is not None
    assert (where.index, where.place) == (1, Fraction(0))
    made.play(_score([bar("4/4")] * 2), 1.0)
    again = made.where()
    assert again is not None
    assert again.index == 0


def test_what_begins_any_moment_can_not_be_changed_any_more(
    metronome: MakeMetronome, clock: FakeClock, bar: MakeBar
) -> None:
    made = metronome(PIANO)
    made.play(_score([bar("4/4")] * 3), 1.0)
    made.offset = 0.25
    clock.at = _place(1, 0.0)
    assert made.changeable == 2
    # What sounds now matters, not what is heard now; and a change needs time to reach the clock.
    assert clock.asked is not None
    assert clock.asked > 50.0


def test_a_port_that_is_plugged_in_is_opened_when_one_looks(clock: FakeClock) -> None:
    there: list[str] = []
    made = Metronome(None, look=lambda: Ports(tuple(there)), start=lambda port: as_clock(clock))
    assert made.look().outputs == ()
    assert clock.told == []
    there.append(PIANO)
    made.look()
    assert clock.told == [("open", PIANO)]
    made.look()
    assert clock.told == [("open", PIANO)]  # it sounds: nothing to do


def test_what_the_clock_has_to_say_is_told_once(
    metronome: MakeMetronome,
    clock: FakeClock,
) -> None:
    made = metronome(PIANO)
    clock.messages += ["first", "second"]
    assert [made.take_message() for _ in range(3)] == ["first", "second", None]
