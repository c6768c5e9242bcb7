"""The drill: a trouble spot round and round, slow first, faster when it is clean."""

import time
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import TYPE_CHECKING, Final

from chartwalk.practice import Session
from chartwalk_tui.screens.stand.marking import Marking
from chartwalk_tui.screens.stand.playing import Playing

if TYPE_CHECKING:
    from chartwalk.trouble import Drilled, Spot

DRILL: Final = "drill"


@dataclass(frozen=True, slots=True)
class Underway:
    """A drill that was begun: at what moment, on which session, and what was said last."""

    began: float
    before: Session
    told: str


class Drilling(Playing, Marking):
    """Drills on the Stand."""

    drilled: Underway | None = None

    def start_drill(self, spot: "Spot") -> None:
        """Drill a spot of the song on the Stand."""
        from chartwalk.trouble import (  # noqa: PLC0415 - not at the start
            Drilled,
            Fullness,
            begin,
            fullnesses,
            passage,
        )

        self.halt()
        song, settings = self.session.written, self.home.settings
        steps = passage(song, spot)
        if steps is None:
            self.say("These bars are no longer played: the road leads past them.")
            return
        fuller = settings.fuller
        ladder = fullnesses(song, *steps) if fuller else (Fullness.WRITTEN,)
        drill = begin(song, spot, ladder, settings.clean_rounds, self._minutes_for(spot))
        if drill is None:
            return
        self.drilled = Underway(time.monotonic(), self.session, drill.because.words)
        self.purpose = DRILL
        self.session = self.home.conductor.drill(self.session, Drilled.of(drill))
        self.started()
        self.say(drill.because.words)

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
        if not self.session.mode.moving:
            if self.ran_out:  # a clock that was lost says so itself
                self._say_why(rounds.at(lap).because.words)
            self.ran_out = False
            self._restore()
            self.show()
            return
        self._watch_the_time(rounds)
        self._say_why(rounds.at(max(0, self.session.lap - 1)).because.words)

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

    def _watch_the_time(self, rounds: "Drilled") -> None:
        began = self.drilled.began if self.drilled else 0.0
        minutes = Fraction(time.monotonic() - began).limit_denominator(1000) / 60
        round_ = max(0, self.session.lap - 1)
        after = rounds.elapsed(round_, minutes)
        if after.drill.ended and not rounds.at(round_).ended:
            self.home.conductor.change(self.session, after)

    def _say_why(self, words: str) -> None:
        """Tell the sentence, if it is another than the last."""
        if self.drilled and words != self.drilled.told:
            self.drilled = Underway(self.drilled.began, self.drilled.before, words)
            self.say(words, beside=self.naming is not None)

    def _restore(self) -> None:
        """Give the song back its tempo and depth of before the drill."""
        self.session = self._as_before(self.session)
        self.drilled, self.purpose = None, ""

    def _as_before(self, session: Session) -> Session:
        """Return a session with the tempo and depth of before the drill, if one is under way."""
        if self.drilled is None:
            return session
        before = self.drilled.before
        depth = before.arrangement.depth
        here = session.arrange(replace(session.arrangement, depth=depth))
        return replace(here, scale=before.scale)
