"""Nothing drifts, and no deadline is off the grid: the player against exact fractions.

The player is moved in a time of the test's own and always woken a little late; when it says that
its messages are due is held against the same bars laid end to end without any rounding.
"""

import math
import random
from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import accumulate

from hypothesis import given
from hypothesis import strategies as st

from chartwalk.clock import messages as say
from chartwalk.clock.player import LEAD, Player
from chartwalk.clock.schedule import Event, ScheduledBar
from chartwalk.clock.wire import bar_messages

MICROSECOND = Fraction(1, 1_000_000)
HOUR = 3600.0


class Stage:
    """A player that is woken up to 5 ms late; ``sent`` holds each message and when it was due."""

    def __init__(self, now: float) -> None:
        self.now = now
        self.sent: list[tuple[float, bytes]] = []
        self.player = Player(self, lambda: self.now)
        self._held_up = random.Random("held up")

    def send(self, message: bytes, due: float | None = None) -> None:
        assert due is not None
        self.sent.append((due, message))

    def end_notes(self) -> None:
        pass

    def release(self, channels: range | None = None) -> None:
        pass

    def tell(self, *commands: say.Up) -> None:
        for command in commands:
            self.player.handle(command)

    def load(self, bars: Sequence[ScheduledBar]) -> None:
        for bar in bars:
            self.tell(*bar_messages(bar))

    def step(self, until: float = math.inf) -> bool:
        """Play what is due next, before a moment; return whether there is anything."""
        due = self.player.due
        if due is None or due >= until:
            return False
        self.now = min(max(self.now, due + self._held_up.uniform(0, 0.005)), until)
        self.player.play()
        return True

    def pass_time(self, until: float) -> None:
        """Play up to a moment."""
        while self.step(until):
            pass
        self.now = until


class Grid:
    """The same in exact fractions: bars end to end, nothing kept but where this one began."""

    def __init__(self, bars: Sequence[ScheduledBar]) -> None:
        self._bars = list(bars)
        self._rate = Fraction(1)
        self._runs = False

    def start(self, moment: float, first: int) -> None:
        self._runs = True
        self._enter(first, Fraction(moment))

    def stop(self) -> None:
        self._runs = False

    def rate(self, rate: float, now: float) -> None:
        """Hold from the next bar line on, or at once before the first."""
        self._rate = Fraction(rate)
        if self._runs and now < self._begin:
            self._enter(self._index, self._begin)

    def replace(self, first: int, bars: Sequence[ScheduledBar]) -> None:
        """Change the bars that have not begun."""
        begun = self._index + 1 if self._runs else 0
        written = [*self._bars[:first], *bars]
        self._bars = [*self._bars[:begun], *written[begun:]]

    def deadlines(self, until: float) -> Iterator[tuple[Fraction, bytes]]:
        """What is due before a moment."""
        while self._runs:
            while self._events:
                event = self._events[0]
                moment = self._begin + event.tick * self._seconds
                if moment >= until:
                    return
                yield moment, self._events.pop(0).message
            if self._end >= until:
                return
            if self._index + 1 == len(self._bars):
                self._runs = False
            else:
                self._enter(self._index + 1, self._end)

    def _enter(self, index: int, begin: Fraction) -> None:
        bar = self._bars[index]
        self._index, self._begin, self._events = index, begin, list(bar.events)
        self._seconds = Fraction(bar.tick_seconds) / self._rate
        self._end = begin + bar.ticks * self._seconds


def beat(note: int) -> bytes:
    return bytes([0x99, note, 100])


def test_an_hour_of_one_tempo_does_not_drift_even_after_a_month_of_uptime() -> None:
    bar = ScheduledBar(3 * 960, 60 / 177 / 960, (Event(0, beat(76)),))
    stage = Stage(30 * 24 * HOUR)
    stage.load([bar] * 3540)
    stage.tell(say.Start(1, 0))
    start = Fraction(stage.now + LEAD)
    stage.pass_time(stage.now + 2 * HOUR)
    assert len(stage.sent) == 3540
    for number, (due, _) in enumerate(stage.sent):
        exact = start + number * 3 * 960 * Fraction(bar.tick_seconds)
        assert abs(Fraction(due) - exact) < 2 * MICROSECOND


