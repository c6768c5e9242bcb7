"""The app: it wires screens, log and metronome together."""

from collections import Counter
from collections.abc import Callable, Iterable
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar, cast

from textual import work
from textual.app import App, SystemCommand
from textual.binding import BindingType
from textual.command import Provider
from textual.screen import Screen

from chartwalk.files import open_song
from chartwalk.log import LogError, Store
from chartwalk.problems import ChartError
from chartwalk.song import Song
from chartwalk_tui.actions import QUIT, bindings
from chartwalk_tui.palette import ActionCommands
from chartwalk_tui.screens.log import Log
from chartwalk_tui.screens.pages import help_page, problem_page
from chartwalk_tui.screens.room import Room
from chartwalk_tui.screens.setup import Setup
from chartwalk_tui.screens.shelf import Shelf
from chartwalk_tui.screens.stand import Stand
from chartwalk_tui.theme import HARBOUR

if TYPE_CHECKING:
    from chartwalk.metronome import Metronome


class ChartwalkApp(App[None]):
    """chartwalk on the screen. ``song`` opens the Stand, none the Shelf."""

    TITLE = "chartwalk"
    CSS_PATH = "chartwalk.tcss"
    COMMANDS: ClassVar[set[type[Provider] | Callable[[], type[Provider]]]] = {ActionCommands}
    BINDINGS: ClassVar[list[BindingType]] = bindings((QUIT,))

    def __init__(
        self,
        store: Store,
        make_metronome: "Callable[[], Metronome]",
        song: Song | None = None,
        notice: str = "",
    ) -> None:
        super().__init__()
        self.store = store
        self._make_metronome = make_metronome
        self._song, self._notice = song, notice
        self.register_theme(HARBOUR)
        self.theme = HARBOUR.name

    @cached_property
    def metronome(self) -> "Metronome":
        """The metronome; it starts when it is first asked for, after the first screen is up."""
        return self._make_metronome()

    def get_default_screen(self) -> Screen[object]:
        """Begin with the Stand on the song that was named, or with the Shelf."""
        room = Shelf() if self._song is None else self._stand(self._song)
        return cast("Screen[object]", room)

    def get_theme_variable_defaults(self) -> dict[str, str]:
        """Give every theme the roles' colours."""
        return dict(HARBOUR.variables)

    def on_mount(self) -> None:
        """Say what went wrong at the start; look for a MIDI output once the screen is up."""
        if self._notice:
            self.call_after_refresh(self.say, self._notice)
        self.call_after_refresh(self._start_metronome)

    def on_unmount(self) -> None:
        """Leave no sound and no open file behind."""
        if "metronome" in self.__dict__:
            self.metronome.close()
        self.store.close()

    def _start_metronome(self) -> None:
        self._connect(self.metronome)

    @work(thread=True)
    def _connect(self, metronome: "Metronome") -> None:
        metronome.connect()

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
        self._put(self._stand(song, bar))

    def _put(self, room: Room) -> None:
        """Put a room in place of the one that is open; the very first one stays beneath."""
        if len(self.screen_stack) > 1:
            self.switch_screen(room)
        else:
            self.push_screen(room)

    def _stand(self, song: Song, bar: int | None = None) -> Stand:
        try:
            self.store.song_opened(song.identity, song.chart.title)
        except LogError as error:
            self.call_after_refresh(self.say, f"{error}. Practice goes on.")
        return Stand(song, next((step.index for step in song.steps if step.bar == bar), 0))

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

    def action_shelf(self) -> None:
        """Open the Shelf."""
        self._put(Shelf())

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
