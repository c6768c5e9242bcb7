"""The Click screen: how the click goes, and how loops climb."""

from textual.app import ComposeResult

from chartwalk.settings import CLICK_SETTINGS, DRILL_SETTINGS
from chartwalk_tui.actions import CLICK_SCREEN, bindings
from chartwalk_tui.screens.choices import Choices, heading
from chartwalk_tui.screens.knobs import Knobs
from chartwalk_tui.widgets.text_line import Ends, TextLine


class Click(Knobs):
    """The settings of the click."""

    NAME = "Click"
    PURPOSE = (
        "Choose which beats the click strikes and what lies between them, bars of silence to test "
        "your own pulse, and how a loop gets faster. A run goes on meanwhile: r starts one."
    )
    ACTIONS = CLICK_SCREEN
    BINDINGS = bindings(CLICK_SCREEN[1:])

    def compose(self) -> ComposeResult:
        """Lay out the screen."""
        yield TextLine(Ends(((" Click", "now"), ("  ← → change a value", "dim"))), id="song")
        yield Choices(id="list")
        yield from self.compose_foot()

    def on_mount(self) -> None:
        """Show the settings."""
        drills = [heading("Drills, from the Log"), *self.knobs(DRILL_SETTINGS)]
        self.fill([*self.knobs(CLICK_SETTINGS), *drills])
        self.query_one(Choices).focus()
