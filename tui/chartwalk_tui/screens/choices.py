"""A list to choose from, with headings; the Shelf, the Log and Setup are such lists."""

from collections.abc import Iterable

from textual.content import Content
from textual.widgets import OptionList
from textual.widgets.option_list import Option


def heading(text: str) -> Option:
    """Return a line that can't be chosen."""
    return Option(Content.styled(text, "bold $role-now"), disabled=True)


def remark(text: str) -> Option:
    """Return a quiet line that can't be chosen."""
    return Option(Content.styled(text, "$role-dim"), disabled=True)


def choice(id: str, title: str, detail: str = "") -> Option:
    """Return a line to choose: a title, and what else there is to say in a quieter voice."""
    parts = [Content("  " + title)]
    if detail:
        parts.append(Content.styled("   " + detail, "$role-dim"))
    return Option(Content("").join(parts), id=id)


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
