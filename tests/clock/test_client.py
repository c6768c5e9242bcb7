"""The client against a child of the test's own, in a time of the test's own."""

import queue
import threading
import time
from collections.abc import Callable, Iterator

import pytest

from chartwalk.clock import messages as say
from chartwalk.clock.client import Clock
from chartwalk.clock.place import Place
from chartwalk.clock.schedule import ScheduledBar
from chartwalk.clock.sound import NO_CLOCK, Sound
from chartwalk.clock.state import State
from chartwalk.clock.watch import PATIENCE
from chartwalk.clock.wire import Decoder, encode

Until = Callable[[Callable[[], object]], None]
TICK = 0.5 / 960
BARS = [ScheduledBar(960, TICK)] * 4


class Child:
    """A process that says what the test wants."""

    def __init__(self) -> None:
        self.told: list[say.Message] = []
        self.deaf = False
        self.ended = threading.Event()
        self._decoder = Decoder()
        self._says: queue.Queue[bytes] = queue.Queue()

    def write(self, data: bytes) -> None:
        if self.deaf:
            self.ended.wait()
        if self.ended.is_set():
            raise BrokenPipeError
        for message in self._decoder.feed(data):
            self.told.append(message)
            if isinstance(message, say.Quit):
                self.kill()

    def read(self) -> bytes:
        return self._says.get()

    def kill(self) -> None:
        self.ended.set()
        self._says.put(b"")

    def wait(self, seconds: float) -> bool:
        return self.ended.wait(seconds)

    def close(self) -> None:
        assert self.ended.is_set()

    def says(self, *messages: say.Message) -> None:
        self._says.put(b"".join(map(encode, messages)))


class World:
    """Every child that was started, and the time."""

    def __init__(self) -> None:
        self.now = 50.0
        self.children: list[Child] = []
        self.fails = False
        self.may_start = threading.Event()
        self.may_start.set()

    def spawn(self) -> Child:
        self.may_start.wait()
        if self.fails:
            raise OSError("no more processes")
        self.children.append(Child())
        return self.children[-1]

    @property
    def child(self) -> Child:
        return self.children[-1]


@pytest.fixture
def world() -> World:
    return World()


@pytest.fixture
def clock(world: World) -> Iterator[Clock]:
    with Clock("piano", spawn=world.spawn, now=lambda: world.now, look=lambda: ["piano"]) as clock:
        clock.load(BARS)
        yield clock


def anchor(run: int, bar: int, moment: float, state: State = State.RUNNING) -> say.Anchor:
    return say.Anchor(run, moment, bar, 0.0, TICK, state)


def test_a_new_process_is_told_all_that_matters(world: World, clock: Clock, until: Until) -> None:
    clock.rate(0.5)
    clock.run(1)
    clock.stop()
    until(lambda: say.Stop() in world.child.told)
    bar = say.AddBar(960, TICK, 0)
    assert world.child.told == [
        *(say.Open("piano"), say.Rate(1.0), say.Clear()),
        *(say.Clear(), bar, bar, bar, bar),
        *(say.Rate(0.5), say.Start(1, 1), say.Stop()),
    ]


def test_the_place_stands_until_the_clock_says_when_it_starts(
    world: World, clock: Clock, until: Until
) -> None:
    assert clock.place() is None
    clock.run(1)
    assert clock.place() == Place(1, 0.0, State.RUNNING)
    world.child.says(anchor(1, 1, 60.0))
    until(lambda: clock.place(60.25) == Place(1, 480.0, State.RUNNING))
    assert clock.place(59.0) == Place(1, 0.0, State.RUNNING)


def test_the_place_goes_on_over_bar_lines_without_new_anchors(
    world: World, clock: Clock, until: Until
) -> None:
    clock.run()
    world.child.says(anchor(1, 0, 60.0))
    until(lambda: clock.place(60.5) == Place(1, 0.0, State.RUNNING))
    clock.rate(2.0)
    assert clock.place(60.25) == Place(0, 480.0, State.RUNNING)
    assert clock.place(60.75) == Place(2, 0.0, State.RUNNING)
    assert clock.place(99.0) == Place(3, 960.0, State.RUNNING)


