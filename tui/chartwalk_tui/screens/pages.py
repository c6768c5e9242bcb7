"""Pages of text over a screen: the help, and what is wrong with a file."""

from collections.abc import Iterable, Sequence
from typing import ClassVar, Final

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import Static

from chartwalk.problems import Problem
from chartwalk_tui.actions import key_names
from chartwalk_tui.printable import printable
from chartwalk_tui.screens.room import Room

CAUTIONS: Final = (
    "Pain is a sign to stop. Rest your hands, voice and ears often, keep the volume modest, and "
    "ask a teacher or a doctor when something hurts or does not get better."
)


class Page(ModalScreen[None]):
    """A text over the screen; Esc, Enter or q closes it."""

    BINDINGS: ClassVar[list[BindingType]] = [
        ("escape,enter,q,question_mark,space", "dismiss", "back")
    ]

    def __init__(self, title: str, body: Content) -> None:
        super().__init__()
        self._title, self._body = title, body

    def compose(self) -> ComposeResult:
        """Lay out the page."""
        with VerticalScroll(id="page") as page:
            page.border_title = Content(printable(self._title))
            page.border_subtitle = "↑ ↓ to read on, Esc goes back"
            yield Static(self._body)


class Proofs(ModalScreen[bool]):
    """What is wrong with a chart, beside its lines; answers whether to edit it again."""

    BINDINGS: ClassVar[list[BindingType]] = [
        ("e,enter", "again", "edit again"),
        ("escape,q,space", "go_on", "go on"),
    ]

    def __init__(self, title: str, lines: Sequence[str], problems: Iterable[Problem]) -> None:
        super().__init__()
        self._title = title
        self._body = Content("\n").join(
            Content(printable(row)) for problem in problems for row in _proof(problem, lines)
        )

    def compose(self) -> ComposeResult:
        """Lay out the page."""
        with VerticalScroll(id="page") as page:
            page.border_title = Content(printable(self._title))
            page.border_subtitle = "e edits again, Esc goes on with what can be read"
            yield Static(self._body)

    def action_again(self) -> None:
        """Edit it again."""
        self.dismiss(True)

    def action_go_on(self) -> None:
        """Go on as it is."""
        self.dismiss(False)


def _proof(problem: Problem, lines: Sequence[str]) -> list[str]:
    """Return a problem below its line, with a sign under its column."""
    if not 0 < problem.line <= len(lines):
        return [problem.message, ""]
    number = f"{problem.line:>4} "
    sign = " " * (len(number) + problem.column - 1) + "▲"
    return [number + lines[problem.line - 1].expandtabs(1), sign, f"     {problem.message}", ""]


def help_page(room: Room) -> Page:
    """Return the help of a screen: what it is for, its keys, what else it explains, cautions."""
    actions = room.ACTIONS
    width = max(len(key_names(action)) for action in actions)
    parts = [Content(room.PURPOSE + "\n\n"), room.urgent_help()]
    for action in actions:
        parts.append(Content.styled(f"{key_names(action):<{width}}  ", "bold $role-now"))
        parts.append(Content(f"{action.help}\n"))
    parts.append(Content.styled("Ctrl+P", "bold $role-now"))
    parts.append(Content(f"{'':<{max(0, width - 6)}}  the list of commands, by plain words\n"))
    parts += [room.more_help(), Content.styled("\n" + CAUTIONS, "$role-dim")]
    return Page(room.NAME, Content("").join(parts))


def problem_page(title: str, problems: Iterable[Problem]) -> Page:
    """Return the page of what is wrong with a file, a paragraph a problem."""
    return Page(title, Content(printable("\n\n".join(map(str, problems)))))
