"""The Click screen: how the click goes, and how loops climb."""

from chartwalk.settings import CLICK_SETTINGS, DRILL_SETTINGS
from chartwalk_tui.actions import CLICK_SCREEN, bindings
from chartwalk_tui.screens.choices import Choices, heading
from chartwalk_tui.screens.knobs import Knobs


class Click(Knobs):
    """The settings of the click."""

    NAME = "Click"
    PURPOSE = (
        "Choose which beats the click strikes and what lies between them, bars of silence to test "
        "your own pulse, and how a loop gets faster. A run goes on meanwhile: r starts one."
    )
    ACTIONS = CLICK_SCREEN
    BINDINGS = bindings(CLICK_SCREEN[1:])

    def on_mount(self) -> None:
        """Show the settings."""
        drills = [heading("Drills, from the Log"), *self.knobs(DRILL_SETTINGS)]
        self.fill([*self.knobs(CLICK_SETTINGS), *drills])
        self.query_one(Choices).focus()
