"""A player who listens: types lines, hears what is told, and time passes as the test says."""

from datetime import UTC, datetime
from fractions import Fraction
from pathlib import Path
from typing import Final

from tests.run.fake_time import World

from chartwalk.files import open_for_practice
from chartwalk.log import Store
from chartwalk.song import Song
from chartwalk_tui.plain.home import Home
from chartwalk_tui.plain.practice import Practice

SONGS: Final = Path(__file__).parents[2] / "songs"
LOOK: Final = 1 / 20  # seconds between two looks at the clock


def demo(name: str) -> Song:
    """Open a demo song by the name of its file, without the ending."""
    return open_for_practice(SONGS / f"{name}.lead")


class Listener:
    """A practice, its log, and its metronome in a time of the test's own.

    Where it is not ``connected`` it is not known yet where the click could sound.
    """

    def __init__(self, song: Song, store: Store | None = None, *, connected: bool = True) -> None:
        self.world = World()
        self.store = store or Store.in_memory(lambda: datetime(2031, 5, 5, 18, tzinfo=UTC))
        self._told: list[str] = []
        home = Home(self.store, lambda: self.world.metronome)
        if connected:
            home.metronome.connect()
        self.practice = Practice(home, song, self._told.append, lambda: self.world.now)

    def begin(self) -> list[str]:
        """Hear how the practice begins."""
        self.practice.begin()
        return self.heard()

    def heard(self) -> list[str]:
        """Return what was told since the last time."""
        told, self._told[:] = list(self._told), []
        return told

    def types(self, *lines: str) -> list[str]:
        """Type lines and hear what is told."""
        for line in lines:
            self.practice.do(line)
        return self.heard()

    def waits(self, beats: Fraction | float) -> list[str]:
        """Let some beats pass at the tempo now, and hear what is told."""
        end = self.world.now + float(beats) * 60 / float(self.practice.session.tempo)
        while self.world.now < end:
            self.world.pass_time(min(LOOK, end - self.world.now))
            self.practice.look()
        return self.heard()

    @property
    def sounding(self) -> bool:
        """Whether a note sounds at the port."""
        return bool(self.world.port.sounding)
