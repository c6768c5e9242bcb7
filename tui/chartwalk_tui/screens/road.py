"""Road: the whole song on one page as written, with the path through it."""

from bisect import bisect_right
from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Final

from textual.app import ComposeResult
from textual.content import Content

from chartwalk.itinerary import itinerary, phrases, step_on
from chartwalk.mode import Mode
from chartwalk.practice import Session
from chartwalk_tui import views
from chartwalk_tui.actions import ROAD_SCREEN, bindings
from chartwalk_tui.screens.room import HEIGHTS, Room, explained
from chartwalk_tui.views.road_page import page_bars, path_line, road_title
from chartwalk_tui.widgets.road_page import PageView, RoadPage, systems
from chartwalk_tui.widgets.text_line import TextLine

SIGNS: Final = (
    ("1 2 3", "the times a bar is played"),
    ("2→21", "after the 2nd time the road goes on in bar 21"),
    ("[2]", "the time under the cursor"),
    ("●", "the bar the Stand is on"),
    ("|: :|", "repeat signs"),
    ("┌1.──┐", "an ending"),
    ("×2", "trouble marks"),
    ("!", "something is wrong with the bar in the file"),
)


class Road(Room):
    """The page. The cursor walks the path; ``go`` takes a step and its round to the Stand."""

    NAME = "Road"
    PURPOSE = (
        "The whole song on one page as written, and the path through it: which times each bar is "
        "played, where the road jumps, and where you are. Walk along it, and go to any step."
    )
    ACTIONS = ROAD_SCREEN
    BINDINGS = bindings(ROAD_SCREEN)

    def __init__(
        self, session: Session, marks: Mapping[int, int], go: Callable[[int, int], None]
    ) -> None:
        super().__init__()
        self.VERTICAL_BREAKPOINTS = HEIGHTS
        self._session = replace(session, mode=Mode.STOPPED, lap=0, looped=None)
        self._here = session.here.bar
        self._marks, self._go = marks, go
        self._bars = page_bars(session, marks)
        self._said = phrases(session.song)
        self._starts = [stretch.step for stretch in itinerary(session.song)]

    def compose(self) -> ComposeResult:
        """Lay out the screen from top to bottom."""
        yield TextLine(road_title(self._session.song), id="song")
        yield TextLine(id="where")
        yield RoadPage(id="road-page")
        yield TextLine(id="path")
        yield from self.compose_foot()

    def on_mount(self) -> None:
        """Begin where the Stand is."""
        self._show()

    def action_next_step(self) -> None:
        """One bar along the road."""
        self._move(self._session.forward())

    def action_previous_step(self) -> None:
        """One bar back along the road."""
        self._move(self._session.forward(-1))

    def action_next_system(self) -> None:
        """Down the page."""
        self._cross(1)

    def action_previous_system(self) -> None:
        """Up the page."""
        self._cross(-1)

    def action_first(self) -> None:
        """Go to the start of the road."""
        self._move(self._session.at(0))

    def action_last(self) -> None:
        """Go to the end of the road."""
        self._move(self._session.end())

    def action_go(self) -> None:
        """Close, and go there on the Stand."""
        self.action_close()
        self._go(self._session.step, self._session.round)

    def _cross(self, way: int) -> None:
        """Go to the next system that is played, up or down, in about the same column."""
        rows = systems(self._bars, self.query_one(RoadPage).size.width)
        bar = self._session.here.bar
        here = next(place for place, row in enumerate(rows) if bar in row)
        column = bar - rows[here][0]
        for row in rows[here + 1 :] if way > 0 else reversed(rows[:here]):
            by_column = sorted(row, key=lambda index: abs(index - row[0] - column))
            found = (step_on(self._session.song, index, self._session.step) for index in by_column)
            step = next((step for step in found if step is not None), None)
            if step is not None:
                self._move(self._session.at(step))
                return

    def _move(self, session: Session) -> None:
        self._session = session
        self._show()

    def _show(self) -> None:
        session = self._session
        bar = session.here.bar
        marks = self._marks.get(bar, 0)
        stretch = bisect_right(self._starts, session.step) - 1
        self.query_one("#where", TextLine).show(views.where_line(session, marks))
        page = PageView(self._bars, session.step, bar, self._here)
        self.query_one("#road-page", RoadPage).show(page)
        self.query_one("#path", TextLine).show(path_line(self._said, stretch))

    def more_help(self) -> Content:
        """Explain the signs on the page."""
        return Content("\n") + explained(SIGNS)
