"""What the player is told about the sound of the click."""

from dataclasses import dataclass
from typing import Final, Self

from chartwalk.clock.watch import Remedy

NOTES: Final = {
    Remedy.AGAIN: "The clock stopped working and was started again; run once more to go on.",
    Remedy.SILENT: "The clock stopped working again, so it was started without the MIDI port.",
    Remedy.GIVE_UP: "The clock can't be kept running: there is no click until chartwalk restarts.",
}
NO_PORT: Final = "no MIDI port is chosen"
NO_CLOCK: Final = "the clock is not running"


@dataclass(frozen=True, slots=True)
class Sound:
    """What sounds: the name of the port, or None; and a line that says so or why not.

    ``settled`` is False while a port is being opened.
    """

    port: str | None
    note: str
    settled: bool = True

    @classmethod
    def heard(cls, port: str) -> Self:
        """Build the line for a port that is open."""
        return cls(port, f"sound goes to {port}")

    @classmethod
    def opening(cls, port: str) -> Self:
        """Build the line for a port that was asked for a moment ago."""
        return cls(None, f"silent: opening {port}", settled=False)

    @classmethod
    def silent(cls, reason: str) -> Self:
        """Build the line for silence."""
        return cls(None, f"silent: {reason}")
