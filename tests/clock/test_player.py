"""The player in a time of the test's own: no waiting, no process."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chartwalk.clock import messages as say
from chartwalk.clock.player import LEAD, Player
from chartwalk.clock.schedule import Event, ScheduledBar
from chartwalk.clock.state import Change, State, after
from chartwalk.clock.wire import bar_messages

BEAT = 0.5
ON = bytes([0x99, 76, 100])
OFF = bytes([0x89, 76, 0])


class Stage:
    """A player, its time, and what it sent when."""

    def __init__(self, bars: list[ScheduledBar], now: float = 100.0) -> None:
        self.now = now
        self.sent: list[tuple[float, bytes]] = []
        self.releases: list[range | None] = []
        self.player = Player(self, lambda: self.now)
        for bar in bars:
            for message in bar_messages(bar):
                self.player.handle(message)

    def send(self, message: bytes) -> None:
        self.sent.append((self.now, message))

    def release(self, channels: range | None = None) -> None:
        self.releases.append(channels)

    def pass_time(self, until: float = float("inf")) -> None:
        """Play everything up to a moment, each thing exactly when it is due."""
        while (due := self.player.due) is not None and due < until:
            self.now = max(self.now, due)
            self.player.play()
        self.now = max(self.now, until) if until < float("inf") else self.now

    def take(self) -> list[say.Down]:
        reports = list(self.player.reports)
        self.player.reports.clear()
        return reports


def bar(*events: Event) -> ScheduledBar:
    return ScheduledBar(960, BEAT / 960, events)


def test_a_run_is_played_to_its_end_and_says_so() -> None:
    stage = Stage([bar(Event(0, ON), Event(480, OFF)), bar(Event(0, ON))])
    stage.player.handle(say.Start(7, 0))
    stage.pass_time()
    start = 100.0 + LEAD
    assert stage.sent == [(start, ON), (start + 0.25, OFF), (start + 0.5, ON)]
    anchors = [say.Anchor(7, start + n * BEAT, n, 0.0, BEAT / 960, State.RUNNING) for n in range(2)]
    assert stage.take() == [*anchors, say.Ended(7)]
    assert stage.releases == [None]
    assert stage.player.state is State.STOPPED
    assert stage.player.late.count == 3


def test_stop_holds_at_once_and_releases() -> None:
    stage = Stage([bar(Event(0, ON), Event(480, ON))])
    stage.player.handle(say.Start(1, 0))
    stage.pass_time(100.1)
    stage.player.handle(say.Stop())
    assert stage.player.due is None
    assert stage.releases == [None]
    stage.player.handle(say.Stop())
    assert stage.releases == [None]
    assert len(stage.sent) == 1


def test_running_again_starts_over_from_the_bar_given() -> None:
    stage = Stage([bar(Event(0, ON)), bar(Event(0, OFF))])
    stage.player.handle(say.Start(1, 0))
    stage.pass_time(100.2)
    stage.player.handle(say.Start(2, 1))
    stage.pass_time()
    assert [message for _, message in stage.sent] == [ON, OFF]
    assert stage.take()[-1] == say.Ended(2)


def test_a_rate_before_the_start_holds_for_the_first_bar() -> None:
    stage = Stage([bar(Event(480, ON))])
    stage.player.handle(say.Start(1, 0))
    stage.player.handle(say.Rate(0.5))
    stage.pass_time()
    assert stage.sent == [(100.0 + LEAD + BEAT, ON)]


def test_a_rate_within_the_first_bar_waits_for_the_bar_line_even_before_its_first_event() -> None:
    stage = Stage([bar(Event(480, ON)), bar(Event(480, OFF))])
    stage.player.handle(say.Start(1, 0))
    stage.pass_time(100.0 + LEAD + 0.1)
    stage.player.handle(say.Rate(2.0))
    stage.pass_time()
    start = 100.0 + LEAD
    assert stage.sent == [(start + 0.25, ON), (pytest.approx(start + 0.625), OFF)]


def test_late_notes_are_dropped_and_what_ends_notes_is_not() -> None:
    stage = Stage([bar(Event(0, ON), Event(96, OFF), Event(192, ON), Event(864, ON))])
    stage.player.handle(say.Start(1, 0))
    stage.now = 100.0 + LEAD + 0.21  # ticks 0 to 403 are past; 192 is due at 0.1
    stage.player.play()
    assert [message for _, message in stage.sent] == [OFF]
    stage.pass_time()
    assert [message for _, message in stage.sent] == [OFF, ON]


def test_a_stall_stops_and_says_so() -> None:
    stage = Stage([bar(Event(0, ON), Event(480, ON))] * 8)
    stage.player.handle(say.Start(3, 0))
    stage.pass_time(100.2)
    stage.take()
    stage.now = 103.0
    stage.player.play()
    anchor, failed = stage.take()
    assert anchor == say.Anchor(3, 103.0, 0, 480.0, BEAT / 960, State.STOPPED)
    assert isinstance(failed, say.Failed)
    assert "held up" in failed.text
    assert len(stage.sent) == 1
    assert stage.releases == [None]


def test_bars_can_be_added_while_running_and_clearing_stops() -> None:
    stage = Stage([bar(Event(0, ON))])
    stage.player.handle(say.Start(1, 0))
    stage.pass_time(100.2)
    for message in bar_messages(bar(Event(0, OFF))):
        stage.player.handle(message)
    stage.pass_time(100.7)
    assert [message for _, message in stage.sent] == [ON, OFF]
    stage.player.handle(say.Clear())
    assert stage.player.due is None
    assert stage.releases == [None]
    with pytest.raises(ValueError, match="0 bars"):
        stage.player.handle(say.Start(2, 0))


def test_silence_reaches_all_channels_and_stops_nothing() -> None:
    stage = Stage([bar(Event(0, ON))])
    stage.player.handle(say.Start(1, 0))
    stage.player.handle(say.Silence())
    assert stage.releases == [range(16)]
    assert stage.player.due is not None


@pytest.mark.parametrize(
    "command", [say.Rate(0.0), say.Start(1, 99), say.Strike((60,)), say.Open("x"), say.Quit()]
)
def test_what_can_not_be_done_raises_and_changes_nothing(command: say.Up) -> None:
    stage = Stage([bar(Event(0, ON))])
    with pytest.raises(ValueError, match=r"\w"):
        stage.player.handle(command)
    assert stage.player.state is State.STOPPED
    assert stage.player.due is None


def test_a_rate_asked_for_while_stopped_holds_from_the_first_bar() -> None:
    stage = Stage([bar(), bar(Event(480, ON))])
    stage.player.handle(say.Rate(0.5))
    stage.player.handle(say.Start(1, 1))
    stage.pass_time()
    assert stage.sent == [(100.0 + LEAD + BEAT, ON)]


def test_a_rate_asked_for_on_the_bar_line_holds_from_it() -> None:
    stage = Stage([bar()] * 3)
    stage.player.handle(say.Start(1, 0))
    line = 100.0 + LEAD + BEAT
    stage.pass_time(line)
    stage.player.handle(say.Rate(2.0))
    stage.pass_time()
    assert stage.now == pytest.approx(line + BEAT, abs=1e-9)


def test_a_bar_line_passed_late_moves_nothing() -> None:
    stage = Stage([bar(), bar(Event(480, ON))])
    stage.player.handle(say.Start(1, 0))
    line = 100.0 + LEAD + BEAT
    stage.now = line + 0.04
    stage.player.play()
    stage.pass_time()
    ((moment, message),) = stage.sent
    assert message == ON
    assert moment == pytest.approx(line + BEAT / 2, abs=1e-9)


def test_an_hour_does_not_drift() -> None:
    stage = Stage([ScheduledBar(3 * 960, 60 / 177 / 960)] * 3540, 12345.678)
    stage.player.handle(say.Start(1, 0))
    stage.pass_time()
    assert stage.now - (12345.678 + LEAD) == pytest.approx(3600, abs=1e-6)


bar_lists = st.lists(
    st.builds(
        lambda ticks, tempo, places: ScheduledBar(
            ticks, 60 / tempo / 960, tuple(Event(at, ON) for at in sorted(places) if at < ticks)
        ),
        st.integers(1, 9600),
        st.floats(20, 400),
        st.lists(st.integers(0, 9599), max_size=8),
    ),
    min_size=1,
    max_size=40,
)
rates = st.lists(st.tuples(st.floats(0.001, 60), st.floats(0.1, 10)), max_size=20).map(sorted)


@given(bar_lists, st.floats(0, 1e6), rates)
def test_no_message_is_off_the_grid_under_random_rates(
    bars: list[ScheduledBar], now: float, asked: list[tuple[float, float]]
) -> None:
    stage = Stage(bars, now)
    stage.player.handle(say.Start(1, 0))
    start = now + LEAD
    for after_start, rate in asked:
        stage.pass_time(start + after_start)
        stage.player.handle(say.Rate(rate))
    stage.pass_time()
    assert stage.player.late.worst == 0
    lines = [report.moment for report in stage.take() if isinstance(report, say.Anchor)]

    # The same in exact fractions: the bars end to end, each at the last rate asked for before it.
    sent = iter(stage.sent)
    exact = Fraction(start)
    for bar, line in zip(bars, lines, strict=True):
        assert abs(Fraction(line) - exact) < 1e-7
        before = [rate for after_start, rate in asked if start + after_start <= line]
        seconds = Fraction(bar.tick_seconds) / Fraction(before[-1] if before else 1.0)
        for event in bar.events:
            moment, message = next(sent)
            assert message == event.message
            assert abs(Fraction(moment) - (exact + event.tick * seconds)) < 1e-7
        exact += bar.ticks * seconds
    assert next(sent, None) is None


@pytest.mark.parametrize("change", [Change.END, Change.STALL])
def test_a_clock_that_is_stopped_neither_ends_nor_stalls(change: Change) -> None:
    with pytest.raises(ValueError, match="never"):
        after(State.STOPPED, change)


@pytest.mark.parametrize("change", Change)
def test_every_change_is_known_to_a_running_clock(change: Change) -> None:
    assert after(State.RUNNING, change) is (
        State.RUNNING if change is Change.RUN else State.STOPPED
    )
