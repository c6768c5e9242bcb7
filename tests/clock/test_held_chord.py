"""The chord that is asked for, in a time of the test's own: when it starts, and that it ends."""

import heapq
import math
import os
from collections.abc import Sequence

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chartwalk.clock import messages as say
from chartwalk.clock.chord import CHANNEL, HOLD, VELOCITY, HeldChord
from chartwalk.clock.output import Output
from chartwalk.clock.pipes import Outbox
from chartwalk.clock.process import Service
from chartwalk.clock.schedule import Event, ScheduledBar
from chartwalk.clock.wire import bar_messages, encode

C_MAJOR, D_MINOR = (48, 52, 55), (50, 53, 57)
CLICK_ON, CLICK_OFF = bytes([0x99, 76, 100]), bytes([0x89, 76, 0])
STEP = 1e-6  # seconds that a look at the time takes


def on(key: int) -> bytes:
    return bytes([0x90, key, VELOCITY])  # MIDI 1.0: note on, channel 1


def off(key: int) -> bytes:
    return bytes([0x80, key, 64])


class Device:
    """A port that remembers what was sent when."""

    def __init__(self, world: "World") -> None:
        self._world = world

    def get_ports(self) -> list[str]:
        return ["piano", "organ"]

    def send_message(self, message: bytes) -> None:
        self._world.sent.append((self._world.now, message))

    def close_port(self) -> None:
        pass

    def delete(self) -> None:
        pass


class World:
    """The time, and everything that was sent on any port."""

    def __init__(self) -> None:
        self.now = 100.0
        self.sent: list[tuple[float, bytes]] = []
        self.output = Output(lambda _: Device(self))
        self.output.open("piano")

    @property
    def messages(self) -> list[bytes]:
        return [message for _, message in self.sent]

    def notes(self, channel: int) -> list[tuple[float, bytes]]:
        """The notes of a channel, started and ended, and when."""
        return [it for it in self.sent if it[1][0] in {0x80 | channel, 0x90 | channel}]

    def sounding(self, until: float = math.inf) -> set[tuple[int, int]]:
        """What a receiver hears after all that was sent up to a moment: (channel, key)."""
        heard: set[tuple[int, int]] = set()
        for moment, message in self.sent:
            kind, note = message[0] & 0xF0, (message[0] & 0x0F, message[1])
            if moment > until:
                break
            if kind == 0x90 and message[2]:
                assert note not in heard, "struck twice without an end"
                heard.add(note)
            elif kind in {0x80, 0x90}:
                assert note in heard, "ended twice"
                heard.discard(note)
        return heard


@pytest.fixture
def world() -> World:
    return World()


@pytest.fixture
def chord(world: World) -> HeldChord:
    return HeldChord(world.output, lambda: world.now)


def test_a_chord_starts_together_and_is_let_go_when_its_time_is_up(
    world: World, chord: HeldChord
) -> None:
    assert chord.held == math.inf
    chord.strike(C_MAJOR)
    assert world.sent == [(100.0, on(key)) for key in C_MAJOR]
    assert chord.held == 100.0 + HOLD
    world.now = 100.0 + HOLD - 0.001
    chord.expire()
    assert len(world.sent) == 3
    world.now = 100.0 + HOLD
    chord.expire()
    chord.expire()
    assert world.sent[3:] == [(world.now, off(key)) for key in C_MAJOR]
    assert chord.held == math.inf


def test_a_new_chord_cuts_the_one_before_and_has_its_whole_time(
    world: World, chord: HeldChord
) -> None:
    chord.strike(C_MAJOR)
    world.now += 1.0
    chord.strike(C_MAJOR)
    assert world.messages[3:] == [*map(off, C_MAJOR), *map(on, C_MAJOR)]
    world.now += 1.0
    chord.expire()
    assert len(world.sent) == 9
    chord.strike(D_MINOR)
    assert world.messages[9:] == [*map(off, C_MAJOR), *map(on, D_MINOR)]
    assert chord.held == 102.0 + HOLD


def test_no_keys_end_the_last_chord_and_nothing_follows(world: World, chord: HeldChord) -> None:
    chord.strike(C_MAJOR)
    chord.strike(())
    assert world.messages[3:] == [off(key) for key in C_MAJOR]
    assert chord.held == math.inf


def test_what_something_else_has_ended_is_not_ended_again(world: World, chord: HeldChord) -> None:
    chord.strike(C_MAJOR)
    world.output.release()
    sent = len(world.sent)
    world.now += HOLD
    chord.expire()
    assert len(world.sent) == sent


