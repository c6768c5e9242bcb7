"""The drill: a trouble spot round and round, slow first, faster when it is clean."""

import time
from fractions import Fraction
from typing import TYPE_CHECKING, Final

from chartwalk.practice import Session
from chartwalk_tui.screens.stand.marking import Marking
from chartwalk_tui.screens.stand.playing import Playing

if TYPE_CHECKING:
    from chartwalk.trouble import Spot, Underway

DRILL: Final = "drill"
NO_LONGER: Final = "These bars are no longer played: the road leads past them."


class Drilling(Playing, Marking):
    """Drills on the Stand."""

    drilled: "Underway | None" = None

    def start_drill(self, spot: "Spot") -> None:
        """Drill a spot of the song on the Stand."""
        from chartwalk.trouble import Underway, Wish  # noqa: PLC0415 - not at the start

        self.halt()
        settings = self.home.settings
        wish = Wish(settings.clean_rounds, self._minutes_for(spot), settings.fuller)
        conductor, now = self.home.conductor, time.monotonic()
        begun = Underway.begin(conductor, self.session, spot, wish, now)
        if begun is None:
            self.say(NO_LONGER)
            return
        self.session, self.drilled = begun
        self.purpose = DRILL
        self.started()
        self.say(self.drilled.told)

    def _minutes_for(self, spot: "Spot") -> Fraction:
        """Return how long a drill may last: as set, but no longer than the part of a plan it is."""
        longest, agenda = Fraction(self.home.settings.drill_minutes), self.home.agenda
        left = agenda.left_for(spot) if agenda else None
        return longest if left is None else min(longest, Fraction(left))

    def follow(self) -> None:
        """Follow the clock; tell when and why the drill changes, and end it when its time is up."""
        lap = self.session.lap
        rounds = self.home.conductor.plan
        super().follow()
        if self.drilled is None:
            return
        from chartwalk.trouble import Drilled  # noqa: PLC0415 - there since the drill began

        if not isinstance(rounds, Drilled):
            return
        if self.session.mode.moving:
            self.drilled.watch(self.home.conductor, self.session, rounds, time.monotonic())
            lap = self.session.lap - 1
        if self.session.mode.moving or self.ran_out:  # a clock that was lost says so itself
            self.drilled, words = self.drilled.news(rounds, lap)
            if words:
                self.say(words, beside=self.naming is not None)
        if not self.session.mode.moving:
            self.ran_out = False
            self._restore()
            self.show()

    def go(self, session: Session) -> None:
        """Move by hand; a drill is over then."""
        super().go(self._as_before(session))

    def halt(self) -> None:
        """Stop; a drill is over then."""
        super().halt()
        self._restore()

    @property
    def lasting(self) -> Session:
        """The session as it is kept: with the tempo and depth of before the drill."""
        return self._as_before(self.session)

    def _restore(self) -> None:
        """Give the song back its tempo and depth of before the drill."""
        self.session = self._as_before(self.session)
        self.drilled, self.purpose = None, ""

    def _as_before(self, session: Session) -> Session:
        """Return a session with the tempo and depth of before the drill, if one is under way."""
        return self.drilled.as_before(session) if self.drilled else session
