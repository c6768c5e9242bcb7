"""What all screens share: a footer and a message line, both fed from the table of actions."""

from collections.abc import Sequence
from typing import TYPE_CHECKING, ClassVar, Final, cast

from rich.cells import cell_len
from textual.app import ComposeResult
from textual.content import Content
from textual.screen import Screen
from textual.timer import Timer
from textual.widgets import Static

from chartwalk_tui.actions import CLOSE, SHOWN, Action
from chartwalk_tui.printable import printable
from chartwalk_tui.widgets.footer import Footer, FootKey

if TYPE_CHECKING:
    from chartwalk_tui.app import ChartwalkApp

MESSAGE_SECONDS: Final = 8.0
HEIGHTS: Final = [(0, "-low"), (22, "-middle"), (28, "-high")]
"""The style classes of a room by the rows it has."""


class Message(Static):
    """A line to the player above the footer; it goes by itself."""


class Room(Screen[None]):
    """A screen with its purpose, its actions, its footer and its message line."""

    NAME: ClassVar[str] = ""
    PURPOSE: ClassVar[str] = ""
    ACTIONS: ClassVar[Sequence[Action]] = ()

    def __init__(self) -> None:
        super().__init__()
        self._fading: Timer | None = None
        self._message = ""

    @property
    def home(self) -> "ChartwalkApp":
        """The app, with its log and its metronome."""
        return cast("ChartwalkApp", self.app)

    def compose_foot(self) -> ComposeResult:
        """Yield the message line and the footer."""
        yield Message("", markup=False, id="message")
        closes = len(self.app.screen_stack) > FIRST_AND_EMPTY
        actions = [action for action in self.ACTIONS if closes or action.name != CLOSE.name]
        yield Footer(foot_keys(actions), id="foot")

    def say(self, text: str, *, beside: bool = False) -> None:
        """Tell the player something for some seconds, ``beside`` what is being told or in place."""
        if not self.query("#message"):  # not laid out yet: it is told once it is
            self.call_later(self.say, text, beside=beside)
            return
        message = self.query_one("#message", Message)
        if beside and message.display:
            text = f"{text} {self._message}"
        text = printable(text)
        lines = (text, self._message) if message.display else ()
        # One line in the place of another needs no room made for it.
        as_high = bool(lines) and all(
            "\n" not in line and cell_len(line) <= message.size.width for line in lines
        )
        self._message = text
        message.update(text, layout=not as_high)
        message.display = True
        if self._fading:
            self._fading.stop()
        self._fading = self.set_timer(MESSAGE_SECONDS, self.hush)

    def hush(self) -> None:
        """Take the message away."""
        self.query_one("#message", Message).display = False

    def heard(self) -> None:
        """Show what has been found out about chords and keys; most rooms show neither."""

    def urgent_help(self) -> Content:
        """Return what the help says before the keys; most rooms have nothing urgent."""
        return Content("")

    def more_help(self) -> Content:
        """Return what the help says beyond the keys; a screen may have more to explain."""
        return Content("")

    def action_close(self) -> None:
        """Go back to where we were."""
        if len(self.app.screen_stack) > FIRST_AND_EMPTY:
            self.dismiss()


FIRST_AND_EMPTY: Final = 2  # the app's own empty screen, and the first room over it


def foot_keys(actions: Sequence[Action]) -> tuple[FootKey, ...]:
    """Return what the footer shows of some actions."""
    return tuple(
        FootKey(SHOWN.get(action.keys[0], action.keys[0]), action.label, action.rank)
        for action in actions
        if action.rank
    )


def explained(signs: Sequence[tuple[str, str]]) -> Content:
    """Explain signs, a line each."""
    width = max(len(sign) for sign, _ in signs)
    parts = [
        part
        for sign, meaning in signs
        for part in (Content.styled(f"{sign:<{width}}  ", "bold"), Content(f"{meaning}\n"))
    ]
    return Content("").join(parts)
