"""A drill under way: begun on a conductor, watched while it goes round, and over at last."""

from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Self

from chartwalk.conductor import Conductor
from chartwalk.practice import Session
from chartwalk.trouble.beginning import begin, passage
from chartwalk.trouble.fullness import Fullness, fullnesses
from chartwalk.trouble.looped import Drilled
from chartwalk.trouble.spots import Spot


@dataclass(frozen=True, slots=True)
class Wish:
    """How the player wants drills: clean rounds in a row, minutes at most, fuller by steps."""

    in_a_row: int
    minutes: Fraction
    fuller: bool


@dataclass(frozen=True, slots=True)
class Underway:
    """A drill that was begun: at what moment (seconds), on which session, what was said last."""

    began: float
    before: Session
    told: str

    @classmethod
    def begin(
        cls, conductor: Conductor, session: Session, spot: Spot, wish: Wish, now: float
    ) -> tuple[Session, Self] | None:
        """Begin to drill a spot of the session's song; None where it is no longer played."""
        song = session.written
        steps = passage(song, spot)
        if steps is None:
            return None
        ladder = fullnesses(song, *steps) if wish.fuller else (Fullness.WRITTEN,)
        drill = begin(song, spot, ladder, wish.in_a_row, wish.minutes)
        if drill is None:
            return None
        drilled = conductor.drill(session, Drilled.of(drill))
        return drilled, cls(now, session, drill.because.words)

    def watch(self, conductor: Conductor, session: Session, rounds: Drilled, now: float) -> None:
        """End the drill with the round under way once its time is over."""
        minutes = Fraction(now - self.began).limit_denominator(1000) / 60
        round_ = max(0, session.lap - 1)
        after = rounds.elapsed(round_, minutes)
        if after.drill.ended and not rounds.at(round_).ended:
            conductor.change(session, after)

    def news(self, rounds: Drilled, round_: int) -> tuple[Self, str]:
        """Return why the drill is where it is in a round, if that was not said; else nothing."""
        words = rounds.at(max(0, round_)).because.words
        return replace(self, told=words), "" if words == self.told else words

    def as_before(self, session: Session) -> Session:
        """Return a session with the tempo and depth of before the drill."""
        depth = self.before.arrangement.depth
        here = session.arrange(replace(session.arrangement, depth=depth))
        return replace(here, scale=self.before.scale)
