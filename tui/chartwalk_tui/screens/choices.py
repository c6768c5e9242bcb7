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
    """A line to choose: a title (or a line in colours), and what else there is to say, quieter."""

    def __init__(self, id: str, title: str | Content, detail: str = "") -> None:
        quiet = Content.styled(f"   {printable(detail)}", "$role-dim") if detail else Content("")
        line = Content(printable(title)) if isinstance(title, str) else title
        self.text = line + quiet
        super().__init__(Content(INDENT) + self.text, id=id)


class Choices(OptionList):
    """The list; its cursor starts on the first line that can be chosen."""

    _cursor: int | None = None

    def fill(self, options: Iterable[Option], chosen: str | None = None) -> None:
        """Show other lines and put the cursor on the chosen one, or on the first."""
        self.clear_options()
        self.add_options(options)
        if chosen is None:
            self.action_first()
        else:
            self.highlighted = self.get_option_index(chosen)

    @property
    def at_first(self) -> bool:
        """Whether the cursor is on the first line that can be chosen, or there is none."""
        first = next((i for i, option in enumerate(self.options) if not option.disabled), None)
        return self.highlighted == first

    def reword(self, choice: Choice) -> None:
        """Put another line in the place of the one with the same id."""
        index = self.get_option_index(str(choice.id))
        option = self.get_option_at_index(index)
        if isinstance(option, Choice):
            option.text = choice.text
            sign = CURSOR if index == self.highlighted else INDENT
            self.replace_option_prompt_at_index(index, Content(sign) + choice.text)

    def watch_highlighted(self, highlighted: int | None) -> None:
        """Set the cursor before the line under it, and take it from the line it left."""
        super().watch_highlighted(highlighted)
        for index, sign in ((self._cursor, INDENT), (highlighted, CURSOR)):
            if index is None or index >= self.option_count:
                continue
            option = self.get_option_at_index(index)
            if isinstance(option, Choice):
                self.replace_option_prompt_at_index(index, Content(sign) + option.text)
        self._cursor = highlighted
