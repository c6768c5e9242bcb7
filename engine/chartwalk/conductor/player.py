"""What a conductor needs of a metronome."""

from typing import Protocol

from chartwalk.metronome import Where
from chartwalk.run import Score


class Player(Protocol):
    """What a conductor needs of a metronome."""

    @property
    def score(self) -> Score:
        """What is played, or was last."""

    def play(self, score: Score, rate: float) -> None:
        """Play a score from its start."""

    def go_on(self, first: int, score: Score) -> None:
        """Put other turns in place of those from ``first`` on."""

    def rate(self, rate: float) -> None:
        """Play faster or slower from the next bar line on."""

    def stop(self) -> None:
        """Stop at once."""

    @property
    def port(self) -> str | None:
        """The name of the port that sounds."""

    @property
    def finished(self) -> bool:
        """Whether the score was played to its end."""

    def where(self) -> Where | None:
        """Return where the score is; None when nothing is played."""

    @property
    def changeable(self) -> int:
        """The index of the first turn that can be changed: none that begins any moment now."""