def test_on_another_port_nothing_is_ended_that_never_sounded_there(
    world: World, chord: HeldChord
) -> None:
    chord.strike(C_MAJOR)
    world.output.open("organ")
    assert world.messages[3:6] == [off(key) for key in C_MAJOR]
    sent = len(world.sent)
    chord.strike(D_MINOR)
    assert world.messages[sent:] == [on(key) for key in D_MINOR]


def test_without_a_port_a_chord_is_silent_and_is_forgotten_all_the_same(
    world: World, chord: HeldChord
) -> None:
    world.output.open("")
    chord.strike(C_MAJOR)
    world.output.open("piano")
    world.now += HOLD
    chord.expire()
    assert world.sent == []
    assert chord.held == math.inf


@pytest.mark.parametrize("keys", [(-1,), (128,), (60, 60), (64, 60)])
def test_keys_are_those_of_midi_upwards_and_each_once(keys: tuple[int, ...]) -> None:
    with pytest.raises(ValueError, match="0 to 127"):
        say.Strike(keys)


def test_keys_follow_one_another_from_the_lowest_and_are_let_go_together(
    world: World, chord: HeldChord
) -> None:
    chord.strike(C_MAJOR, 0.2)
    assert world.sent == [(100.0, on(48))]
    assert chord.held == pytest.approx(100.2)
    world.now = 100.1
    chord.expire()
    assert len(world.sent) == 1
    world.now = 100.2
    chord.expire()
    world.now = 100.4
    chord.expire()
    assert world.sent == [(100.0, on(48)), (100.2, on(52)), (100.4, on(55))]
    assert chord.held == pytest.approx(100.4 + HOLD)  # from the last key on
    world.now = 100.4 + HOLD
    chord.expire()
    assert world.messages[3:] == [off(key) for key in C_MAJOR]
    assert chord.held == math.inf


def test_a_chord_that_is_cut_strikes_no_more_of_its_keys(world: World, chord: HeldChord) -> None:
    chord.strike(C_MAJOR, 0.2)
    world.now = 100.1
    chord.strike(D_MINOR)
    world.now = 101.0
    chord.expire()
    assert world.messages == [on(48), off(48), *map(on, D_MINOR)]
    chord.let_go()
    assert world.messages[5:] == [off(key) for key in D_MINOR]


def test_keys_that_were_overslept_come_at_once_and_in_order(world: World, chord: HeldChord) -> None:
    chord.strike(C_MAJOR, 0.2)
    world.now = 100.3
    chord.expire()
    assert world.messages == [on(48), on(52)]
    world.now = 100.5
    chord.expire()
    assert world.messages == [on(48), on(52), on(55)]


@pytest.mark.parametrize("gap", [-1, 1001])
def test_a_gap_is_a_second_at_most(gap: int) -> None:
    with pytest.raises(ValueError, match="gap"):
        say.Strike((60,), gap)


# The process around it: a command arrives, the time is up, a click is due.


class Script:
    """Commands that arrive at their moments; waiting takes no time but the test's own."""

    def __init__(self, world: World, commands: Sequence[tuple[float, say.Up]]) -> None:
        self.closed = False
        self._world = world
        self._coming = [(moment, n, command) for n, (moment, command) in enumerate(commands)]
        heapq.heapify(self._coming)

    def wait(self, seconds: float) -> bytes:
        until = self._world.now + max(seconds, 0.0)
        moment, _, command = self._coming[0]
        if moment > until:
            self._world.now = until
            return b""
        self._world.now = max(self._world.now, moment)
        heapq.heappop(self._coming)
        self.closed = not self._coming
        return encode(command)


def serve(commands: Sequence[tuple[float, say.Up]], until: float) -> World:
    """Serve commands by the seconds at which they come; the pipe ends at the last second."""
    world = World()
    start = world.now

    def now() -> float:
        world.now += STEP
        return world.now

    timed = [(start + seconds, command) for seconds, command in commands]
    script = Script(world, [*timed, (start + until, say.Silence())])
    with open(os.devnull, "wb") as nobody:
        Service(script, Outbox(nobody.fileno()), world.output, now=now).serve()
    world.sent = [(moment - start, message) for moment, message in world.sent]
    world.output.close()
    return world


BAR = ScheduledBar(960, 0.5 / 960, (Event(0, CLICK_ON), Event(240, CLICK_OFF)))


def click(bars: int) -> list[tuple[float, say.Up]]:
    """Commands that load and start a click of one bar every half second."""
    messages = [message for bar in [BAR] * bars for message in bar_messages(bar)]
    return [(0.0, message) for message in (*messages, say.Start(1, 0))]


