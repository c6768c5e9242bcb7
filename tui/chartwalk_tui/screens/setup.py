"""Setup: where the click sounds."""

from typing import TYPE_CHECKING, Final

from textual import work
from textual.app import ComposeResult
from textual.widgets import OptionList

from chartwalk.log import LogError
from chartwalk.midi import Ports
from chartwalk_tui.actions import SETUP_SCREEN, bindings
from chartwalk_tui.screens.choices import Choice, Choices, heading, remark
from chartwalk_tui.screens.room import Room
from chartwalk_tui.widgets.text_line import Ends, TextLine

if TYPE_CHECKING:
    from chartwalk.metronome import Metronome

FIRST: Final = "first"
PORT: Final = "port:"
PORT_SETTING: Final = "port"


class Setup(Room):
    """The MIDI outputs there are, to choose from."""

    NAME = "Setup"
    PURPOSE = (
        "Choose the MIDI output for the click. Pedals that send PageDown and PageUp need no setup. "
        "Keep the volume modest: loud sound for hours harms hearing."
    )
    ACTIONS = SETUP_SCREEN
    BINDINGS = bindings(SETUP_SCREEN[1:])

    def compose(self) -> ComposeResult:
        """Lay out Setup."""
        yield TextLine(Ends(((" Setup", "now"), ("  where the click sounds", "dim"))), id="song")
        yield Choices(id="list")
        yield from self.compose_foot()

    def on_mount(self) -> None:
        """Look for the ports."""
        self._looking = False
        self.action_look_again()
        self.query_one(Choices).focus()

    def action_look_again(self) -> None:
        """Look for the ports, unless that is under way."""
        if not self._looking:
            self._looking = True
            self.query_one(Choices).fill([remark("looking for MIDI outputs ...")])
            self._look(self.home.metronome)

    @work(thread=True)
    def _look(self, metronome: "Metronome") -> None:
        self.app.call_from_thread(self._show, metronome.connect())

    def _show(self, ports: Ports) -> None:
        self._looking = False
        metronome = self.home.metronome
        wanted = metronome.wanted
        options = [
            heading("The click sounds on"),
            Choice(FIRST, _chosen(wanted is None) + "the first instrument that is found"),
            *(Choice(PORT + name, _chosen(name == wanted) + name) for name in ports.outputs),
            remark(""),
            remark(metronome.silence or f"It sounds on {metronome.port} now."),
            remark("Keep the volume modest: loud sound for hours harms hearing."),
        ]
        there = wanted in ports.outputs
        self.query_one(Choices).fill(options, f"{PORT}{wanted}" if there else FIRST)

    def action_choose(self) -> None:
        """Choose the port under the cursor."""
        self.query_one(Choices).action_select()

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Let the click sound there, now and next time."""
        chosen = event.option.id or FIRST
        port = None if chosen == FIRST else chosen.removeprefix(PORT)
        self.home.metronome.wanted = port
        try:
            self.home.store.set(PORT_SETTING, port)
        except LogError as error:
            self.say(f"{error}.")
        self.action_look_again()


def _chosen(chosen: bool) -> str:
    return "● " if chosen else "  "
