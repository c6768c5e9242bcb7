"""Lines of settings whose values are changed with the arrow keys; a run goes on meanwhile."""

from collections.abc import Sequence
from typing import ClassVar, Final

from textual.content import Content
from textual.events import Resize
from textual.widgets import OptionList
from textual.widgets.option_list import Option

from chartwalk.settings import SETTINGS, Setting
from chartwalk_tui.screens.choices import Choice, Choices
from chartwalk_tui.screens.room import Room

LABEL: Final = 18  # columns
VALUE: Final = 18
WIDE: Final = 80  # columns from which there is room for what a setting means


class Knobs(Room):
    """A room with settings."""

    KEEPS_RUNNING: ClassVar[bool] = True

    def knobs(self, settings: Sequence[Setting]) -> list[Choice]:
        """Return the lines of some settings."""
        return [self._knob(setting) for setting in settings]

    def fill(self, options: Sequence[Option], chosen: str | None = None) -> None:
        """Show lines, with the cursor on the chosen one or where it was."""
        self.query_one(Choices).fill(options, chosen)

    def action_more(self) -> None:
        """Take the next value."""
        self._turn(1)

    def action_less(self) -> None:
        """Take the value before."""
        self._turn(-1)

    def action_choose(self) -> None:
        """Do what Enter does on the line under the cursor."""
        self.query_one(Choices).action_select()

    async def action_run(self) -> None:
        """Run the song on the Stand, or stop it."""
        if self.home.stand:
            self.home.stand.action_run()
        else:
            self.say("Open a song first: o shows the songs.")

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Take the next value of a setting; after the last comes the first."""
        if event.option.id in SETTINGS:
            setting = SETTINGS[event.option.id]
            last = self.home.settings[setting.name] == setting.values[-1]
            self._turn(-len(setting.values) if last else 1)

    def _turn(self, steps: int) -> None:
        choices = self.query_one(Choices)
        if choices.highlighted is None:
            return
        name = choices.get_option_at_index(choices.highlighted).id
        if name not in SETTINGS:
            return
        setting, settings = SETTINGS[name], self.home.settings
        value = setting.beside(settings[setting.name], steps)
        self.home.change(settings.having(setting.name, value))
        choices.reword(self._knob(setting))

    def on_resize(self, event: Resize) -> None:
        """Explain the settings where there is room for it."""
        choices = self.query_one(Choices)
        for option in choices.options:
            if option.id in SETTINGS:
                choices.reword(self._knob(SETTINGS[option.id]))

    def _knob(self, setting: Setting) -> Choice:
        wide = self.size.width >= WIDE
        return Choice(setting.name, self._line(setting), setting.help if wide else "")

    def _line(self, setting: Setting) -> Content:
        value = self.home.settings[setting.name]
        before = "‹" if value != setting.values[0] else " "
        after = "›" if value != setting.values[-1] else " "
        return Content.assemble(
            f"{setting.label:<{LABEL}}",
            (f"{before} ", "$role-dim"), (value, "bold"), (f" {after}", "$role-dim"),
            " " * (VALUE - len(value)),
        )  # fmt: skip
