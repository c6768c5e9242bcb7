"""A drill: a passage round and round, from a tempo it can be clean at up to the goal.

The rules
---------
- It climbs one rung after some clean passes in a row (three, unless told otherwise), and steps one
  rung back after a mark or a pass that was not clean, once a pass. The rungs are, from the bottom:
  the marks of the metronome up to the tempo it began at, at the plainest; there the fuller ways to
  play it, if asked for, up to the words sung; then, at the fullest, the marks up to the goal.
- It ends when the top rung was clean as often, or when its time is over.
- It never goes below a third of the goal, nor above the goal.

The share of correct trials is what tells good practice of a hard passage from much practice (Duke,
Simmons & Cash 2009, Journal of Research in Music Education 56(4), 310-321): so it goes back at once
and does not climb before it is right. No study of the size of the steps was found; the marks of the
metronome, three in a row and the third of the goal are common practice, no source.
"""

from dataclasses import dataclass, replace
from enum import Enum
from fractions import Fraction
from typing import Final

from chartwalk.tempo import next_tempo
from chartwalk.trouble.fullness import Fullness
from chartwalk.trouble.words import tempo_words, times_words

LOWEST: Final = Fraction(1, 3)
IN_A_ROW: Final = 3
MINUTES: Final = Fraction(10)


class Reason(Enum):
    """Why a drill is where it is; the value is the sentence that tells it."""

    BELOW_CLEAN = "Clean at {was} before: begin one mark below, at {now}."
    BELOW_MARK = "Marked at {was} last: begin two marks below, at {now}."
    NEVER_CLEAN = "Not clean yet: begin at {now}, below two thirds of the goal, {goal}."
    AT_LOWEST = "Begin at {now}, a third of the goal, {goal}: no drill goes slower."
    MORE = "Clean at {now}: {left} more."
    FASTER = "Clean {times} at {was}: up to {now}."
    FULLER = "Clean {times} at {now}: now {fullness}."
    SLOWER = "That gave trouble at {was}: back to {now}."
    PLAINER = "That gave trouble at {now}: back to {fullness}."
    SLOWEST = "That gave trouble at {now}, the slowest: stay, and take each hand alone first."
    COUNTED = "That pass had its mark: now at {now}, clean {times} leads on."
    DONE = "Clean {times} at the goal, {now}: done."
    TIME = "The time is over, at {now}: leave it for another day."


@dataclass(frozen=True, slots=True)
class Because:
    """Why a drill is where it is, and the same in a sentence for the player."""

    reason: Reason
    words: str


@dataclass(frozen=True, slots=True)
class Terms:
    """What a drill goes by: its tempos, in beats a minute of the first bar of its spot.

    ``ladder`` holds the ways to play it, each made clean before the next; ``in_a_row`` is how many
    clean passes lead on; ``minutes`` is its time, None for no end. Raises ValueError on terms that
    no drill can hold to.
    """

    goal: Fraction
    start: Fraction
    ladder: tuple[Fullness, ...] = (Fullness.WRITTEN,)
    in_a_row: int = IN_A_ROW
    minutes: Fraction | None = MINUTES

    def __post_init__(self) -> None:
        if not 0 < self.lowest <= self.start <= self.goal:
            raise ValueError("a drill starts between a third of its goal and its goal")
        if not self.ladder or self.in_a_row < 1:
            raise ValueError("a drill has a way to play it, and a clean pass leads on")

    @property
    def lowest(self) -> Fraction:
        """The slowest tempo it steps back to."""
        return self.goal * LOWEST


@dataclass(frozen=True, slots=True)
class Drill:
    """A drill under way.

    ``first`` and ``last`` are the steps it plays, both included. ``rung`` is the place in the
    ladder of fullnesses; ``row`` counts the clean passes in a row here; ``spoilt`` says that the
    pass under way had a mark; ``because`` tells why it is where it is.
    """

    first: int
    last: int
    terms: Terms
    tempo: Fraction
    because: Because
    rung: int = 0
    row: int = 0
    spoilt: bool = False

    @property
    def fullness(self) -> Fullness:
        """How full it is played now."""
        return self.terms.ladder[self.rung]

    @property
    def scale(self) -> Fraction:
        """The tempo now against the goal."""
        return self.tempo / self.terms.goal

    @property
    def ended(self) -> bool:
        """Whether it is over."""
        return self.because.reason in {Reason.DONE, Reason.TIME}


@dataclass(frozen=True, slots=True)
class Passed:
    """A pass came to its end; ``clean`` if nothing was wrong in it."""

    clean: bool


@dataclass(frozen=True, slots=True)
class Marked:
    """The player marked trouble."""


@dataclass(frozen=True, slots=True)
class Elapsed:
    """So many minutes have gone by since the drill began."""

    minutes: Fraction


Event = Passed | Marked | Elapsed


def follow(drill: Drill, event: Event) -> Drill:
    """Return a drill after an event; one that has ended stays as it is."""
    if drill.ended:
        return drill
    match event:
        case Marked():
            return drill if drill.spoilt else replace(_back(drill), spoilt=True)
        case Passed(clean=clean):
            return _passed(drill, clean)
        case Elapsed(minutes=minutes):
            over = drill.terms.minutes is not None and minutes >= drill.terms.minutes
            return _told(drill, Reason.TIME, drill) if over else drill


def _passed(drill: Drill, clean: bool) -> Drill:
    if drill.spoilt:
        return _told(drill, Reason.COUNTED, replace(drill, spoilt=False))
    if not clean:
        return _back(drill)
    if drill.row + 1 < drill.terms.in_a_row:
        return _told(drill, Reason.MORE, replace(drill, row=drill.row + 1))
    return _on(replace(drill, row=0))


def _on(drill: Drill) -> Drill:
    """Climb one rung."""
    terms, faster = drill.terms, next_tempo(drill.tempo, True, drill.terms.goal)
    if drill.tempo < terms.start:
        return _told(drill, Reason.FASTER, replace(drill, tempo=min(faster, terms.start)))
    if drill.rung + 1 < len(terms.ladder):
        return _told(drill, Reason.FULLER, replace(drill, rung=drill.rung + 1))
    if drill.tempo < terms.goal:
        return _told(drill, Reason.FASTER, replace(drill, tempo=faster))
    return _told(drill, Reason.DONE, drill)


def _back(drill: Drill) -> Drill:
    """Step one rung back."""
    terms, slower = drill.terms, next_tempo(drill.tempo, False, drill.terms.goal)
    after = replace(drill, row=0)
    if drill.tempo > terms.start:
        return _told(drill, Reason.SLOWER, replace(after, tempo=max(slower, terms.start)))
    if drill.rung:
        return _told(drill, Reason.PLAINER, replace(after, rung=drill.rung - 1))
    if drill.tempo > terms.lowest:
        return _told(drill, Reason.SLOWER, replace(after, tempo=max(slower, terms.lowest)))
    return _told(drill, Reason.SLOWEST, after)


def _told(before: Drill, reason: Reason, after: Drill) -> Drill:
    """Return a drill with the reason why it came from the one before."""
    terms = after.terms
    words = reason.value.format(
        was=tempo_words(before.tempo),
        now=tempo_words(after.tempo),
        goal=tempo_words(terms.goal),
        fullness=after.fullness.value,
        left=terms.in_a_row - after.row,
        times=times_words(terms.in_a_row),
    )
    return replace(after, because=Because(reason, words))
