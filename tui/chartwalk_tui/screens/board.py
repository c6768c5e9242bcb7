"""The board of the Stand: all that is drawn of the song, from top to bottom."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import TYPE_CHECKING

from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical

from chartwalk.practice import Session
from chartwalk_tui import views
from chartwalk_tui.widgets.bar_grid import BarGrid
from chartwalk_tui.widgets.chord_next import ChordNextView
from chartwalk_tui.widgets.chord_now import ChordNowView
from chartwalk_tui.widgets.keyboard import Keyboard
from chartwalk_tui.widgets.road_strip import RoadStrip, most_bars
from chartwalk_tui.widgets.text_line import TextLine

if TYPE_CHECKING:
    from chartwalk.analysis import KeyGuess


@dataclass(frozen=True, slots=True)
class Seen:
    """What the board shows: the session, the marks of each written bar, the likely key.

    ``numerals`` are asked for the chords, None where they are not wanted. ``left`` are the minutes
    left of the part of a plan that is on.
    """

    session: Session
    marks: Mapping[int, int] = field(default_factory=dict)
    guess: "KeyGuess | None" = None
    numerals: views.Numerals | None = None
    left: int | None = None


class Board(Vertical):
    """Shows a session."""

    def compose(self) -> ComposeResult:
        """Lay out the board."""
        yield TextLine(id="song")
        yield TextLine(id="where")
        with Horizontal(id="chords"):
            yield ChordNowView(id="now")
            yield ChordNextView(id="next")
        yield Keyboard(id="keyboard")
        yield BarGrid(id="bar")
        yield RoadStrip(id="road")

    def show(self, seen: Seen) -> None:
        """Show everything; while a run goes on the bar is shown by `show_place`."""
        session = seen.session
        marks = seen.marks.get(session.here.bar, 0)
        most = most_bars(max(1, self.size.width))
        self.query_one("#song", TextLine).show(views.song_line(session, seen.guess, seen.left))
        self.query_one("#where", TextLine).show(views.where_line(session, marks))
        self.query_one("#now", ChordNowView).show(views.chord_now(session))
        self.query_one("#next", ChordNextView).show(views.chord_next(session))
        self.query_one("#keyboard", Keyboard).show(views.lit_keys(session))
        self.query_one("#road", RoadStrip).show(views.road_view(session, seen.marks, most))
        self.set_class(seen.numerals is not None, "-numerals")
        if not session.mode.moving:
            self.query_one("#bar", BarGrid).show(views.bar_view(session, None, seen.numerals))

    def show_place(self, seen: Seen, place: Fraction | None) -> None:
        """Show the beat that is played, ``place`` quarter notes into the bar under way, or none."""
        self.query_one("#bar", BarGrid).show(views.bar_view(seen.session, place, seen.numerals))

    def show_count_in(self, seen: Seen, place: Fraction, length: Fraction) -> None:
        """Show the beat that is counted in, in a bar ``length`` quarter notes long."""
        view = views.count_in_view(seen.session, place, length, seen.numerals)
        self.query_one("#bar", BarGrid).show(view)
