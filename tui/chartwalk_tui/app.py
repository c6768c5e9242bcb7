"""The app: it wires screens, log and metronome together."""

import asyncio
import os
import signal
from collections.abc import Callable, Iterable, Sequence
from contextlib import suppress
from dataclasses import replace
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar, Final

from textual import work
from textual.app import App, SystemCommand
from textual.binding import Binding, BindingType
from textual.command import Provider
from textual.filter import LineFilter
from textual.screen import Screen

from chartwalk.chord import ChordSymbol, Palette
from chartwalk.files import open_for_practice, tunes_of
from chartwalk.key import Key
from chartwalk.log import LogError, Store
from chartwalk.problems import ChartError
from chartwalk.song import Song
from chartwalk_tui.command_list import ActionCommands
from chartwalk_tui.editor import new_chart, run_editor
from chartwalk_tui.hangup import terminal_gone
from chartwalk_tui.looks import HARBOUR, LOOKS
from chartwalk_tui.plain_signs import PlainSigns
from chartwalk_tui.screens.ask import Ask
from chartwalk_tui.screens.pages import Proofs, help_page, problem_page
from chartwalk_tui.screens.room import FIRST_AND_EMPTY, Room
from chartwalk_tui.screens.shelf import Shelf
from chartwalk_tui.screens.stand import Errand, Stand
from chartwalk_tui.theme import THEMES, variables_of

if TYPE_CHECKING:
    from chartwalk.analysis import KeyGuess
    from chartwalk.analysis.analyst import Analyst
    from chartwalk.conductor import Conductor
    from chartwalk.metronome import Metronome
    from chartwalk.settings import Settings
    from chartwalk.trouble import Item, Spot
    from chartwalk_tui.screens.plan import Agenda

MOST_MINUTES: Final = 240  # some four hours a day are the limit (Ericsson et al. 1993, from memory)
UNLOGGED: Final = "unlogged"  # stands for the id of a song that the log refused
BROKEN: Final = 0.15  # seconds from note to note of a broken chord


