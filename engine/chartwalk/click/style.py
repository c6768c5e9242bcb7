"""How the player wants the click: which beats, what between them, silent bars, how it sounds.

The sounds are keys of General MIDI percussion: the wood blocks 76 and 77, the side stick 37, the
closed hi-hat 42, the claves 75 (General MIDI level 1 percussion map).
"""

from dataclasses import dataclass
from enum import Enum
from fractions import Fraction

from chartwalk.clock.messages import KEYS


class Beats(Enum):
    """Which beats of a bar are struck; the values are the player's words."""

    EVERY = "every beat"
    GROUPS = "one a group"
    BACKBEAT = "2 and 4"
    BAR = "one a bar"


class Between(Enum):
    """What is struck between the beats."""

    NOTHING = "nothing"
    EIGHTHS = "eighths"
    SWUNG = "swung eighths"
    TRIPLETS = "triplets"
    SIXTEENTHS = "sixteenths"


@dataclass(frozen=True, slots=True)
class ClickStyle:
    """The click as the player wants it.

    ``swing`` is how many times as long the first of two swung eighths is as the second, 1 to 4
    (3.5 slow to 1 fast were measured: Friberg & Sundström 2002). ``groups`` are the groupings for
    meters whose sheet gives none. After ``sounding`` bars ``silent`` bars follow (0: none).
    ``hold`` is how many beats longer a fermata lasts in a run. ``first`` is the key of percussion
    on the first beat of a bar or a group, ``beat`` on the others, ``off`` between them; ``volume``
    is the velocity of the first beat, 1 to 127. A click that is not ``audible`` strikes nothing.
    Raises ValueError for anything outside.
    """

    beats: Beats = Beats.EVERY
    between: Between = Between.NOTHING
    swing: Fraction = Fraction(2)
    groups: tuple[tuple[int, ...], ...] = ()
    count_in: int = 1
    sounding: int = 2
    silent: int = 0
    hold: int = 2
    first: int = 76
    beat: int = 77
    off: int = 42
    volume: int = 112
    audible: bool = True

    def __post_init__(self) -> None:
        if not 1 <= self.swing <= 4:
            raise ValueError(f"a swing ratio is 1 to 4: {self.swing}")
        if not (1 <= self.count_in <= 2 and self.sounding >= 1 and self.silent >= 0):
            raise ValueError("a count-in has one bar or two, a gap click sounds for one at least")
        if not {self.first, self.beat, self.off} <= KEYS:
            raise ValueError("a sound of the click is a key from 0 to 127")
        if not (1 <= self.volume <= 127 and self.hold >= 0):
            raise ValueError("a volume is 1 to 127, a hold no less than 0")

    def groups_of(self, count: int) -> tuple[int, ...]:
        """Return the grouping chosen for bars of so many notes; none where none was.

        >>> ClickStyle(groups=((2, 3), (3, 2, 2))).groups_of(7)
        (3, 2, 2)
        """
        return next((groups for groups in self.groups if sum(groups) == count), ())