def test_stop_holds_at_once_and_what_the_old_run_says_later_is_not_taken(
    world: World, clock: Clock, until: Until
) -> None:
    clock.run()
    world.child.says(anchor(1, 0, 50.0))
    world.now = 50.25
    until(lambda: clock.place() == Place(0, 480.0, State.RUNNING))
    clock.stop()
    world.now = 50.4
    assert clock.place() == Place(0, 480.0, State.STOPPED)
    world.child.says(anchor(1, 1, 50.5), say.Ended(1), say.Failed("done"))
    until(lambda: clock.take_message() == "done")
    assert clock.place() == Place(0, 480.0, State.STOPPED)
    clock.run(2)
    world.child.says(say.Ended(1), anchor(1, 3, 50.6), say.Failed("done"))
    until(lambda: clock.take_message() == "done")
    assert clock.place() == Place(2, 0.0, State.RUNNING)


def test_the_end_and_a_stall_leave_the_place_where_it_was(
    world: World, clock: Clock, until: Until
) -> None:
    clock.run()
    world.child.says(anchor(1, 3, 50.0), say.Ended(1))
    until(lambda: clock.place() == Place(3, 960.0, State.STOPPED))
    clock.run()
    world.child.says(
        anchor(2, 0, 50.0), say.Anchor(2, 58.0, 1, 240.0, TICK, State.STOPPED), say.Failed("late")
    )
    until(lambda: clock.take_message() == "late")
    assert clock.place() == Place(1, 240.0, State.STOPPED)


def test_what_sounds_is_said(world: World, clock: Clock, until: Until) -> None:
    assert clock.sound.port is None
    assert "opening piano" in clock.sound.note
    assert not clock.sound.settled
    world.child.says(say.Opened("piano", ""))
    until(lambda: clock.sound.port == "piano")
    assert clock.sound.settled
    assert clock.sound.note == "sound goes to piano"
    assert clock.take_message() is None
    world.child.says(say.Opened("", "the cable is out"))
    until(lambda: clock.sound.port is None)
    assert clock.sound.note == "silent: the cable is out"
    assert clock.take_message() == "No sound: the cable is out."
    clock.open(None)
    until(lambda: say.Open("") in world.child.told)
    assert "no MIDI port" in clock.sound.note


def test_a_port_that_is_missed_is_let_go_and_its_loss_and_its_return_are_news(
    world: World, until: Until
) -> None:
    there = ["piano"]
    with Clock("piano", spawn=world.spawn, now=lambda: world.now, look=lambda: there) as clock:
        world.child.says(say.Opened("piano", ""))
        until(lambda: clock.sound.port == "piano")
        guard = clock._guard
        assert guard is not None
        guard.check()
        there.clear()
        guard.check()
        assert clock.sound.port == "piano"  # once proves nothing
        guard.check()
        until(lambda: world.child.told[-1] == say.Gone("piano"))
        world.child.says(say.Opened("", "not there"))
        until(lambda: "not there" in clock.sound.note)
        assert clock.take_message() == "No sound: not there."
        guard.check()
        assert world.child.told[-1] == say.Gone("piano")
        there.append("piano")
        guard.check()
        until(lambda: world.child.told[-2:] == [say.Open("piano"), say.Silence()])
        world.child.says(say.Opened("piano", ""))
        until(lambda: clock.sound.port == "piano")
        assert clock.take_message() == "Sound goes to piano now."


def test_nothing_is_looked_for_where_silence_is_wanted(world: World, until: Until) -> None:
    looks: list[str] = []

    def look() -> list[str]:
        looks.append("once more")
        return ["piano"]

    with Clock(None, spawn=world.spawn, now=lambda: world.now, look=look) as clock:
        guard = clock._guard
        assert guard is not None
        guard.check()
        assert not looks
        clock.open("piano")
        guard.check()  # nor while it is being opened
        assert not looks
        world.child.says(say.Opened("", "not there"))
        until(lambda: clock.sound.settled)
        guard.check()
        assert looks
        clock.open(None)
        until(lambda: world.child.told[-1] == say.Open(""))
        guard.check()
        assert len(looks) == 1


def test_a_port_that_was_never_there_is_no_news(world: World, clock: Clock, until: Until) -> None:
    world.child.says(say.Opened("", "not there"))
    until(lambda: "not there" in clock.sound.note)
    assert clock.take_message() is None


