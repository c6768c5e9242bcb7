"""A question on one line: which bar to go to, how a new chart is called."""

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal
from textual.screen import ModalScreen
from textual.widgets import Input, Static


class Ask(ModalScreen[str | None]):
    """Asks for a line of text; Enter answers, Esc leaves."""

    BINDINGS: ClassVar[list[BindingType]] = [("escape", "leave", "back")]

    def __init__(self, question: str) -> None:
        super().__init__()
        self._question = question

    def compose(self) -> ComposeResult:
        """Lay out the question."""
        with Horizontal(id="ask"):
            yield Static(self._question, markup=False)
            yield Input(id="answer", compact=True)

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Answer."""
        self.dismiss(event.value.strip())

    def action_leave(self) -> None:
        """Answer nothing."""
        self.dismiss(None)
