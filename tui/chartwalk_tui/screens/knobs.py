"""Lines of settings whose values are changed with the arrow keys; a run goes on meanwhile."""

from collections.abc import Sequence
from typing import ClassVar, Final

from textual.app import ComposeResult
from textual.content import Content
from textual.events import Resize
from textual.widgets import OptionList
from textual.widgets.option_list import Option

from chartwalk.settings import SETTINGS, Setting
from chartwalk_tui.screens.choices import Choice, Choices
from chartwalk_tui.screens.room import Room
from chartwalk_tui.widgets.text_line import Ends, TextLine

LABEL: Final = 18  # columns
VALUE: Final = 18
WIDE: Final = 80  # columns from which every line has room for what its setting means


class Knobs(Room):
    """A room with settings. Where it is narrow, its first line tells what the chosen one means."""

    KEEPS_RUNNING: ClassVar[bool] = True

    def compose(self) -> ComposeResult:
        """Lay out the room."""
        yield TextLine(self._first_line(), id="song")
        yield Choices(id="list")
        yield from self.compose_foot()

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

    def on_option_list_option_highlighted(self, event: OptionList.OptionHighlighted) -> None:
        """Tell what the setting under the cursor means."""
        self._explain(event.option.id)

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
        if choices.highlighted is not None:
            self._explain(choices.get_option_at_index(choices.highlighted).id)

    @property
    def _wide(self) -> bool:
        return self.size.width >= WIDE

    def _first_line(self, told: str = "") -> Ends:
        told = f"{told} " if told else ""
        left = ((f" {self.NAME}", "now"), ("  ← → change a value", "dim"))
        return Ends(left, ((told, "plain"),))

    def _explain(self, name: str | None) -> None:
        told = SETTINGS[name].help if name in SETTINGS and not self._wide else ""
        self.query_one("#song", TextLine).show(self._first_line(told))

    def _knob(self, setting: Setting) -> Choice:
        return Choice(setting.name, self._line(setting), setting.help if self._wide else "")

    def _line(self, setting: Setting) -> Content:
        value = self.home.settings[setting.name]
        before = "‹" if value != setting.values[0] else " "
        after = "›" if value != setting.values[-1] else " "
        return Content.assemble(
            f"{setting.label:<{LABEL}}",
            (f"{before} ", "$role-dim"), (value, "bold"), (f" {after}", "$role-dim"),
            " " * (VALUE - len(value)),
        )  # fmt: skip
