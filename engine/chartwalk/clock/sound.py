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
    """What sounds: the name of the port, or None and the ``reason`` why nothing does.

    ``settled`` is False while a port is being opened.

    >>> Sound.silent("no MIDI port is chosen").complaint
    'No MIDI port is chosen.'
    """

    port: str | None
    reason: str = ""
    settled: bool = True

    @property
    def note(self) -> str:
        """A line that says what sounds, or why nothing does."""
        return f"sound goes to {self.port}" if self.port else f"silent: {self.reason}"

    @property
    def complaint(self) -> str:
        """Why nothing sounds, as a sentence; empty while something does."""
        return "" if self.port else f"{self.reason[:1].upper()}{self.reason[1:]}."

    @classmethod
    def heard(cls, port: str) -> Self:
        """Tell of a port that is open."""
        return cls(port)

    @classmethod
    def opening(cls, port: str) -> Self:
        """Tell of a port that was asked for a moment ago."""
        return cls(None, f"opening {port}", settled=False)

    @classmethod
    def silent(cls, reason: str) -> Self:
        """Tell of silence."""
        return cls(None, reason)
