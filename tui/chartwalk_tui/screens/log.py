"""The Log: the marks, the latest first; Enter goes to the bar."""

from datetime import datetime

from textual.app import ComposeResult
from textual.widgets import OptionList

from chartwalk.chord import ChordError, ChordSymbol
from chartwalk.log import LogError, Mark
from chartwalk.roadmap import ordinal
from chartwalk_tui.actions import LOG_SCREEN, bindings
from chartwalk_tui.screens.choices import Choice, Choices, heading, remark
from chartwalk_tui.screens.room import Room
from chartwalk_tui.widgets.text_line import Ends, TextLine


class Log(Room):
    """The trouble marks of all songs."""

    NAME = "Log"
    PURPOSE = "See where the songs gave trouble, the latest mark first, and go back to the bar."
    ACTIONS = LOG_SCREEN
    BINDINGS = bindings(LOG_SCREEN[1:])

    def compose(self) -> ComposeResult:
        """Lay out the Log."""
        yield TextLine(
            Ends(((" Log", "now"), ("  your trouble marks, the latest first", "dim"))), id="song"
        )
        yield Choices(id="list")
        yield from self.compose_foot()

    def on_mount(self) -> None:
        """Fill the list, songs in the order of their latest mark."""
        self._marks: list[Mark] = []
        try:
            self._marks = self.home.store.marks()
        except LogError as error:
            self.say(f"{error}.")
        songs: dict[str, list[tuple[int, Mark]]] = {}
        for number, mark in enumerate(self._marks):
            songs.setdefault(mark.path, []).append((number, mark))
        options = []
        for marks in songs.values():
            options.append(heading(marks[0][1].title))
            options += [Choice(str(number), *describe(mark)) for number, mark in marks]
        if not options:
            options = [remark("No marks yet. On the Stand, m marks the bar that gave trouble.")]
        self.query_one(Choices).fill(options)
        self.query_one(Choices).focus()

    def action_go(self) -> None:
        """Go to the marked bar under the cursor."""
        self.query_one(Choices).action_select()

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Go to the marked bar."""
        if event.option.id:
            self.home.go_to_mark(self._marks[int(event.option.id)])


def describe(mark: Mark, now: datetime | None = None) -> tuple[str, str]:
    """Say where a mark is, and when it was made, in the player's own time."""
    today = (now or datetime.now()).astimezone().date()
    time = mark.time.astimezone()
    days = (today - time.date()).days
    day = {0: "today", 1: "yesterday"}.get(days, f"{time:%d %b %Y}".lstrip("0"))
    try:
        chord = ChordSymbol.parse(mark.chord).display if mark.chord else ""
    except ChordError:
        chord = mark.chord
    which = f", {ordinal(mark.pass_)} time" if mark.pass_ > 1 else ""
    where = f"bar {mark.number}{which}" + (f"  {chord}" if chord else "")
    return where, f"tempo {mark.tempo:.0f}, {day} {time:%H:%M}"
