"""What every part of the Stand works on: the session, and how it is shown."""

from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING, Final

from textual.timer import Timer

from chartwalk.chord import ChordSymbol
from chartwalk.key import Key
from chartwalk.mode import Mode
from chartwalk.practice import Session
from chartwalk.song import Song
from chartwalk_tui import views
from chartwalk_tui.actions import STAND, WHILE_LOOPING, WHILE_RUNNING
from chartwalk_tui.screens.board import Board, Seen
from chartwalk_tui.screens.room import Room, foot_keys
from chartwalk_tui.widgets.footer import Footer

if TYPE_CHECKING:
    from chartwalk.analysis import KeyGuess

WIDE: Final = 100  # columns from which a long message leaves the music in sight


class OnTheStand(Room):
    """A session on the board."""

    def __init__(self, song: Song, logged: str = "") -> None:
        super().__init__()
        self.logged = logged  # the song's id in the log, empty where it could not be written
        self.session = Session(song)
        self.marks: Mapping[int, int] = {}
        self.guess: KeyGuess | None = None
        self.numerals = False  # whether they are shown
        self.frames: Timer | None = None
        self.purpose = ""  # what a run is for, where it is more than a run
        self._left: int | None = None  # the minutes left of a plan's part, as they are shown

    @property
    def seen(self) -> Seen:
        """What the board shows."""
        numerals = self._numeral if self.numerals else None
        left = self.home.agenda.left if self.home.agenda else None
        return Seen(self.session, self.marks, self.guess, numerals, left)

    @property
    def lasting(self) -> Session:
        """The session as it is kept for the next time."""
        return self.session

    def show(self) -> None:
        """Show the session, and the keys that matter now."""
        seen = self.seen
        self._left = seen.left
        self.query_one(Board).show(seen)
        moving = WHILE_LOOPING if self.session.lap else WHILE_RUNNING
        actions = moving if self.session.mode.moving else STAND
        self.query_one("#foot", Footer).show(foot_keys(actions))

    def look_at_the_time(self) -> None:
        """Show how many minutes are left of a plan's part, as they get fewer."""
        if self.home.agenda and self.home.agenda.left != self._left:
            self.show()

    def go(self, session: Session) -> None:
        """Move by hand; a run stops, for the hands are elsewhere now."""
        self.halt()
        self.session = replace(session, mode=Mode.STOPPED, lap=0, looped=None)
        self.show()

    def halt(self) -> None:
        """Stop what runs or waits; nothing is shown yet."""
        if self.session.mode is not Mode.STOPPED:
            self.session = self.home.conductor.stop(self.session)
        self.heed()
        if self.frames:
            self.frames.pause()

    def heed(self) -> None:
        """Write down what was played; the part of the Stand that marks does."""

    def _numeral(self, symbol: ChordSymbol, key: Key) -> str:
        return self.home.numeral(symbol, views.key_heard(self.session, key, self.guess))
