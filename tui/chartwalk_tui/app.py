"""The app: it wires screens, log and metronome together."""

from collections import Counter
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import ClassVar

from textual import work
from textual.app import App, SystemCommand
from textual.binding import BindingType
from textual.command import Provider
from textual.screen import Screen

from chartwalk.files import open_song
from chartwalk.log import LogError, Store
from chartwalk.metronome import Metronome
from chartwalk.problems import ChartError
from chartwalk.song import Song
from chartwalk_tui.palette import ActionCommands
from chartwalk_tui.screens.log import Log
from chartwalk_tui.screens.pages import help_page, problem_page
from chartwalk_tui.screens.room import Room
from chartwalk_tui.screens.setup import Setup
from chartwalk_tui.screens.shelf import Shelf
from chartwalk_tui.screens.stand import Stand
from chartwalk_tui.theme import HARBOUR, role_css


class ChartwalkApp(App[None]):
    """chartwalk on the screen. ``song`` opens the Stand, none the Shelf."""

    TITLE = "chartwalk"
    CSS_PATH = "chartwalk.tcss"
    CSS = role_css()
    COMMANDS: ClassVar[set[type[Provider] | Callable[[], type[Provider]]]] = {ActionCommands}
    BINDINGS: ClassVar[list[BindingType]] = []

    def __init__(
        self, store: Store, metronome: Metronome, song: Song | None = None, notice: str = ""
    ) -> None:
        super().__init__()
        self.store, self.metronome = store, metronome
        self._song, self._notice = song, notice

    def get_theme_variable_defaults(self) -> dict[str, str]:
        """Give every theme the roles' colours."""
        return dict(HARBOUR.variables)

    def on_mount(self) -> None:
        """Open the first screen, then look for a MIDI output."""
        self.register_theme(HARBOUR)
        self.theme = "harbour"
        if self._song:
            self.open(self._song)
        else:
            self.push_screen(Shelf())
        if self._notice:
            self.call_after_refresh(self.say, self._notice)
        self.call_after_refresh(self._connect)

    def on_unmount(self) -> None:
        """Leave no sound and no open file behind."""
        self.metronome.close()
        self.store.close()

    @work(thread=True)
    def _connect(self) -> None:
        self.metronome.connect()

    def say(self, text: str) -> None:
        """Tell the player something on the screen that is open."""
        if isinstance(self.screen, Room):
            self.screen.say(text)

    def open_path(self, path: Path, bar: int | None = None) -> None:
        """Open a chart file on the Stand, or show what is wrong with it."""
        try:
            song = open_song(path)
        except ChartError as error:
            self.push_screen(problem_page(f"{path.name} can't be opened", error.problems))
            return
        self.open(song, bar)

    def open(self, song: Song, bar: int | None = None) -> None:
        """Open the Stand on a song, at a written bar if one is given."""
        try:
            self.store.song_opened(song.identity, song.chart.title)
        except LogError as error:
            self.call_after_refresh(self.say, f"{error}. Practice goes on.")
        steps = song.steps
        step = next((step.index for step in steps if step.bar == bar), 0)
        self._show(Stand(song, step))

    def go_to_mark(self, song: str, bar: int) -> None:
        """Close the Log and go to a bar of a song, opening it if it is not on the Stand."""
        self.pop_screen()
        if isinstance(self.screen, Stand) and self.screen.session.song.identity == song:
            self.screen.go_to(bar)
        else:
            self.open_path(Path(song), bar)

    def mark_counts(self, song: Song) -> dict[int, int]:
        """Return how many marks each written bar of a song has."""
        try:
            return Counter(mark.bar for mark in self.store.marks(song.identity))
        except LogError:
            return {}

    def _show(self, room: Room) -> None:
        """Put a room in place of the one that is open, or over the empty first screen."""
        if isinstance(self.screen, Room):
            self.switch_screen(room)
        else:
            self.push_screen(room)

    def action_shelf(self) -> None:
        """Open the Shelf."""
        self._show(Shelf())

    def action_log(self) -> None:
        """Open the Log."""
        self.push_screen(Log())

    def action_setup(self) -> None:
        """Open Setup."""
        self.push_screen(Setup())

    def action_help(self) -> None:
        """Show the help of the screen that is open."""
        room = self.screen
        if isinstance(room, Room):
            self.push_screen(help_page(room.NAME, room.PURPOSE, room.ACTIONS))

    def get_system_commands(self, screen: Screen[object]) -> Iterable[SystemCommand]:
        """Offer none: every command is one of our own actions."""
        return ()
