"""A player at the desk: presses keys as the Stand takes them, and the screen follows the clock."""

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from typing import Final

from tests.run.fake_time import START, World

from chartwalk.arrange import Arrangement
from chartwalk.clock.schedule import TICKS_PER_QUARTER
from chartwalk.clock.state import State
from chartwalk.conductor import Conductor, Done
from chartwalk.guide import Part
from chartwalk.leadfile import loads
from chartwalk.metronome import Where
from chartwalk.mode import Mode
from chartwalk.practice import Session
from chartwalk.roadmap import unroll
from chartwalk.run import Score
from chartwalk.settings import Settings
from chartwalk.song import Song
from chartwalk.tap import Taps

FRAME: Final = 1 / 30  # seconds between two looks at the clock


def song_of(rows: str, meter: str = "4/4") -> Song:
    """Turn rows of a `.lead` text into a song."""
    chart = loads(f"title T\nmeter {meter}\n\n{rows}\n").chart
    return Song(Path("songs/t.lead"), chart, unroll(chart))


class Desk:
    """A session, its conductor, and the metronome in a time of the test's own.

    After every look at the clock ``check`` is called.
    """

    def __init__(
        self,
        song: Song,
        latency: float = 0.0,
        check: "Callable[[Desk], None]" = lambda desk: None,
        **chosen: str,
    ) -> None:
        self.world = World(latency)
        self.conductor = Conductor(self.world.metronome)
        self.session = Session(song)
        self.settings = Settings()
        self.taps = Taps()
        self.where: Where | None = None
        self.done: list[Done] = []
        self.following = False
        self._check = check
        for name, value in chosen.items():
            self.change(name.replace("_", "."), value)

    @property
    def score(self) -> Score:
        return self.world.metronome.score

    @property
    def seconds(self) -> float:
        """The time since the test began."""
        return self.world.now - START

    @property
    def sounds(self) -> bool:
        """Whether the clock runs."""
        return self.world.process.player.state is State.RUNNING

    @property
    def speed(self) -> float:
        """How many times as fast as written the bar under way sounds."""
        placed = self.world.process.player._placed
        bar = self.score.turns[placed.index].bar
        written = 60 / float(bar.tempo * bar.meter.beat) / TICKS_PER_QUARTER
        return written / placed.tick_seconds

    # The keys.

    def run(self) -> None:
        if self.session.mode.moving:
            self.halt()
        else:
            self.session = self.conductor.run(self.session)
            self.following = True

    def loop(self) -> None:
        again = not self.session.lap
        self.halt()
        if again:
            self.session = self.conductor.loop(self.session)
            self.following = True

    def listen(self) -> None:
        again = self.session.mode is not Mode.LISTENING
        self.halt()
        if again:
            self.session = self.conductor.listen(self.session)
            self.following = True

    def halt(self) -> None:
        if self.session.mode is not Mode.STOPPED:
            self.session = self.conductor.stop(self.session)
        self.following = False

    def go(self, session: Session) -> None:
        """Move by hand."""
        self.halt()
        self.session = replace(session, mode=Mode.STOPPED, lap=0)

    def tempo(self, session: Session) -> None:
        self.session = session
        self.conductor.tempo(session)

    def faster(self, up: bool = True) -> None:
        self.tempo(self.session.in_tempo(up=up))

    def tap(self) -> None:
        self.taps = self.taps.tap(self.world.now)
        if self.taps.tempo is not None:
            self.tempo(self.session.at_tempo(self.taps.tempo))

    def mark(self) -> None:
        self.conductor.trouble(self.session)

    def start_here(self) -> None:
        self.session = self.conductor.passage(self.session.starting_here())

    def end_here(self) -> None:
        self.session = self.conductor.passage(self.session.ending_here())

    def change(self, name: str, value: str) -> None:
        self._set(self.settings.having(name, value))

    def toggle(self, part: Part) -> None:
        self._set(self.settings.toggled(part))

    def shift(self, semitones: int) -> None:
        self._arrange(replace(self.session.arrangement, shift=semitones))

    def depth(self) -> None:
        self._arrange(self.session.arrangement.plainer())

    # The time.

    def wait(self, seconds: float) -> None:
        """Let time pass, and look at the clock as often as a screen does."""
        end = self.world.now + seconds
        while self.world.now < end:
            self.world.pass_time(min(FRAME, end - self.world.now))
            self.look()

    def wait_beats(self, beats: Fraction | float, tempo: float) -> None:
        self.wait(float(beats) * 60 / tempo)

    def look(self) -> None:
        """Ask the clock where it is."""
        if self.following:
            self.session, self.where = self.conductor.follow(self.session)
            self.following = self.where is not None
            self.done += self.conductor.take_done()
        self._check(self)

    def _set(self, settings: Settings) -> None:
        self.settings = settings
        self.conductor.manner, self.conductor.ladder = settings.manner, settings.ladder
        self.world.metronome.offset = settings.offset
        self.conductor.refresh(self.session)

    def _arrange(self, arrangement: Arrangement) -> None:
        self.session = self.session.arrange(arrangement)
        if self.session.mode.moving:
            self.conductor.refresh(self.session)
