"""What all screens share: a footer and a message line, both fed from the table of actions."""

from collections.abc import Sequence
from typing import ClassVar

from textual.app import ComposeResult
from textual.screen import Screen
from textual.timer import Timer
from textual.widgets import Static

from chartwalk_tui.actions import SHOWN, Action
from chartwalk_tui.widgets.footer import Footer, FootKey

MESSAGE_SECONDS = 8.0


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

    def compose_foot(self) -> ComposeResult:
        """Yield the message line and the footer."""
        yield Message("", markup=False, id="message")
        yield Footer(foot_keys(self.ACTIONS), id="foot")

    def say(self, text: str) -> None:
        """Tell the player something for some seconds."""
        message = self.query_one("#message", Message)
        message.update(text)
        message.display = bool(text)
        if self._fading:
            self._fading.stop()
        self._fading = self.set_timer(MESSAGE_SECONDS, self.hush)

    def hush(self) -> None:
        """Take the message away."""
        self.query_one("#message", Message).display = False


def foot_keys(actions: Sequence[Action]) -> tuple[FootKey, ...]:
    """Return what the footer shows of some actions."""
    return tuple(
        FootKey(SHOWN.get(action.keys[0], action.keys[0]), action.label, action.rank)
        for action in actions
        if action.rank
    )