def test_statistics_are_the_newest(world: World, clock: Clock, until: Until) -> None:
    beat = say.Heartbeat(14, 0.01, 0.05, 0.08)
    world.child.says(beat)
    until(lambda: clock.statistics == beat)


def test_a_run_is_never_left_without_a_bar(clock: Clock) -> None:
    clock.replace(0, ())
    clock.load(BARS)
    clock.run()
    with pytest.raises(ValueError, match="one bar at least"):
        clock.replace(0, ())


def test_a_lost_process_is_replaced_and_its_notes_are_silenced(
    world: World, clock: Clock, until: Until
) -> None:
    clock.rate(2.0)
    clock.run()
    world.child.says(say.Opened("piano", ""), anchor(1, 0, 50.0))
    world.now = 50.25
    until(lambda: clock.place() == Place(0, 480.0, State.RUNNING))
    world.child.kill()
    until(lambda: len(world.children) == 2 and say.Clear() in world.child.told)
    assert clock.place() == Place(0, 480.0, State.STOPPED)
    bar = say.AddBar(960, TICK, 0)
    until(lambda: len(world.child.told) == 8)
    assert world.child.told == [
        *(say.Open("piano"), say.Rate(2.0), say.Silence(), say.Clear()),
        *(bar, bar, bar, bar),
    ]
    assert "started again" in (clock.take_message() or "")
    assert clock.alive
    clock.run(1)
    until(lambda: say.Start(2, 1) in world.child.told)


def test_a_run_asked_for_while_there_is_no_process_is_not_lost(
    world: World, clock: Clock, until: Until
) -> None:
    world.may_start.clear()
    world.child.kill()
    until(clock.take_message)
    clock.run(2)
    world.may_start.set()
    until(lambda: len(world.children) == 2 and say.Start(1, 2) in world.child.told)
    world.child.says(anchor(1, 2, 50.0))
    until(lambda: clock.place(50.25) == Place(2, 480.0, State.RUNNING))


def test_a_process_that_keeps_dying_loses_its_port_and_then_its_place(
    world: World, clock: Clock, until: Until
) -> None:
    world.child.kill()
    until(lambda: len(world.children) == 2 and world.child.told)
    world.child.kill()
    until(lambda: len(world.children) == 3 and world.child.told)
    assert world.child.told[0] == say.Open("")
    world.child.kill()
    until(lambda: not clock.alive)
    assert [clock.take_message() is not None for _ in range(4)] == [True, True, True, False]
    assert clock.sound.port is None
    clock.run()
    assert clock.place() is None
    assert clock.take_message() is not None
    clock.stop()


def test_a_process_that_falls_silent_is_replaced(world: World, clock: Clock, until: Until) -> None:
    first = world.child

    def grow_old() -> bool:
        world.now += 0.02
        return len(world.children) == 2

    started = world.now
    until(grow_old)
    assert first.ended.is_set()
    assert world.now - started > PATIENCE
    assert clock.alive


def test_a_process_that_reads_no_more_is_replaced_and_nobody_waits(
    world: World, clock: Clock, until: Until
) -> None:
    world.child.deaf = True
    first = world.child
    for _ in range(400):
        clock.rate(1.5)
    until(lambda: len(world.children) == 2)
    assert first.ended.is_set()
    until(lambda: say.Rate(1.5) in world.child.told)


def test_a_clock_that_can_not_be_started_says_so_and_stays_quiet() -> None:
    world = World()
    world.fails = True
    with Clock(None, spawn=world.spawn, now=lambda: world.now) as clock:
        assert not clock.alive
        assert "could not be started: no more processes" in (clock.take_message() or "")
        clock.load(BARS)
        clock.run()
        assert clock.place() is None
        clock.open("piano")
        assert clock.sound == Sound.silent(NO_CLOCK), "nothing opens it"


def test_a_chord_is_asked_for_while_stopped_and_while_running(
    world: World, clock: Clock, until: Until
) -> None:
    clock.strike([67, 60, 64, 60], 0.15)
    clock.run()
    place = clock.place()
    clock.strike([])
    until(lambda: say.Strike(()) in world.child.told)
    assert world.child.told[-3:] == [
        say.Strike((60, 64, 67), 150),
        say.Start(1, 0),
        say.Strike(()),
    ]
    assert clock.place() == place


