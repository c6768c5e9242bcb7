"""The metronome of a screen: which port it opens, why it is silent, where the run is."""

import threading
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from fractions import Fraction
from typing import cast

import pytest

from chartwalk.chart import Bar
from chartwalk.click import make_run
from chartwalk.clock.client import Clock
from chartwalk.clock.place import Place
from chartwalk.clock.schedule import ScheduledBar
from chartwalk.clock.sound import NO_PORT, Sound
from chartwalk.clock.state import State
from chartwalk.metronome import Metronome
from chartwalk.midi import Ports

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

    def strike(self, keys: Iterable[int]) -> None:
        self.told.append(("strike", tuple(keys)))

    def stop(self) -> None:
        self.told.append(("stop", None))

    def close(self) -> None:
        self.told.append(("close", None))

    def place(self) -> Place | None:
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

        return Metronome(wanted, look=lambda: Ports(outputs, problem), start=start)

    return make


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
    [(Sound.heard(PIANO), PIANO, ""), (Sound.silent("busy"), None, "silent: busy")],
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


def test_a_run_is_loaded_at_its_rate(
    metronome: MakeMetronome,
    clock: FakeClock,
    bar: MakeBar,
) -> None:
    made = metronome(PIANO)
    run = make_run([bar("4/4")] * 3, 1)
    made.run(run, 0.75)
    names = [name for name, _ in clock.told]
    assert names[0] == "load"
    assert names[-1] == "run"
    assert ("load", run.schedule) in clock.told
    assert ("rate", 0.75) in clock.told
    assert ("run", 0) in clock.told
    made.rate(1.25)
    made.stop()
    made.close()
    assert clock.told[-3:] == [("rate", 1.25), ("stop", None), ("close", None)]


def test_a_chord_sounds_whether_a_run_goes_on_or_not(
    metronome: MakeMetronome,
    clock: FakeClock,
    bar: MakeBar,
) -> None:
    made = metronome(PIANO)
    made.sound([48, 52, 55])
    assert clock.told == [("strike", (48, 52, 55))]
    made.run(make_run([bar("4/4")], 0), 1.0)
    clock.at = _place(1, 960.0)
    told = len(clock.told)
    made.sound([50, 53, 57])
    made.sound([])
    assert clock.told[told:] == [("strike", (50, 53, 57)), ("strike", ())]
    assert made.where() is not None


def test_where_the_run_is(
    metronome: MakeMetronome,
    clock: FakeClock,
    bar: MakeBar,
) -> None:
    made = metronome(PIANO)
    assert made.where() is None
    made.run(make_run([bar("4/4"), bar("4/4", pickup="1"), bar("3/4")], 1), 1.0)
    assert made.where() is None
    # Schedule: a bar and three beats counted in, the pickup, a bar of 3/4.
    for index, tick, step, place, length in [
        (0, 0.0, None, "0", 4),
        (0, 3839.9, None, "3839/960", 4),
        (1, 960.0, None, "1", 3),
        (2, 480.0, 1, "1/2", 1),
        (3, 1920.7, 2, "2", 3),
        (3, 2880.0, 2, "3", 3),
    ]:
        clock.at = _place(index, tick)
        where = made.where()
        assert where is not None
        assert where.step == step
        assert where.place == Fraction(place)
        assert where.length == length


def test_a_clock_that_stands_is_nowhere(
    metronome: MakeMetronome,
    clock: FakeClock,
    bar: MakeBar,
) -> None:
    made = metronome(PIANO)
    made.run(make_run([bar("4/4")], 0), 1.0)
    clock.at = _place(1, 100.0, State.STOPPED)
    assert made.where() is None


def test_what_the_clock_has_to_say_is_told_once(
    metronome: MakeMetronome,
    clock: FakeClock,
) -> None:
    made = metronome(PIANO)
    clock.messages += ["first", "second"]
    assert [made.take_message() for _ in range(3)] == ["first", "second", None]
