"""Setup: where the sound goes, how everything sounds, what the pedals do."""

from typing import TYPE_CHECKING, Final

from textual import work
from textual.widgets import OptionList
from textual.widgets.option_list import Option

from chartwalk.log import LogError
from chartwalk.midi import Ports
from chartwalk.settings import LOOK_SETTINGS, PEDAL_SETTINGS, SOUND_SETTINGS
from chartwalk_tui.actions import SETUP_SCREEN, bindings
from chartwalk_tui.screens.choices import Choice, Choices, heading, remark
from chartwalk_tui.screens.knobs import Knobs

if TYPE_CHECKING:
    from chartwalk.metronome import Metronome

FIRST: Final = "first"
PORT: Final = "port:"
EVERY: Final = 3.0  # seconds between two looks for outputs
MIDDLE_C: Final = 60
CAUTION: Final = "Keep the volume modest: loud sound for hours harms hearing."


class Setup(Knobs):
    """The outputs there are, to choose from; sounds, volumes and pedals."""

    NAME = "Setup"
    PURPOSE = (
        "Choose where the sound goes, how the click and the guide sound, and what page-turn pedals "
        "do. All of it is remembered. " + CAUTION
    )
    ACTIONS = SETUP_SCREEN
    BINDINGS = bindings(SETUP_SCREEN[1:])

    def on_mount(self) -> None:
        """Show the settings, and look for outputs now and every few seconds."""
        self._looking = False
        self._shown: tuple[object, ...] = ()
        self._ports = Ports()
        self._show(None)
        self.query_one(Choices).focus()
        self.action_look_again()
        self.set_interval(EVERY, self.action_look_again)

    def action_look_again(self) -> None:
        """Look for outputs, unless that is under way."""
        if not self._looking:
            self._looking = True
            self._look(self.home.metronome)

    def action_test_note(self) -> None:
        """Sound a note."""
        metronome = self.home.metronome
        metronome.sound([MIDDLE_C])
        silence = metronome.silence
        self.say(f"No sound. {silence}" if silence else f"Middle C goes to {metronome.port}.")

    @work(thread=True)
    def _look(self, metronome: "Metronome") -> None:
        self.app.call_from_thread(self._looked, metronome.look())

    def _looked(self, ports: Ports) -> None:
        self._looking, self._ports = False, ports
        self._show(ports)

    def _show(self, ports: Ports | None) -> None:
        """Show the lines, if anything is new; None while the first look goes on."""
        metronome = self.home.metronome
        shown = (ports, metronome.wanted, metronome.silence, metronome.port)
        if shown == self._shown:
            return
        self._shown = shown
        choices = self.query_one(Choices)
        at = choices.highlighted
        before = choices.get_option_at_index(at).id if at is not None else None
        options = [*self._outputs(ports), *self._knob_lines()]
        names = [option.id for option in options]
        self.fill(options, before if before in names else None)

    def _outputs(self, ports: Ports | None) -> list[Option]:
        metronome = self.home.metronome
        wanted = metronome.wanted
        return [
            heading("The sound goes to"),
            Choice(FIRST, _chosen(wanted is None) + "the first instrument, else the loudspeaker"),
            *(
                Choice(PORT + name, _chosen(name == wanted) + name)
                for name in (ports.outputs if ports else ())
            ),
            remark(metronome.silence or f"Now it goes to {metronome.port}. s sounds a test note."),
            remark(CAUTION),
        ]

    def _knob_lines(self) -> list[Option]:
        return [
            heading("How it sounds"),
            *self.knobs(SOUND_SETTINGS),
            heading("Page-turn pedals"),
            *self.knobs(PEDAL_SETTINGS),
            heading("How it looks"),
            *self.knobs(LOOK_SETTINGS),
        ]

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Send the sound to the output under the cursor, now and next time."""
        chosen = event.option.id or ""
        if chosen != FIRST and not chosen.startswith(PORT):
            return  # a setting: the toolkit calls the handler of the base as well
        port = None if chosen == FIRST else chosen.removeprefix(PORT)
        self.home.metronome.wanted = port
        try:
            self.home.store.set(self.home.PORT_SETTING, port)
        except LogError as error:
            self.say(f"{error}.")
        self._open(self.home.metronome)

    @work(thread=True)
    def _open(self, metronome: "Metronome") -> None:
        self.app.call_from_thread(self._looked, metronome.connect())


def _chosen(chosen: bool) -> str:
    return "● " if chosen else "  "
