"""A list to choose from, with headings; the Shelf, the Log and Setup are such lists."""

from collections.abc import Iterable
from typing import Final

from textual.content import Content
from textual.widgets import OptionList
from textual.widgets.option_list import Option

from chartwalk_tui.printable import printable

CURSOR: Final = "› "  # before the line under the cursor, so that it shows without colour
INDENT: Final = "  "


def heading(text: str) -> Option:
    """Return a line that can't be chosen."""
    return Option(Content.styled(printable(text), "bold $role-now"), disabled=True)


def remark(text: str) -> Option:
    """Return a quiet line that can't be chosen."""
    return Option(Content.styled(INDENT + printable(text), "$role-dim"), disabled=True)


class Choice(Option):
    """A line to choose: a title, and what else there is to say in a quieter voice."""

    def __init__(self, id: str, title: str, detail: str = "") -> None:
        quiet = Content.styled(f"   {printable(detail)}", "$role-dim") if detail else Content("")
        self.text = Content(printable(title)) + quiet
        super().__init__(Content(INDENT) + self.text, id=id)


class Choices(OptionList):
    """The list; its cursor starts on the first line that can be chosen."""

    def fill(self, options: Iterable[Option], chosen: str | None = None) -> None:
        """Show other lines and put the cursor on the chosen one, or on the first."""
        self.clear_options()
        self.add_options(options)
        if chosen is None:
            self.action_first()
        else:
            self.highlighted = self.get_option_index(chosen)

    def watch_highlighted(self, highlighted: int | None) -> None:
        """Set the cursor before the line under it."""
        super().watch_highlighted(highlighted)
        for index, option in enumerate(self.options):
            if isinstance(option, Choice):
                sign = CURSOR if index == highlighted else INDENT
                self.replace_option_prompt_at_index(index, Content(sign) + option.text)
