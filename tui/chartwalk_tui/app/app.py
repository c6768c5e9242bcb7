"""The app: it wires screens, log and metronome together."""

import asyncio
import gc
import os
import signal
from collections.abc import Callable, Iterable
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from textual import work
from textual.app import SystemCommand
from textual.binding import Binding, BindingType
from textual.command import Provider
from textual.screen import Screen

from chartwalk.log import Store
from chartwalk.song import Song
from chartwalk_tui.app.planning import Planning
from chartwalk_tui.command_list import ActionCommands
from chartwalk_tui.hangup import terminal_gone
from chartwalk_tui.screens.room import Room
from chartwalk_tui.screens.stand import Errand, Stand

if TYPE_CHECKING:
    from chartwalk.analysis.analyst import Analyst
    from chartwalk.metronome import Metronome


class ChartwalkApp(Planning):
    """chartwalk on the screen: on a song, on the tunes of a book (its path), or on the Shelf."""

    TITLE = "chartwalk"
    CSS_PATH = "chartwalk.tcss"
    COMMANDS: ClassVar[set[type[Provider] | Callable[[], type[Provider]]]] = {ActionCommands}
    BINDINGS: ClassVar[list[BindingType]] = [
        # over every page, list and question, where the toolkit has other plans for it
        Binding("ctrl+c", "quit", show=False, priority=True)
    ]

    def __init__(
        self,
        store: Store,
        make_metronome: "Callable[[], Metronome]",
        opening: Song | Path | None = None,
        notice: str = "",
        make_analyst: "Callable[[], Analyst] | None" = None,
    ) -> None:
        super().__init__(store, make_metronome)
        self._make_analyst = make_analyst
        self._news = 0
        self._opening, self._notice = opening, notice
        self.errand: Errand | None = None  # what is to be done on the first Stand

    def on_mount(self) -> None:
        """Open the first screen; what is slow to start follows once it is up."""
        opening = self._opening
        if isinstance(opening, Song):
            self.push_screen(self._stand(opening, self.errand))
        else:
            self.show_shelf(opening)
        if self._notice:
            self.call_after_refresh(self.say, self._notice)
        self.call_after_refresh(self._start_helpers)
        with suppress(NotImplementedError, RuntimeError, AttributeError):  # not on Windows
            loop = asyncio.get_running_loop()
            loop.add_signal_handler(signal.SIGTERM, self._leave)
            loop.add_signal_handler(signal.SIGHUP, self._hung_up)

    async def action_quit(self) -> None:
        """Leave."""
        self._leave()

    def _leave(self) -> None:
        """Leave; what was played is written down, the song on the Stand is kept as it is."""
        if self.stand:
            self.stand.halt()
            self.stand.remember()
        self.exit()

    def _hung_up(self) -> None:
        """End; at once if the terminal is gone, where writing to it would wait for ever."""
        if terminal_gone():
            if self.stand:
                self.stand.halt()
            self._let_go()
            os._exit(0)
        self._leave()

    def on_unmount(self) -> None:
        """Leave no sound and no open file behind."""
        self._let_go()

    def _let_go(self) -> None:
        if "metronome" in self.__dict__:
            self.metronome.close()
        if self.analyst:
            self.analyst.close()
        self.store.close()

    def _start_helpers(self) -> None:
        if not gc.isenabled():  # what start-up made is never looked at again: it would hold us up
            gc.freeze()
            gc.enable()
        self._connect(self.metronome)
        if self._make_analyst:
            self.analyst = self._make_analyst()
            self._pass_on_news()
        self.set_interval(1, self.hear)

    @work(thread=True)
    def _connect(self, metronome: "Metronome") -> None:
        metronome.connect()

    def hear(self) -> None:
        """Pass on what the clock has to say, and what has been found out about chords."""
        if not self.screen_stack:  # the last tick, while the app is leaving
            return
        said = iter(self.metronome.take_message, None)
        if message := " ".join(text for text in said if text):
            self.say(message)
        if self.analyst and self.analyst.news != self._news:
            self._news = self.analyst.news
            self._pass_on_news()
        if isinstance(self.screen, Stand) and self.screen.is_mounted:
            self.screen.look_at_the_file()
            self.screen.look_at_the_time()

    def _pass_on_news(self) -> None:
        for screen in self.screen_stack:
            if isinstance(screen, Room):
                screen.call_later(screen.heard)  # one that is not laid out yet hears it then

    def action_shelf(self) -> None:
        """Open the Shelf."""
        self.show_shelf()

    def action_log(self) -> None:
        """Open the Log."""
        from chartwalk_tui.screens.log import Log  # noqa: PLC0415 - not at the start

        self.push_screen(Log())

    def action_setup(self) -> None:
        """Open Setup."""
        from chartwalk_tui.screens.setup import Setup  # noqa: PLC0415 - not at the start

        self.push_screen(Setup())

    def action_click(self) -> None:
        """Open the Click screen."""
        from chartwalk_tui.screens.click import Click  # noqa: PLC0415 - not at the start

        self.push_screen(Click())

    def action_help(self) -> None:
        """Show the help of the screen that is open."""
        from chartwalk_tui.screens.pages import help_page  # noqa: PLC0415 - not at the start

        room = self.screen
        if isinstance(room, Room):
            self.push_screen(help_page(room))

    def get_system_commands(self, screen: Screen[object]) -> Iterable[SystemCommand]:
        """Offer none: every command is one of our own actions."""
        return ()
