"""A practice session: where we are in the song, what runs, and at what tempo.

Every value is frozen; a key press makes a new session from the old one.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache

from chartwalk.arrange import Arrangement, arranged
from chartwalk.bassline import Walk, bass_walks
from chartwalk.chart import Bar, Change
from chartwalk.chord import ChordSymbol
from chartwalk.clock.schedule import FASTEST_RATE, SLOWEST_RATE
from chartwalk.mode import Mode, Signal, after
from chartwalk.roadmap import Step
from chartwalk.song import Song, Sounding
from chartwalk.tempo import next_tempo


@dataclass(frozen=True, slots=True)
class Ahead:
    """The change that comes next: its chord, and how far off it is.

    ``bars`` is 0 within the bar under way, ``beat`` the beat on which it comes; ``why`` tells the
    jump that lies between, if one does.
    """

    symbol: ChordSymbol
    bars: int
    beat: Fraction
    why: str | None


@lru_cache(maxsize=4)
def _walks(song: Song) -> Mapping[tuple[int, int], Walk]:
    return bass_walks(song)


@dataclass(frozen=True, slots=True)
class Session:
    """A song being practised. ``step`` and ``change`` are indices from 0.

    ``song`` is the song as it is played now, by the ``arrangement``; ``original`` the one it is
    made from, None where nothing is arranged. ``scale`` multiplies the written tempos; 1 is the
    goal. ``place`` is where the chord under way begins on the sheet, in quarter notes after the bar
    line: a leaner chord may have begun before it. ``round`` counts from 0 how often the song has
    been sung through, where it has more verses than passes. ``passage`` holds
    the first and the last step of what the player set out to loop; ``lap`` counts the rounds of a
    loop from 1, 0 outside of one, and ``looped`` holds its first and its last step.
    """

    song: Song
    step: int = 0
    change: int = 0
    scale: Fraction = Fraction(1)
    mode: Mode = Mode.STOPPED
    arrangement: Arrangement = Arrangement()
    original: Song | None = None
    round: int = 0
    place: Fraction = Fraction(0)
    passage: tuple[int, int] | None = None
    lap: int = 0
    looped: tuple[int, int] | None = None

    @property
    def written(self) -> Song:
        """The song as the sheet has it."""
        return self.original or self.song

    @property
    def here(self) -> Step:
        """The step under way."""
        return self.song.steps[self.step]

    @property
    def bar(self) -> Bar:
        """The written bar under way."""
        return self.song.bars[self.here.bar]

    @property
    def chords(self) -> tuple[Sounding, ...]:
        """The chords of the bar under way."""
        return self.song.soundings[self.here.bar]

    @property
    def now(self) -> Sounding:
        """The chord under way; a bar that holds none on paper holds what was played before."""
        here = self.chords[self.change]
        step = self.step
        while here.symbol is None and step:
            step -= 1
            last = self.song.soundings[self.song.steps[step].bar][-1]
            here = replace(here, symbol=last.symbol)
        return here

    @property
    def tempo(self) -> Fraction:
        """The tempo now, in beats a minute."""
        return self.bar.tempo * self.scale

    @property
    def goal(self) -> Fraction:
        """The written tempo of the bar under way, in beats a minute."""
        return self.bar.tempo

    def ahead(self) -> Ahead | None:
        """Return the next change, by the play order; None after the last one."""
        place = self._next_change()
        if place is None:
            return None
        step, change = place
        between = self.song.steps[self.step + 1 : step + 1]
        coming = self.song.steps[step]
        sounding = self.song.soundings[coming.bar][change]
        if sounding.symbol is None:
            return None
        return Ahead(
            symbol=sounding.symbol,
            bars=step - self.step,
            beat=self.song.bars[coming.bar].beat_at(sounding.at),
            why=next((passed.why for passed in between if passed.why), None),
        )

    @property
    def spared(self) -> tuple[Change, ...]:
        """The written changes that this bar leaves out."""
        return self.song.spared[self.here.bar] if self.song.spared else ()

    @property
    def as_written(self) -> Sounding:
        """The chord of the sheet that is under way, whatever is played of it."""
        return Session(self.written).at_place(self.step, self.place).now

    def bass_walk(self) -> Walk | None:
        """Return the walk of the bass that we are in, or else the one the next change begins."""
        walks = _walks(self.song)
        here = walks.get((self.step, self.change))
        if here and here.left:
            return here
        return walks.get(self._next_change() or (-1, 0))

    def arrange(self, arrangement: Arrangement) -> "Session":
        """Return the session at the same place of the song as arranged otherwise; a run runs on."""
        song = arranged(self.written, arrangement)
        session = replace(self, song=song, arrangement=arrangement, original=self.written)
        return session.at_place(self.step, self.place)

    def reopened(self, song: Song) -> "Session":
        """Return the session on a song read again from its file, as near as can be to the place.

        It is the bar with the same printed number, on the same pass.
        """
        round_ = min(self.round, song.rounds - 1)
        same = replace(Session(song), scale=self.scale, round=round_).arrange(self.arrangement)
        number, pass_, bar = self.bar.number, self.here.pass_, self.here.bar
        found = [step for step in song.steps if song.bars[step.bar].number == number]
        found = [step for step in found if step.bar == bar] or found  # numbers may come twice
        place = next((step for step in found if step.pass_ == pass_), next(iter(found), self.here))
        return same.at(place.index)

    def at(self, step: int, change: int = 0) -> "Session":
        """Return the session at a step and a chord of it, kept within the song."""
        step = max(0, min(step, len(self.song.steps) - 1))
        chords = self.song.soundings[self.song.steps[step].bar]
        change = max(0, min(change, len(chords) - 1))
        return replace(self, step=step, change=change, place=chords[change].at)

    def forward(self, bars: int = 1) -> "Session":
        """Return the session some bars on, or back; past the last bar into the next verse."""
        step = self.step + bars
        if step >= len(self.song.steps) and self.round + 1 < self.song.rounds:
            return self.again()
        if step < 0 < self.round:
            return replace(self, round=self.round - 1).end()
        return self.at(step)

    def again(self) -> "Session":
        """Return the session at the start of the song for its next verse, or for the first."""
        return replace(self, round=(self.round + 1) % self.song.rounds).at(0)

    def end(self) -> "Session":
        """Return the session at the last step."""
        return self.at(len(self.song.steps) - 1)

    def next_change(self) -> "Session":
        """Return the session at the next change of chord."""
        place = self._next_change()
        if place:
            return self.at(*place)
        return self.again() if self.round + 1 < self.song.rounds else self

    def previous_change(self) -> "Session":
        """Return the session at the change before."""
        for step in range(self.step, -1, -1):
            chords = self.song.soundings[self.song.steps[step].bar]
            last = self.change if step == self.step else len(chords)
            for place in reversed(range(last)):
                if self._changes(step, place):
                    return self.at(step, place)
        return self.at(0)

    def at_bar(self, number: str) -> "Session | None":
        """Return the session at the next step on the bar with this printed number, or None.

        The next one ahead is taken, then the first from the start.
        """
        found = [s.index for s in self.song.steps if self.song.bars[s.bar].number == number]
        later = [index for index in found if index > self.step]
        return self.at((later or found)[0]) if found else None

    def at_place(self, step: int, place: Fraction) -> "Session":
        """Return the session at a step, on the chord that sounds ``place`` quarters into it."""
        bar = self.song.steps[step].bar
        change = sum(chord.at <= place for chord in self.song.soundings[bar]) - 1
        begun = max(chord.at for chord in self.written.soundings[bar] if chord.at <= place)
        return replace(self.at(step, change), place=begun)

    def in_tempo(self, up: bool) -> "Session":
        """Return the session one metronome mark faster or slower, as far as a clock can go."""
        scale = next_tempo(self.tempo, up, self.goal) / self.goal
        return replace(self, scale=scale) if SLOWEST_RATE <= scale <= FASTEST_RATE else self

    def at_tempo(self, tempo: Fraction) -> "Session":
        """Return the session at a tempo in beats a minute, as near as a clock can go."""
        scale = min(max(tempo / self.goal, Fraction(SLOWEST_RATE)), Fraction(FASTEST_RATE))
        return replace(self, scale=scale)

    def signal(self, signal: Signal) -> "Session":
        """Return the session after a signal; raise ValueError where it can't happen."""
        return replace(self, mode=after(self.mode, signal))

    def starting_here(self) -> "Session":
        """Return the session with a passage that starts here; without one that did already.

        Without an end of its own it ends where the loop under way does.
        """
        end = self.looped[1] if self.looped else self.step
        first, last = self.passage or (-1, end)
        passage = None if first == self.step else (self.step, max(self.step, last))
        return replace(self, passage=passage)

    def ending_here(self) -> "Session":
        """Return the session with a passage that ends here, and starts where the loop does."""
        first, _ = self.passage or self.looped or (self.step, self.step)
        return replace(self, passage=(min(self.step, first), self.step))

    @property
    def stretch(self) -> tuple[int, int]:
        """The steps to loop: the passage, or else the section under way up to the next jump."""
        if self.passage:
            return self.passage
        names, steps = self.song.section_names, self.song.steps
        first = last = self.step
        while first and _goes_on(names, steps[first - 1], steps[first]):
            first -= 1
        while last + 1 < len(steps) and _goes_on(names, steps[last], steps[last + 1]):
            last += 1
        return first, last

    def _next_change(self) -> tuple[int, int] | None:
        for step in range(self.step, len(self.song.steps)):
            chords = self.song.soundings[self.song.steps[step].bar]
            first = self.change + 1 if step == self.step else 0
            for place in range(first, len(chords)):
                if self._changes(step, place):
                    return step, place
        return None

    def _changes(self, step: int, place: int) -> bool:
        """Whether the player meets a change here: a chord as written, or one held into a jump.

        What a bar holds on paper is no longer under the hands when a jump led to it.
        """
        here = self.song.steps[step]
        sounding = self.song.soundings[here.bar][place]
        return sounding.symbol is not None and (not sounding.held or here.why is not None)


def _goes_on(names: Sequence[str], step: Step, following: Step) -> bool:
    """Whether a step follows another in the same section, without a jump."""
    return following.why is None and names[step.bar] == names[following.bar]