def test_two_hundred_thousand_bars_of_random_tempos_do_not_drift() -> None:
    chance = random.Random("tempos")
    kinds = [
        ScheduledBar(beats * 960, 60 / tempo / 960, (Event(480, beat(60 + beats)),))
        for tempo in range(40, 240, 7)
        for beats in (2, 3, 4, 5)
    ]
    bars = chance.choices(kinds, k=200_000)
    # Sixteenths, so that the exact sum of all bars has a denominator that can be handled.
    rates = [Fraction(chance.randint(8, 32), 16) for _ in range(400)]
    stage = Stage(100_000.0)
    stage.load(bars)
    stage.tell(say.Start(1, 0))
    lengths = []
    start = stage.now + LEAD
    for number, rate in enumerate(rates):
        stage.tell(say.Rate(float(rate)))
        mine = bars[number * 500 : (number + 1) * 500]
        lengths += [bar.ticks * Fraction(bar.tick_seconds) / rate for bar in mine]
        while len(stage.sent) < len(lengths):  # the next rate comes within the last of these bars
            assert stage.player.due is not None
            stage.step()
        stage.player.reports.clear()
    assert stage.now - start > 50 * HOUR
    lines = accumulate(lengths, initial=Fraction(start))
    worst = max(
        abs(Fraction(due) - line - length * Fraction(480, bar.ticks))
        for (due, _), line, length, bar in zip(stage.sent, lines, lengths, bars, strict=False)
    )
    assert worst < MICROSECOND


bars_of_a_song = st.lists(
    st.builds(
        lambda ticks, tempo, places, note: ScheduledBar(
            ticks,
            60 / tempo / 960,
            tuple(Event(place, beat(note)) for place in sorted(places) if place < ticks),
        ),
        st.integers(240, 7680),
        st.integers(30, 300),
        st.lists(st.integers(0, 7679), max_size=5),
        st.integers(0, 127),
    ),
    min_size=1,
    max_size=12,
)
wishes = st.one_of(
    st.tuples(st.just("rate"), st.floats(0.1, 10)),
    st.tuples(st.just("jump"), st.integers(0, 11)),
    st.tuples(st.just("rewrite"), st.tuples(st.integers(0, 11), bars_of_a_song)),
    st.tuples(st.just("stop"), st.none()),
)
# No wish falls within a rounding error of a bar line or an event, where either order is right.
moments = st.integers(1, 400).map(lambda hundredths: hundredths / 100 + 0.003_141_592_653)


@given(bars_of_a_song, st.floats(0, 1e6), st.lists(st.tuples(moments, wishes), max_size=25))
def test_no_deadline_is_off_the_grid_under_random_tempos_jumps_and_rewrites(
    bars: list[ScheduledBar], now: float, asked: list[tuple[float, tuple[str, object]]]
) -> None:
    stage, grid = Stage(now), Grid(bars)
    count = len(bars)
    stage.load(bars)
    stage.tell(say.Start(0, 0))
    grid.start(now + LEAD, 0)
    exact: list[tuple[Fraction, bytes]] = []
    for run, (pause, wish) in enumerate(asked, start=1):
        until = stage.now + pause
        stage.pass_time(until)
        exact += grid.deadlines(until)
        match wish:
            case "rate", float(rate):
                stage.tell(say.Rate(rate))
                grid.rate(rate, until)
            case "jump", int(first) if first < count:
                stage.tell(say.Start(run, first))
                grid.start(until + LEAD, first)
            case "rewrite", (int(first), list(others)):
                first = min(first, count)
                stage.tell(say.Replace(first, len(others)))
                stage.load(others)
                grid.replace(first, others)
                count = len(grid._bars)
            case "stop", None:
                stage.tell(say.Stop())
                grid.stop()
    end = stage.now + 1e6
    stage.pass_time(end)
    exact += grid.deadlines(end)
    assert [message for _, message in stage.sent] == [message for _, message in exact]
    for (due, _), (moment, _) in zip(stage.sent, exact, strict=True):
        assert abs(Fraction(due) - moment) < MICROSECOND
