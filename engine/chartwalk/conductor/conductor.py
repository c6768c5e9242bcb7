"""The conductor: turns what the player wants of a session into what the metronome plays.

Sessions are values that come in and go out; the conductor holds what is under way: the plan, and
what the clock was given of it. Where the music is comes from the clock.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from itertools import takewhile
from typing import Final

from chartwalk.clock.moment import moment
from chartwalk.conductor.bars import at_end_of, bars_played
from chartwalk.conductor.ledger import Done, Ledger
from chartwalk.conductor.player import Player
from chartwalk.metronome import Where
from chartwalk.mode import Mode, Signal
from chartwalk.practice import Session
from chartwalk.run import (
    Ladder,
    Loop,
    Manner,
    Plan,
    Rounds,
    Score,
    Through,
    Turn,
    count_in,
    in_gaps,
    make_score,
    played,
)

AHEAD: Final = 24  # bars that the clock has beyond the one it plays, as long as there are more
PLAYING: Final = {
    Signal.RUN: Mode.RUNNING, Signal.LOOP: Mode.LOOPING, Signal.LISTEN: Mode.LISTENING,
}  # fmt: skip


class Conductor:
    """Starts, follows and changes what the metronome plays."""

    def __init__(self, player: Player, now: Callable[[], float] = moment) -> None:
        self.manner = Manner()
        self.ladder = Ladder()
        self._player = player
        self._now = now
        self._plan: Plan | None = None
        self._aim = Signal.RUN
        self._round = 0
        self._troubles: list[tuple[int, Plan | None, Plan | None]] = []  # round, plan before, after
        self._clocked = False  # whether MIDI clock goes out
        self._port: str | None = None  # where the parts were set up and the MIDI clock began
        self._ledger = Ledger()

    # What the player wants.

    def run(self, session: Session) -> Session:
        """Count in and run from the step under way to the end."""
        plan = Through(session.step, len(session.song.steps) - 1)
        return self._start(session, plan, Signal.RUN)

    def loop(self, session: Session) -> Session:
        """Count in and loop the passage, or else the section under way."""
        first, last = session.stretch
        session = session.at(first)
        plan = Loop(first, last, self.ladder, session.goal, session.scale)
        return self._start(session, plan, Signal.LOOP)

    def drill(self, session: Session, rounds: Rounds) -> Session:
        """Count in and play the rounds of a drill."""
        session = replace(session.at(rounds.first), scale=rounds.scale(0))
        return self._start(session, rounds, Signal.LOOP)

    def listen(self, session: Session) -> Session:
        """Count in and play the passage once for the player to hear, with the guide."""
        first, last = session.stretch
        return self._start(session.at(first), Through(first, last), Signal.LISTEN)

    def stop(self, session: Session) -> Session:
        """Stop at once; nothing happens to a session that stands still."""
        if session.mode is Mode.STOPPED:
            return session
        self._player.stop()
        if self._plan:
            self._ledger.end(self._plan.first, None, session, self.aim, self._now())
        self._ledger.settle()
        self._plan = None
        return replace(session.signal(Signal.STOP), lap=0, looped=None)

    def tempo(self, session: Session) -> None:
        """Play at the session's tempo from the next bar line on."""
        if isinstance(self._plan, Rounds):
            self._plan = self._plan.rebased(self._round, session.scale)
            self.refresh(session)
        else:
            self._player.rate(float(session.scale))

    def passage(self, session: Session) -> Session:
        """Go round the session's passage from the next bar line on, if a passage is looped.

        The round under way goes on to the new end. A loop stays as it is where no passage is left,
        and a drill in any case.
        """
        plan, passage = self._plan, session.passage
        if not isinstance(plan, Loop) or passage is None or passage == session.looped:
            return session
        if self._player.where() is None:
            return session
        first, last = passage
        bars = bars_played(session)
        scale = plan.scale(self._round)
        self._plan = replace(
            plan.rebased(self._round, scale), first=first, last=last, goal=bars[first].tempo
        )
        coming = self._player.changeable
        self._give(session, coming, self._led_on(session, self._plan, coming), anew=True)
        return replace(session, looped=passage)

    def _led_on(self, session: Session, loop: Loop, coming: int) -> tuple[Turn, ...]:
        """Return the turns of a loop from an index on: the rest of the round, and more rounds."""
        bars, before = bars_played(session), self._player.score.turns
        now = before[max(0, coming - 1)]
        counted = tuple(takewhile(lambda turn: turn.counted is not None, before[coming:]))
        lead = counted if now.counted is not None else ()
        begin = loop.first if now.counted is not None else now.step + 1
        rest = (*lead, *played(bars, begin, loop.last))
        paced = (replace(turn, round=now.round, pace=loop.pace(now.round)) for turn in rest)
        return (*paced, *loop.turns(bars, self.manner.click, now))

    def blamed(self, session: Session) -> Session:
        """Return the session at the bar that a mark made now is about; people press late.

        It is the bar under way, but the one before within its first beat, and the last one of the
        passage while the next round is counted in (common practice, no source).
        """
        where, plan = self._player.where(), self._plan
        if where is None or plan is None:
            return session
        turn, late = where.turn, where.place < where.turn.bar.meter.beat
        if turn.counted is not None:
            before = self._in_the_round_before(session, plan)
            return at_end_of(before, plan.last) if turn.round else session
        return at_end_of(session, turn.step - 1) if late and turn.step > plan.first else session

    def _in_the_round_before(self, session: Session, plan: Plan) -> Session:
        """Return the session at the tempo of the round that is over."""
        if not isinstance(plan, Rounds):
            return session
        return replace(session, scale=plan.scale(max(0, self._round - 1)))

    def forgive(self, session: Session) -> None:
        """Take back the last trouble taken in, if it is about the round under way or just over."""
        if not self._troubles:
            return
        round_, before, after = self._troubles.pop()
        if any(each == round_ for each, *_ in self._troubles):
            return
        if round_ == self._round - self._ledger.between:
            self._ledger.judge(clean=True)
        if isinstance(before, Rounds) and self._plan == after:
            self.change(session, before)

    def trouble(self, session: Session) -> None:
        """Take in that trouble was marked: this round is not clean, or the one just over."""
        troubled, before = self._round - self._ledger.between, self._plan
        self._ledger.judge(clean=False)
        if isinstance(self._plan, Rounds):
            self.change(session, self._plan.marked(troubled))
        self._troubles.append((troubled, before, self._plan))

    def change(self, session: Session, rounds: Rounds) -> None:
        """Go on with other rounds than those planned."""
        self._plan = rounds
        self.refresh(session)

    @property
    def plan(self) -> Plan | None:
        """What is under way, None while nothing is."""
        return self._plan

    @property
    def aim(self) -> Mode:
        """What is played, or counted in: a run, a loop, or a passage to be heard."""
        return PLAYING[self._aim]

    def refresh(self, session: Session) -> None:
        """Play what is to come as the session and the manner have it now."""
        if self._plan is None or self._player.where() is None:
            return
        if isinstance(self._plan, Loop) and self._plan.ladder != self.ladder:
            self._plan = self._plan.climbing(self._round, self.ladder)
        coming = self._player.changeable
        before = self._player.score.turns
        if before[coming:]:
            turns = [*self._led_in_anew(session, before[coming - 1], before[coming])]
            self._give(session, coming, [*turns, *self._renewed(session, coming)], anew=True)

    def _renewed(self, session: Session, coming: int) -> Iterator[Turn]:
        """Yield the turns from an index on as they are planned now; some come no longer."""
        bars, plan = bars_played(session), self._plan
        for turn in self._player.score.turns[coming:]:
            if plan and (not isinstance(plan, Rounds) or self._comes(plan, turn.round)):
                yield replace(turn, bar=bars[turn.step], pace=plan.pace(turn.round))

    def _comes(self, rounds: Rounds, round_: int) -> bool:
        return round_ <= self._round or rounds.comes(round_)

    def _led_in_anew(self, session: Session, now: Turn, coming: Turn) -> tuple[Turn, ...]:
        """Return a count-in at the new tempo where the one under way was at another."""
        plan, style = self._plan, self.manner.click
        if plan is None or now.counted is None or now.pace == plan.pace(now.round):
            return ()
        if coming.counted is not None:  # the rest of the count-in tells the tempo
            return ()
        lead = count_in(bars_played(session), plan.first, style)
        return tuple(replace(turn, round=now.round, pace=plan.pace(now.round)) for turn in lead)

    # What the clock says.

    def follow(self, session: Session) -> tuple[Session, Where | None]:
        """Return the session where the music is now, and where that is; None once it is over."""
        where = self._player.where()
        if where is None:
            return self._over(session), None
        turn = where.turn
        self._supply(session, where)
        self._mind_the_port(session)
        if turn.round != self._round and self._plan:
            last = self._plan.last
            self._ledger.end(self._plan.first, last, session, self.aim, self._now())
            self._round = turn.round
        counting = turn.counted is not None
        if not counting:
            self._ledger.settle()
        if session.mode is not (Mode.COUNT_IN if counting else PLAYING[self._aim]):
            session = session.signal(Signal.COUNT if counting else self._aim)
        if isinstance(self._plan, Rounds):
            session = self._in_round(session, self._plan, turn.round)
        if counting:
            return session.at(turn.step), where
        self._ledger.reach(turn.step, self._now())
        return session.at_place(turn.step, where.place), where

    def _mind_the_port(self, session: Session) -> None:
        """Set the parts up on another port than before, and have the MIDI clock begin there."""
        before, self._port = self._port, self._player.port
        if self._port and self._port != before:
            self._clocked = False
            self.refresh(session)

    def _in_round(self, session: Session, rounds: Rounds, round_: int) -> Session:
        """Return the session at the tempo and the depth of a round."""
        session = replace(session, scale=rounds.scale(round_), lap=round_ + 1)
        depth = rounds.depth(round_)
        if depth is None or depth is session.arrangement.depth:
            return session
        session = session.arrange(replace(session.arrangement, depth=depth))
        self.refresh(session)
        return session

    def take_done(self) -> list[Done]:
        """Give, once, what was played since the last time."""
        return self._ledger.take()

    def _start(self, session: Session, plan: Plan, aim: Signal) -> Session:
        session = session.signal(Signal.COUNT)
        self._plan, self._aim = plan, aim
        self._round, self._troubles = 0, []
        self._ledger.start()
        turns = plan.turns(bars_played(session), self.manner.click)
        self._port = self._player.port
        rate = 1.0 if isinstance(plan, Rounds) else float(session.scale)
        self._player.play(self._written(session, turns, ()), rate)
        looped = (plan.first, plan.last) if isinstance(plan, Rounds) else None
        return replace(session, lap=1 if looped else 0, looped=looped)

    @property
    def _playing(self) -> Manner:
        """The manner of what is under way: who listens hears the guide in any case."""
        if self._aim is not Signal.LISTEN:
            return self.manner
        return replace(self.manner, guide=self.manner.guide.with_all())

    def _supply(self, session: Session, where: Where) -> None:
        """Give the clock more turns before it runs out of them."""
        turns = self._player.score.turns
        if self._plan is None or len(turns) - where.index > AHEAD:
            return
        more = self._plan.turns(bars_played(session), self._playing.click, turns[-1])
        if more:
            self._give(session, len(turns), more)

    def _give(
        self, session: Session, first: int, turns: Sequence[Turn], *, anew: bool = False
    ) -> None:
        """Give the clock turns from an index on, ``anew`` in place of others."""
        earlier = self._player.score.turns[:first]
        self._player.go_on(first, self._written(session, turns, earlier, anew=anew))

    def _written(
        self,
        session: Session,
        turns: Sequence[Turn],
        earlier: Sequence[Turn],
        *,
        anew: bool = False,
    ) -> Score:
        """Return turns of the plan written out; ``earlier`` ones were played before them."""
        manner, bars = self._playing, bars_played(session)
        more = self._plan.turns(bars, manner.click, turns[-1])[:1] if self._plan and turns else ()
        played = sum(turn.counted is None for turn in earlier)
        row = in_gaps((*turns, *more), manner.click, played)
        follows = bool(earlier) and (self._clocked or not anew)  # else the MIDI clock begins here
        self._clocked = manner.midi_clock
        around = (earlier[-1] if follows else None, row[-1] if more else None)
        return make_score(row[: len(turns)], manner, session.song, around, anew=anew)

    def _over(self, session: Session) -> Session:
        """Return the session at the end of what was played, or where the clock was lost."""
        plan = self._plan
        more = isinstance(plan, Rounds) and plan.comes(self._round + 1)
        if plan is None or more or not self._player.finished:
            return self.stop(session)
        if session.mode is Mode.COUNT_IN:  # nobody has looked since
            session = session.signal(self._aim)
        self._ledger.reach(plan.last, self._now())
        self._ledger.end(plan.first, plan.last, session, self.aim, self._now())
        self._ledger.settle()
        self._plan = None
        session = replace(session.signal(Signal.END), lap=0, looped=None)
        if session.mode is Mode.WAITING:
            return session.at(plan.first)
        return at_end_of(session, plan.last)