def test_a_chord_goes_unheard_where_there_is_no_process() -> None:
    world = World()
    world.fails = True
    with Clock(None, spawn=world.spawn, now=lambda: world.now) as clock:
        assert clock.take_message() is not None
        clock.strike([60])
        assert clock.take_message() is None


def test_what_makes_no_sense_is_refused(clock: Clock) -> None:
    for bar in (-1, 4):
        with pytest.raises(ValueError, match="no bar"):
            clock.run(bar)
    with pytest.raises(ValueError, match="rate"):
        clock.rate(0)
    with pytest.raises(ValueError, match="keys"):
        clock.strike([60, 128])
    for gap in (-0.1, 1.1):
        with pytest.raises(ValueError, match="gap"):
            clock.strike([60], gap)


def test_bars_can_be_added_to_what_runs(world: World, clock: Clock, until: Until) -> None:
    clock.run(3)
    clock.replace(4, BARS)
    world.child.says(anchor(1, 3, 50.0))
    until(lambda: clock.place(51.0) == Place(5, 0.0, State.RUNNING))
    until(lambda: world.child.told.count(say.AddBar(960, TICK, 0)) == 8)
    assert world.child.told[-6:-4] == [say.Start(1, 3), say.Replace(4, 4)]


def test_other_bars_take_the_place_of_those_to_come(
    world: World, clock: Clock, until: Until
) -> None:
    clock.run()
    world.child.says(anchor(1, 0, 50.0))
    until(lambda: clock.place(50.25) == Place(0, 480.0, State.RUNNING))
    clock.replace(1, [ScheduledBar(1920, TICK)] * 2)
    # The bar under way lasts half a second as before, the others a second each.
    assert clock.place(51.0) == Place(1, 960.0, State.RUNNING)
    assert clock.place(52.0) == Place(2, 960.0, State.RUNNING)
    assert clock.place(99.0) == Place(2, 1920.0, State.RUNNING)
    clock.replace(1, [])
    assert clock.place(99.0) == Place(0, 960.0, State.RUNNING)
    until(lambda: world.child.told[-1] == say.Replace(1, 0))


def test_a_new_process_gets_the_bars_as_they_were_replaced(
    world: World, clock: Clock, until: Until
) -> None:
    clock.replace(1, [ScheduledBar(480, TICK)])
    world.child.kill()
    until(lambda: len(world.children) == 2 and len(world.child.told) == 6)
    assert world.child.told[-2:] == [say.AddBar(960, TICK, 0), say.AddBar(480, TICK, 0)]
    assert not any(isinstance(message, say.Replace) for message in world.child.told)


def test_a_moment_before_the_bar_line_is_still_in_the_bar_before(
    world: World, clock: Clock, until: Until
) -> None:
    clock.run()
    world.child.says(anchor(1, 0, 60.0), anchor(1, 1, 60.5), anchor(1, 2, 61.0))
    until(lambda: clock.place(61.25) == Place(2, 480.0, State.RUNNING))
    for then, place in [
        (60.75, Place(1, 480.0, State.RUNNING)),
        (60.5, Place(1, 0.0, State.RUNNING)),
        (60.25, Place(0, 480.0, State.RUNNING)),
        (59.0, Place(0, 0.0, State.RUNNING)),
    ]:
        assert clock.place(then) == place
    clock.run(3)  # of another run nothing is remembered
    assert clock.place(60.25) == Place(3, 0.0, State.RUNNING)


def test_a_bar_that_went_at_another_rate_is_looked_back_on_at_that_rate(
    world: World, clock: Clock, until: Until
) -> None:
    clock.rate(0.5)
    clock.run()
    slow = say.Anchor(1, 60.0, 0, 0.0, 2 * TICK, State.RUNNING)
    world.child.says(slow, anchor(1, 1, 61.0))
    clock.rate(1.0)
    until(lambda: clock.place(61.25) == Place(1, 480.0, State.RUNNING))
    assert clock.place(60.5) == Place(0, 480.0, State.RUNNING)


def test_closing_twice_is_once_and_nothing_is_alive_after_it(world: World, clock: Clock) -> None:
    clock.run()
    clock.close()
    clock.close()
    assert world.child.told[-1] == say.Quit()
    assert world.child.ended.is_set()
    assert not clock.alive
    time.sleep(0)
    assert clock.place() == Place(0, 0.0, State.STOPPED)
    assert len(world.children) == 1