def test_the_process_wakes_when_the_time_is_up() -> None:
    world = serve([(0.2, say.Strike(C_MAJOR))], until=5.0)
    starts, ends = world.notes(CHANNEL)[:3], world.notes(CHANNEL)[3:]
    assert [message for _, message in starts + ends] == [*map(on, C_MAJOR), *map(off, C_MAJOR)]
    for moment, _ in starts:
        assert moment == pytest.approx(0.2, abs=1e-3)
    for moment, _ in ends:
        assert moment == pytest.approx(0.2 + HOLD, abs=1e-3)


def test_the_process_wakes_for_every_key_of_a_broken_chord() -> None:
    world = serve([(0.2, say.Strike(C_MAJOR, 150))], until=5.0)
    notes = world.notes(CHANNEL)
    assert [message for _, message in notes] == [*map(on, C_MAJOR), *map(off, C_MAJOR)]
    assert [moment for moment, _ in notes] == pytest.approx(
        [0.2, 0.35, 0.5, *[0.5 + HOLD] * 3], abs=1e-3
    )


def test_a_stop_in_the_middle_of_a_broken_chord_ends_it() -> None:
    world = serve([(0.2, say.Strike(C_MAJOR, 150)), (0.3, say.Stop())], until=5.0)
    assert [message for _, message in world.notes(CHANNEL)] == [on(48), off(48)]


@pytest.mark.parametrize("running", [False, True])
def test_a_stop_ends_the_chord_whether_the_click_runs_or_not(running: bool) -> None:
    begin = click(8) if running else []
    world = serve([*begin, (0.2, say.Strike(C_MAJOR)), (0.3, say.Stop())], until=0.4)
    ends = [it for it in world.notes(CHANNEL) if it[1][0] == 0x80]
    assert [message for _, message in ends] == [off(key) for key in C_MAJOR]
    assert ends[-1][0] == pytest.approx(0.3, abs=1e-3)


@pytest.mark.parametrize("command", [say.Silence(), say.Open("organ"), say.Open(""), say.Quit()])
def test_silence_another_port_and_the_end_release_the_chord(command: say.Up) -> None:
    world = serve([(0.2, say.Strike(C_MAJOR)), (0.3, command)], until=0.4)
    assert world.messages[3:6] == [off(key) for key in C_MAJOR]
    assert world.sounding() == set()


def test_the_end_of_the_pipe_releases_the_chord() -> None:
    world = serve([(0.2, say.Strike(C_MAJOR))], until=0.3)
    world.output.close()
    assert world.sounding() == set()


def test_a_chord_rings_on_into_a_run_that_starts_meanwhile() -> None:
    commands = [(0.1, say.Strike(C_MAJOR)), *((0.2, command) for _, command in click(8))]
    world = serve(commands, until=3.0)
    assert [moment for moment, _ in world.notes(CHANNEL)[3:]] == pytest.approx(
        [0.1 + HOLD] * 3, abs=1e-3
    )


chords = st.lists(st.integers(0, 127), max_size=8).map(lambda keys: tuple(sorted(set(keys))))
# Moments anywhere, and so that a chord ends around a click (the first one comes after 0.03 s).
moments = st.one_of(
    st.floats(0.0, 6.0),
    st.builds(
        lambda bar, shift: 0.03 + 0.5 * bar + shift, st.integers(0, 11), st.floats(-0.0005, 0.0005)
    ),
).map(lambda seconds: round(seconds, 6))
strikes = st.lists(st.tuples(moments, chords), max_size=12)


@given(strikes)
def test_every_chord_ends_in_time_and_no_click_moves(
    asked: list[tuple[float, tuple[int, ...]]],
) -> None:
    commands = [(at, say.Strike(keys)) for at, keys in asked]
    world = serve([*click(12), *commands], until=9.0)
    alone = serve(click(12), until=9.0)

    clicks, undisturbed = world.notes(9), alone.notes(9)
    assert [message for _, message in clicks] == [message for _, message in undisturbed]
    for (moment, _), (expected, _) in zip(clicks, undisturbed, strict=True):
        assert moment == pytest.approx(expected, abs=2e-4)

    # Independent account: the last chord asked for sounds for its time, cut at the click's end.
    end = 0.03 + 12 * 0.5
    by_time = sorted(commands, key=lambda command: command[0])
    for at in (0.1 * tenth + 0.0511 for tenth in range(80)):
        before = [(moment, strike.keys) for moment, strike in by_time if moment <= at]
        moment, keys = before[-1] if before else (-math.inf, ())
        if any(abs(at - edge) < 2e-3 for edge in (moment, moment + HOLD, end)):
            continue
        held = at < moment + HOLD and not moment < end < at
        heard = {key for channel, key in world.sounding(at) if channel == CHANNEL}
        assert heard == (set(keys) if held else set())
    assert world.sounding() == set()
