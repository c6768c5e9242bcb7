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
        self.ended: list[float] = []
        self.player = Player(self, lambda: self.now)
        for bar in bars:
            for message in bar_messages(bar):
                self.player.handle(message)

    def send(self, message: bytes, due: float | None = None) -> None:
        assert due is not None
        assert due <= self.now
        self.sent.append((self.now, message))

    def end_notes(self) -> None:
        self.ended.append(self.now)

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


# Other bars in place of those to come.


def keyed(key: int, ticks: int = 960) -> ScheduledBar:
    """A bar of half a second that strikes a key of its own and ends it."""
    on, off = bytes([0x99, key, 100]), bytes([0x89, key, 0])
    return ScheduledBar(ticks, BEAT / 960, (Event(0, on), Event(ticks // 2, off)))


def replace(first: int, bars: list[ScheduledBar]) -> list[say.Up]:
    """The messages that put other bars in place."""
    return [say.Replace(first, len(bars)), *(m for bar in bars for m in bar_messages(bar))]


def struck(stage: Stage) -> list[int]:
    return [message[1] for _, message in stage.sent if message[0] == 0x99]


@pytest.mark.parametrize(
    ("now", "first", "keys", "expected", "cut"),
    [
        # Five bars, keys 60 to 64; "now" is in bars after the start.
        (1.5, 2, [70, 71, 72], [60, 61, 70, 71, 72], 2),
        (1.5, 2, [70], [60, 61, 70], 2),  # shorter
        (1.5, 2, [70, 71, 72, 73, 74], [60, 61, 70, 71, 72, 73, 74], 2),  # longer
        (1.5, 2, [], [60, 61], None),  # nothing more
        (1.5, 4, [70], [60, 61, 62, 63, 70], 4),  # far ahead: the bar lines before are left alone
        (1.5, 5, [70, 71], [60, 61, 62, 63, 64, 70, 71], None),  # added at the end
        (1.5, 9, [70], [60, 61, 62, 63, 64, 70], None),
        (1.5, 1, [70, 71], [60, 61, 71], 2),  # bar 1 has begun: it is played to its end
        (1.5, 0, [70, 71, 72], [60, 61, 72], 2),
        (1.5, 0, [70], [60, 61], None),  # no bar is left
        (1.0, 1, [70, 71], [60, 61, 71], 2),  # exactly on the bar line: it has begun
        (1.0 - 1e-6, 1, [70, 71], [60, 70, 71], 1),
        (1.0 + 1e-6, 1, [70, 71], [60, 61, 71], 2),
        (-0.01, 0, [70, 71], [60, 71], 1),  # before the first bar, which is led up to already
        (4.5, 4, [70], [60, 61, 62, 63, 64], None),
        (4.5, 5, [70], [60, 61, 62, 63, 64, 70], None),
    ],
)  # fmt: skip
def test_bars_to_come_are_replaced_and_what_has_begun_is_not(
    now: float, first: int, keys: list[int], expected: list[int], cut: int | None
) -> None:
    stage = Stage([keyed(key) for key in range(60, 65)])
    stage.player.handle(say.Start(1, 0))
    start = 100.0 + LEAD
    stage.pass_time(start + now * BEAT)
    if now == 1.0:
        stage.player.play()
    for message in replace(first, [keyed(key) for key in keys]):
        stage.player.handle(message)
    stage.pass_time()
    assert struck(stage) == expected
    assert [moment for moment, message in stage.sent if message[0] == 0x99] == pytest.approx(
        [start + place * BEAT for place in range(len(expected))], abs=1e-9
    )
    # What the bar before leads up to is ended where others take its place, and nowhere else.
    assert stage.ended == ([pytest.approx(start + cut * BEAT)] if cut is not None else [])
    assert stage.take()[-1] == say.Ended(1)
    assert stage.releases == [None]


def test_until_the_last_new_bar_has_come_all_is_as_before() -> None:
    stage = Stage([keyed(key) for key in range(60, 65)])
    stage.player.handle(say.Start(1, 0))
    head, *others = replace(1, [keyed(key) for key in (70, 71, 72, 73)])
    stage.pass_time(100.0 + LEAD + 0.5 * BEAT)
    stage.player.handle(head)
    for early in others[:-1]:
        stage.player.handle(early)
    stage.pass_time(100.0 + LEAD + 2.5 * BEAT)
    assert struck(stage) == [60, 61, 62]
    stage.player.handle(others[-1])
    stage.pass_time()
    # 70 and 71 were to take the place of bars that have been played.
    assert struck(stage) == [60, 61, 62, 72, 73]


def test_a_replacement_that_is_overtaken_by_another_is_forgotten() -> None:
    stage = Stage([keyed(key) for key in range(60, 63)])
    stage.player.handle(say.Start(1, 0))
    stage.player.handle(say.Replace(1, 3))
    overtaken = list(bar_messages(keyed(90)))
    for message in (*overtaken, *replace(1, [keyed(70)])):
        stage.player.handle(message)
    stage.pass_time()
    assert struck(stage) == [60, 70]


def test_two_replacements_before_one_bar_line_end_notes_at_both_places() -> None:
    stage = Stage([keyed(key) for key in range(60, 65)])
    stage.player.handle(say.Start(1, 0))
    stage.pass_time(100.0 + LEAD + 0.5 * BEAT)
    for first, keys in ((1, range(70, 74)), (3, range(80, 82))):
        for message in replace(first, [keyed(key) for key in keys]):
            stage.player.handle(message)
    stage.pass_time()
    assert struck(stage) == [60, 70, 71, 80, 81]
    assert stage.ended == pytest.approx([100.0 + LEAD + n * BEAT for n in (1, 3)])


@pytest.mark.parametrize(("first", "keys"), [(0, [70, 71]), (2, [70]), (0, []), (3, [70])])
def test_bars_are_replaced_while_it_stands_still(first: int, keys: list[int]) -> None:
    stage = Stage([keyed(key) for key in range(60, 63)])
    for message in replace(first, [keyed(key) for key in keys]):
        stage.player.handle(message)
    assert stage.player.due is None
    expected = [*range(60, 60 + first), *keys]
    if expected:
        stage.player.handle(say.Start(1, 0))
        stage.pass_time()
    assert struck(stage) == expected
    assert stage.ended == []


def test_a_replacement_after_a_run_holds_from_any_bar() -> None:
    stage = Stage([keyed(60), keyed(61)])
    stage.player.handle(say.Start(1, 0))
    stage.pass_time(100.0 + LEAD + 1.5 * BEAT)
    stage.player.handle(say.Stop())
    for message in replace(0, [keyed(70)]):
        stage.player.handle(message)
    stage.player.handle(say.Start(2, 0))
    stage.pass_time()
    assert struck(stage) == [60, 61, 70]


def test_a_new_schedule_forgets_bars_on_their_way() -> None:
    stage = Stage([keyed(60)])
    stage.player.handle(say.Replace(0, 1))
    stage.player.handle(say.Clear())
    for message in bar_messages(keyed(61)):
        stage.player.handle(message)
    stage.player.handle(say.Start(1, 0))
    stage.pass_time()
    assert struck(stage) == [61]


replacements = st.lists(
    st.tuples(
        st.floats(0, 12) | st.integers(0, 24).map(lambda half: half / 2),
        st.integers(0, 12),
        st.lists(st.integers(0, 999), max_size=6),
    ),
    max_size=8,
)


@given(st.integers(1, 8), replacements)
def test_any_replacements_leave_the_grid_and_the_order_alone(
    count: int, asked: list[tuple[float, int, list[int]]]
) -> None:
    """A bar is told by its length: the same row of bars is kept by hand beside the player."""
    stage = Stage([ScheduledBar(960 + n, BEAT / 960) for n in range(count)])
    stage.player.handle(say.Start(1, 0))
    expected = [960 + n for n in range(count)]
    for moment, first, lengths in sorted(asked, key=lambda one: one[0]):
        stage.pass_time(100.0 + LEAD + moment * BEAT)
        if stage.player.state is State.STOPPED:
            break
        begun = stage.player._placed.index + 1
        for message in replace(first, [ScheduledBar(2000 + n, BEAT / 960) for n in lengths]):
            stage.player.handle(message)
        keep = min(max(first, begun), len(expected))
        expected[keep:] = [2000 + n for n in lengths[max(0, keep - first) :]]
    stage.pass_time()
    anchors = [report for report in stage.take() if isinstance(report, say.Anchor)]
    assert [anchor.bar for anchor in anchors] == list(range(len(anchors)))
    for anchor, later, ticks in zip(anchors, anchors[1:], expected, strict=False):
        assert later.moment - anchor.moment == pytest.approx(ticks * BEAT / 960)
    assert len(anchors) == len(expected)
