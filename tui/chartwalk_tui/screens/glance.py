"""The week and the month at a glance."""

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.widgets import Sparkline, Static

from chartwalk.trouble import MONTH, WEEK, Glance, Review, glance_back
from chartwalk_tui.actions import GLANCE_SCREEN, bindings
from chartwalk_tui.printable import count, printable
from chartwalk_tui.screens.room import Room
from chartwalk_tui.views.glance import days_line, glance_lines
from chartwalk_tui.widgets.text_line import Ends, TextLine

PERIODS = {"This week": WEEK, "This month": MONTH}


class GlanceRoom(Room):
    """Minutes by day, songs, tempo gained, spots healed."""

    NAME = "Week and month"
    PURPOSE = (
        "See the minutes of each day, which songs you touched, which spots got faster and which "
        "have healed. For a lesson: chartwalk log report --html FILE"
    )
    ACTIONS = GLANCE_SCREEN
    BINDINGS = bindings(GLANCE_SCREEN)

    def __init__(self, review: Review) -> None:
        super().__init__()
        self._review = review

    def compose(self) -> ComposeResult:
        """Lay out both periods."""
        yield TextLine(Ends(((" Week and month", "now"), ("  at a glance", "dim"))), id="song")
        with VerticalScroll(id="glance"):
            for title, days in PERIODS.items():
                glance = self._glance(days)
                minutes = count(round(glance.total), "minute")
                yield Static(printable(f"\n{title}: {minutes}"), classes="head")
                yield Sparkline([spent for _, spent in glance.minutes])
                yield Static(printable(days_line(glance)), markup=False, classes="dim")
                lines = "\n".join(glance_lines(self._review, glance))
                yield Static(printable(lines), markup=False)
        yield from self.compose_foot()

    def on_mount(self) -> None:
        """Let the arrow keys scroll."""
        self.query_one("#glance").focus()

    def _glance(self, days: int) -> Glance:
        found = self._review
        kept = found.records
        return glance_back(found.today, days, (*kept.passes, *kept.runs), kept.marks, found.spots)
