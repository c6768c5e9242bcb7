"""The Symbol screen: one chord in full, built up on the keyboard and compared by ear."""

from typing import TYPE_CHECKING

from textual.app import ComposeResult

from chartwalk.practice import Session
from chartwalk_tui import views
from chartwalk_tui.actions import SYMBOL_SCREEN, bindings
from chartwalk_tui.screens.room import HEIGHTS, Room
from chartwalk_tui.views.symbol import also_written, stops_of, where_else
from chartwalk_tui.widgets.chord_now import ChordNowView
from chartwalk_tui.widgets.keyboard import Keyboard
from chartwalk_tui.widgets.study import Study, StudyView
from chartwalk_tui.widgets.text_line import Ends, TextLine

if TYPE_CHECKING:
    from chartwalk.analysis import KeyGuess


class Symbol(Room):
    """The chord now, taken apart from left to right."""

    NAME = "Symbol"
    PURPOSE = (
        "One chord in full: its symbol taken apart from left to right while the keyboard lights "
        "it up, other ways to write it, chords to compare by ear, and where else the song has it."
    )
    ACTIONS = SYMBOL_SCREEN
    BINDINGS = bindings(SYMBOL_SCREEN)

    def __init__(self, session: Session, guess: "KeyGuess | None") -> None:
        super().__init__()
        self.VERTICAL_BREAKPOINTS = HEIGHTS
        symbol = session.now.symbol
        if symbol is None:
            raise ValueError("no chord to take apart")
        self._session, self._symbol = session, symbol
        self._key = views.key_heard(session, session.bar.key, guess)
        self._stops = stops_of(symbol)
        self._cursor = max(
            index for index, stop in enumerate(self._stops) if stop.palette == symbol.palette
        )

    def compose(self) -> ComposeResult:
        """Lay out the screen from top to bottom."""
        yield TextLine(id="song")
        yield ChordNowView(id="now")
        yield Keyboard(id="keyboard")
        yield Study(id="study")
        yield TextLine(id="also")
        yield TextLine(id="bars")
        yield from self.compose_foot()

    def on_mount(self) -> None:
        """Show the whole chord."""
        written = also_written(self._symbol)
        bars = where_else(self._session.song, self._symbol)
        self.query_one("#also", TextLine).show(_labelled("also written", written))
        self.query_one("#bars", TextLine).show(_labelled("in this song", bars))
        self.heard()
        self._show()

    def heard(self) -> None:
        """Show the numeral, as soon as it is known."""
        numeral = self.home.numeral(self._symbol, self._key)
        guess = "?" if self._key != self._session.bar.key else ""
        place = f"{numeral} in {self._key}{guess} " if numeral else f"{self._key}{guess} "
        self.query_one("#song", TextLine).show(
            Ends(((" Symbol", "now"), (f"  {self._symbol}", "title")), ((place, "strong"),))
        )

    def action_next_row(self) -> None:
        """Go on to the next piece, then to the neighbours."""
        self._move(1)

    def action_previous_row(self) -> None:
        """Go back to the piece before."""
        self._move(-1)

    def action_sound(self) -> None:
        """Sound what the keyboard shows."""
        self.home.sound(self._stops[self._cursor].palette)

    def _move(self, rows: int) -> None:
        self._cursor = max(0, min(len(self._stops) - 1, self._cursor + rows))
        self._show()

    def _show(self) -> None:
        stop = self._stops[self._cursor]
        rows = tuple(stop.row for stop in self._stops)
        self.query_one("#now", ChordNowView).show(views.chord_shown(stop.letters, stop.palette))
        self.query_one("#keyboard", Keyboard).show(views.keys_of(stop.palette))
        self.query_one("#study", Study).show(StudyView(rows, self._cursor))


def _labelled(label: str, text: str) -> Ends:
    return Ends(((f" {label}  ", "dim"), (text, "plain")))
