"""The Shelf: the songs there are to open."""

from collections.abc import Sequence
from pathlib import Path

from textual.app import ComposeResult
from textual.widgets import OptionList
from textual.widgets.option_list import Option

from chartwalk_tui.actions import SHELF_SCREEN, bindings
from chartwalk_tui.printable import count
from chartwalk_tui.screens.ask import Ask
from chartwalk_tui.screens.choices import Choice, Choices, heading, remark
from chartwalk_tui.screens.room import Room
from chartwalk_tui.shelf import ShelfSong, book_on_shelf, shelf_songs
from chartwalk_tui.widgets.text_line import Ends, TextLine


class Shelf(Room):
    """The songs opened before, the latest first, and the demo songs; first those of ``book``."""

    NAME = "Shelf"
    PURPOSE = (
        "Choose a song: those you opened before, the latest first, then the demo songs from "
        "Tarrowhythe harbour. Your own lead sheet opens with: chartwalk FILE"
    )
    ACTIONS = SHELF_SCREEN
    BINDINGS = bindings(SHELF_SCREEN[1:])

    def __init__(self, book: Path | None = None) -> None:
        super().__init__()
        self._book = book

    def compose(self) -> ComposeResult:
        """Lay out the Shelf."""
        yield TextLine(
            Ends(((" chartwalk", "now"), ("  the songs on the shelf", "dim"))), id="song"
        )
        yield Choices(id="list")
        yield from self.compose_foot()

    def on_mount(self) -> None:
        """Fill the list."""
        before, demos = shelf_songs(self.home.store)
        options = []
        if self._book:
            tunes = book_on_shelf(self._book)
            options += [heading(f"{self._book.name}: {count(len(tunes), 'tune')}"), *_lines(tunes)]
            before = [song for song in before if song.path not in {tune.path for tune in tunes}]
        options += [heading("Opened before"), *_lines(before)] if before else []
        options += [heading("Demo songs"), *_lines(demos)]
        options += [remark(""), remark("Your own: chartwalk FILE (.lead .musicxml .xml .mxl .abc)")]
        self.query_one(Choices).fill(options)
        self.query_one(Choices).focus()

    def action_new(self) -> None:
        """Ask for a title and write a new chart."""
        self.app.push_screen(Ask("title of the new chart: "), self.home.new_chart)

    def action_open(self) -> None:
        """Open the song under the cursor."""
        self.query_one(Choices).action_select()

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Open the song."""
        if event.option.id:
            self.home.open_path(Path(event.option.id))


def _lines(songs: Sequence[ShelfSong]) -> list[Option]:
    """Return a line a song, the titles and what is said about them in two columns."""
    width = max((len(song.title) for song in songs), default=0)
    return [Choice(song.path, f"{song.title:<{width}}", song.detail) for song in songs]
