"""The first walk: the Stand on a demo song, with the real keys, at the very first start."""

from dataclasses import dataclass
from typing import Final

from textual.widgets import Static

from chartwalk_tui.actions import STAND_KEYS

SKIP: Final = "Esc skips this."


@dataclass(frozen=True, slots=True)
class Stop:
    """One stop of the walk: what it says, and the action that leads on."""

    words: str
    action: str


STOPS: Final = (
    Stop(
        "This is the Stand. The big letters are the chord now, below them its notes, lit on the "
        "keyboard; beside it comes the chord next. Press space for the next bar.",
        "next_bar",
    ),
    Stop(
        "The road runs along the bottom: bars in the order they are played, over every repeat. "
        "Press ↓ for the next change of chord.",
        "next_change",
    ),
    Stop("r counts a bar in and runs with the click. Press r.", "run"),
    Stop("It runs, and the beat is lit. r stops it; press it again.", "run"),
    Stop(
        "Where a bar goes wrong, m marks it without stopping; the Log (t) brings it back until it "
        "is healed. Press m now; u would take the mark back.",
        "mark",
    ),
    Stop(
        "That is all you need. ? explains every key of a screen, o shows the songs, q leaves. "
        "Press space and play.",
        "next_bar",
    ),
)


class Guidepost(Static):
    """Says what to press; goes when the walk is over."""

    def __init__(self) -> None:
        super().__init__("", markup=False, id="walk")
        self._at = 0

    def on_mount(self) -> None:
        """Show the first stop."""
        self._tell()

    def pressed(self, key: str) -> bool:
        """Take a key that was pressed; return whether the key itself was for the walk."""
        if key == "escape":
            self.remove()
            return True
        if STAND_KEYS.get(key) == STOPS[self._at].action:
            self._at += 1
            if self._at == len(STOPS):
                self.remove()
            else:
                self._tell()
        return False

    def _tell(self) -> None:
        self.update(f"{self._at + 1}/{len(STOPS)}  {STOPS[self._at].words} {SKIP}")