class ChartwalkApp(App[None]):
    """chartwalk on the screen: on a song, on the tunes of a book (its path), or on the Shelf."""

    TITLE = "chartwalk"
    CSS_PATH = "chartwalk.tcss"
    PORT_SETTING: ClassVar[str] = "port"  # what the chosen output is kept under
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
        super().__init__()
        self.store = store
        self.agenda: Agenda | None = None
        self.analyst: Analyst | None = None
        self._make_analyst = make_analyst
        self._news = 0
        self._make_metronome = make_metronome
        self._opening, self._notice = opening, notice
        self.errand: Errand | None = None  # what is to be done on the first Stand
        self._plain_signs = PlainSigns(enabled=False)
        for theme in THEMES.values():
            self.register_theme(theme)
        kept = ["", ""]
        with suppress(LogError):
            kept = [self.store.setting(name) or "" for name in ("look.colours", "look.signs")]
        self._take_on(*kept)

    def _take_on(self, name: str, signs: str) -> None:
        """Take on the colours and the signs that the player chose."""
        self.theme = name if name in LOOKS else HARBOUR.name
        self._plain_signs.enabled = signs == "plain ASCII"

    def get_line_filters(self) -> Sequence[LineFilter]:
        """Add our own to the toolkit's."""
        own = [self._plain_signs] if self._plain_signs.enabled else []
        return [*super().get_line_filters(), *own]

    @cached_property
    def metronome(self) -> "Metronome":
        """The metronome; it starts when it is first asked for, after the first screen is up."""
        return self._make_metronome()

    @cached_property
    def conductor(self) -> "Conductor":
        """What turns the player's wishes into what the metronome plays."""
        from chartwalk.conductor import Conductor  # noqa: PLC0415 - only after the first screen

        conductor = Conductor(self.metronome)
        conductor.manner, conductor.ladder = self.settings.manner, self.settings.ladder
        self.metronome.offset = self.settings.offset
        return conductor

    @cached_property
    def settings(self) -> "Settings":
        """What the player set, now and before."""
        from chartwalk.settings import Settings  # noqa: PLC0415 - only after the first screen

        try:
            return Settings.kept(self.store.setting)
        except LogError:
            return Settings()

    def change(self, settings: "Settings") -> bool:
        """Keep other settings; they hold from the next bar line on.

        Return whether the log took them; the player is told if not.
        """
        kept = True
        try:
            for name, value in settings.chosen.items():
                if self.settings.chosen.get(name) != value:
                    self.store.set(name, value)
        except LogError as error:
            kept = False
            self.say(f"{error}. It holds until you quit.")
        self.settings = settings
        self._take_on(settings["look.colours"], settings["look.signs"])
        self.refresh(layout=True)
        conductor = self.conductor
        conductor.manner, conductor.ladder = settings.manner, settings.ladder
        self.metronome.offset = settings.offset
        if stand := self.stand:
            conductor.refresh(stand.session)
        return kept

    @property
    def stand(self) -> Stand | None:
        """The Stand, in sight or behind another room."""
        return next((room for room in self.screen_stack if isinstance(room, Stand)), None)

    def get_theme_variable_defaults(self) -> dict[str, str]:
        """Give every theme the roles' colours."""
        return variables_of(HARBOUR)

    def on_mount(self) -> None:
        """Open the first screen; what is slow to start follows once it is up."""
        opening = self._opening
        if isinstance(opening, Song):
            self.push_screen(self._stand(opening, self.errand))
        else:
            self.push_screen(Shelf(opening))
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
        said = iter(self.metronome.take_message, None)
        if message := " ".join(text for text in said if text):
            self.say(message)
        if self.analyst and self.analyst.news != self._news:
            self._news = self.analyst.news
            self._pass_on_news()
        if isinstance(self.screen, Stand):
            self.screen.look_at_the_file()
            self.screen.look_at_the_time()

    def _pass_on_news(self) -> None:
        for screen in self.screen_stack:
            if isinstance(screen, Room):
                screen.heard()

    def sound(self, palette: Palette, *, broken: bool = False) -> None:
        """Sound a chord as it is usually played, or note by note; say why where nothing sounds."""
        gap = BROKEN if broken else 0.0
        self.metronome.sound([pitch.midi for pitch in palette.usual_keys], gap)
        if silence := self.metronome.silence:
            self.say(f"No sound: {silence}")

    def numeral(self, symbol: ChordSymbol, key: Key) -> str:
        """Return a chord's Roman numeral in a key; empty while it is not known."""
        return (self.analyst.numeral(symbol, key) or "") if self.analyst else ""

    def key_guess(self, song: Song) -> "KeyGuess | None":
        """Return the key that a song sounds like; None while it is not known."""
        return self.analyst.key_of(song.chart) if self.analyst else None

    def say(self, text: str) -> None:
        """Tell the player something on the room that is in sight."""
        rooms = [screen for screen in self.screen_stack if isinstance(screen, Room)]
        if rooms:
            rooms[-1].say(text)

    def open_path(self, path: Path) -> None:
        """Open a chart file on the Stand, or show what is wrong with it; of a book, its tunes."""
        if tunes_of(path):
            self.push_screen(Shelf(path))
            return
        try:
            song = open_for_practice(path)
        except ChartError as error:
            self.push_screen(problem_page(f"{path.name} can't be opened", error.problems))
            return
        self.open(song)

    def new_chart(self, title: str | None) -> None:
        """Write a new chart's template here and open it in the player's editor."""
        if not title:
            return
        try:
            path = new_chart(title, Path.cwd())
        except FileExistsError as error:
            self.say(f"There is a file {Path(error.filename).name} already: choose another title.")
        except OSError as error:
            self.say(f"No chart can be written here: {(error.strerror or str(error)).lower()}.")
        else:
            self.edit(path)

    def edit(self, path: Path) -> None:
        """Let the player edit a chart; check it on return, and open it."""
        if why_not := run_editor(self, path):
            self.say(why_not)
            return
        try:
            song = open_for_practice(path)
            problems = song.problems
        except ChartError as error:
            song, problems = None, error.problems

        def answered(again: bool | None) -> None:
            if again:
                self.edit(path)
            elif song:
                self.open(song)

        if problems:
            title = f"{path.name}: {len(problems)} to mend"
            self.push_screen(Proofs(title, _lines_of(path), problems), answered)
        else:
            answered(False)

    def open(self, song: Song, errand: Errand | None = None) -> None:
        """Bring a song onto the Stand and do something there; an open song goes on as it is."""
        while len(self.screen_stack) > FIRST_AND_EMPTY and not isinstance(self.screen, Stand):
            self.pop_screen()
        stand = self.screen
        if not isinstance(stand, Stand) or stand.session.song.identity != song.identity:
            if isinstance(stand, Stand):
                stand.halt()  # now, not once the other song runs
            self.switch_screen(self._stand(song, errand))
            return
        if not _same(stand.session.written, song):
            stand.read_again(song)
        if errand:
            errand(stand)

    def _stand(self, song: Song, errand: Errand | None = None) -> Stand:
        return Stand(song, self.log_song(song), errand)

    def log_song(self, song: Song) -> str:
        """Let the log know a song as it is read now, and return its id there.

        The id is empty where the log refuses; the player is told.
        """
        try:
            return self.store.song(song).id
        except LogError as error:
            self.call_after_refresh(self.say, f"{error}. Practice goes on.")
            return ""

    def drill(self, song: Song, spot: "Spot") -> None:
        """Drill a spot on the Stand."""
        self.open(song, lambda stand: stand.start_drill(spot))

    def go_to_spot(self, song: Song, spot: "Spot") -> None:
        """Go to a spot on the Stand."""
        step = spot.step

        def go(stand: Stand) -> None:
            if step is None:
                stand.say("These bars are no longer played: the road leads past them.")
            else:
                stand.go_to_step(step, 0)

        self.open(song, go)

    def mark_counts(self, logged: str) -> dict[int, int]:
        """Return how many marks each written bar of a song has, by the song's id in the log."""
        try:
            return self.store.mark_counts(logged)
        except LogError:
            return {}

    def action_shelf(self) -> None:
        """Open the Shelf."""
        self.push_screen(Shelf())

    def action_log(self) -> None:
        """Open the Log."""
        from chartwalk_tui.screens.log import Log  # noqa: PLC0415 - not at the start

        self.push_screen(Log())

    def action_plan(self) -> None:
        """Show the plan under way, or ask for the minutes there are."""
        if self.agenda:
            self._show_plan(self.agenda)
        else:
            self.ask_for_minutes()

    def ask_for_minutes(self) -> None:
        """Ask how long to practise, and make a plan."""
        self.push_screen(Ask("minutes to practise "), self._plan_for)

    def _plan_for(self, minutes: str | None) -> None:
        if minutes is None:
            return
        if not (minutes.isascii() and minutes.isdigit() and 1 <= int(minutes) <= MOST_MINUTES):
            self.say(f"A plan lasts 1 to {MOST_MINUTES} minutes: type a number.")
            return
        self._make_plan(int(minutes))

    def _make_plan(self, minutes: int) -> None:
        from chartwalk.log import now_here  # noqa: PLC0415 - not at the start
        from chartwalk.trouble import Records, make_plan, review  # noqa: PLC0415 - as above
        from chartwalk_tui.screens.plan import Agenda  # noqa: PLC0415 - as above

        now = now_here()
        try:
            records = Records.of(self.store, now.date())
        except LogError as error:
            self.say(f"{error}.")
            return
        found = review(records, open_for_practice, now)
        songs = dict(found.songs)
        if self.stand:
            songs.setdefault(self.stand.logged or UNLOGGED, self.stand.session.written)
        if not songs:
            self.say("A plan needs a song: open one, then press p.")
            return
        items = make_plan(minutes, songs, found.spots, records.passes, now.date())
        self.agenda = Agenda(items, replace(found, songs=songs))
        self._show_plan(self.agenda)

    def _show_plan(self, agenda: "Agenda") -> None:
        from chartwalk_tui.screens.plan import Plan  # noqa: PLC0415 - not at the start

        self.push_screen(Plan(agenda))

    def begin_part(self, item: "Item") -> None:
        """Begin a part of the plan."""
        songs = self.agenda.review.songs if self.agenda else {}
        song = songs.get(item.song)
        if song is None:  # a pause
            self.screen.dismiss()
            self.say(f"Pause, {item.minutes} minutes: {item.why}. p shows the plan.")
        elif item.spot:
            self.drill(song, item.spot)
        else:
            self.open(song, lambda stand: stand.run_through(item.tempo))

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
        room = self.screen
        if isinstance(room, Room):
            self.push_screen(help_page(room))

    def get_system_commands(self, screen: Screen[object]) -> Iterable[SystemCommand]:
        """Offer none: every command is one of our own actions."""
        return ()


def _lines_of(path: Path) -> list[str]:
    with suppress(OSError):
        return path.read_text(encoding="utf-8", errors="replace").splitlines()
    return []


def _same(song: Song, other: Song) -> bool:
    """Whether two songs are one file that has not changed in between."""
    return song.identity == other.identity and song.chart == other.chart
