"""What the log keeps, as values.

Conventions: times are aware datetimes in UTC; a day is the player's own, where the player was;
ids are 32 hex digits and stay the same when a log is written out and read in; tempos and goals are
in beats a minute; bars are indices of written bars, from 0, in the chart as it is today.
"""

from dataclasses import dataclass
from datetime import date, datetime
from enum import Enum
from fractions import Fraction
from uuid import uuid4


class Kind(Enum):
    """What gave trouble, if the player said so."""

    UNSAID = ""
    CHORD = "chord"
    JUMP = "jump"
    TUNE = "tune"
    RHYTHM = "rhythm"
    WORDS = "words"
    HANDS = "hands"


@dataclass(frozen=True, slots=True)
class Anchor:
    """What holds a mark on its bar while the chart is edited.

    ``print_`` is the fingerprint (16 hex digits) of what the bar held: chords, tune and words,
    without its number, key or tempo; ``before`` and ``after`` are its neighbours', empty at the
    ends of the chart. ``bar`` and ``number`` are the bar's index and printed number at the time.
    An empty ``print_`` is the anchor of a mark that an older log knew by its place alone.
    """

    print_: str
    before: str
    after: str
    bar: int
    number: str


@dataclass(frozen=True, slots=True)
class SongRecord:
    """A song in the log: its file, its title, when it was opened last, its bars' fingerprints."""

    id: str
    path: str
    title: str
    opened: datetime
    prints: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class MarkRecord:
    """A bar that gave trouble.

    ``beat`` counts from 1, None where it is not known. ``chord`` is the symbol as written (empty
    where none sounds) and ``came_from`` the one before it. ``bar`` is where the mark stands in
    today's chart, None where its bar is no longer there.
    """

    id: str
    song: str
    anchor: Anchor
    beat: Fraction | None
    chord: str
    came_from: str
    pass_: int
    kind: Kind
    words: str
    tempo: float
    goal: float
    time: datetime
    day: date
    bar: int | None


@dataclass(frozen=True, slots=True)
class RunRecord:
    """A stretch of practice that passes belong to, ``seconds`` long so far.

    ``kind`` is run, loop, drill or step.
    """

    id: str
    song: str
    kind: str
    time: datetime
    day: date
    seconds: float


@dataclass(frozen=True, slots=True)
class PassRecord:
    """Some bars played once, from ``first`` to ``last``, ``steps`` bars in all.

    ``run`` is the id of the run it belongs to. ``shift`` is in semitones from the written key;
    ``kind`` is run, loop, drill or step; ``whole`` says that it went through to its end, ``clean``
    that nothing was marked in it. ``span`` is the first and the last written bar in today's chart.
    """

    id: str
    song: str
    run: str
    first: Anchor
    last: Anchor
    steps: int
    tempo: float
    goal: float
    depth: str
    shift: int
    hands: str
    kind: str
    clean: bool
    whole: bool
    time: datetime
    day: date
    seconds: float
    span: tuple[int, int] | None


def new_id() -> str:
    """Return an id that no other record has, 32 hex digits."""
    return uuid4().hex
