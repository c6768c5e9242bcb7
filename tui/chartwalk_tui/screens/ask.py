"""A question on one line: which bar to go to."""

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal
from textual.screen import ModalScreen
from textual.widgets import Input, Static


class AskBar(ModalScreen[str | None]):
    """Asks for a printed bar number; Enter answers, Esc leaves."""

    BINDINGS: ClassVar[list[BindingType]] = [("escape", "leave", "back")]

    def compose(self) -> ComposeResult:
        """Lay out the question."""
        with Horizontal(id="ask"):
            yield Static("go to bar ", markup=False)
            yield Input(id="answer", compact=True)

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Answer."""
        self.dismiss(event.value.strip())

    def action_leave(self) -> None:
        """Go nowhere."""
        self.dismiss(None)
