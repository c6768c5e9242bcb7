"""What every screen finds at home: log, metronome, settings, looks, and a line to the player."""

from collections.abc import Callable, Sequence
from contextlib import suppress
from functools import cached_property
from typing import TYPE_CHECKING, ClassVar, Final

from textual.app import App
from textual.filter import LineFilter

from chartwalk.chord import ChordSymbol, Palette
from chartwalk.key import Key
from chartwalk.log import LogError, Store
from chartwalk.song import Song
from chartwalk_tui.looks import HARBOUR, LOOKS
from chartwalk_tui.plain_signs import PlainSigns
from chartwalk_tui.screens.room import Room
from chartwalk_tui.screens.stand import Stand
from chartwalk_tui.screens.stand.arranging import BROKEN
from chartwalk_tui.theme import THEMES, variables_of

if TYPE_CHECKING:
    from chartwalk.analysis import KeyGuess
    from chartwalk.analysis.analyst import Analyst
    from chartwalk.conductor import Conductor
    from chartwalk.metronome import Metronome
    from chartwalk.settings import Settings
    from chartwalk.trouble import Reviewer
    from chartwalk_tui.screens.plan import Agenda

PLAIN: Final = "plain ASCII"


class Home(App[None]):
    """The log, the metronome and the settings, for all screens."""

    PORT_SETTING: ClassVar[str] = "port"  # what the chosen output is kept under

    def __init__(self, store: Store, make_metronome: "Callable[[], Metronome]") -> None:
        super().__init__()
        self.store = store
        self.agenda: Agenda | None = None
        self.analyst: Analyst | None = None
        self._make_metronome = make_metronome
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
        self._plain_signs.enabled = signs == PLAIN

    def get_line_filters(self) -> Sequence[LineFilter]:
        """Add our own to the toolkit's."""
        own = [self._plain_signs] if self._plain_signs.enabled else []
        return [*super().get_line_filters(), *own]

    def get_theme_variable_defaults(self) -> dict[str, str]:
        """Give every theme the roles' colours."""
        return variables_of(HARBOUR)

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

    @cached_property
    def reviewer(self) -> "Reviewer":
        """What works out trouble spots from the log, and remembers."""
        from chartwalk.trouble import Reviewer  # noqa: PLC0415 - only where spots are asked for

        return Reviewer()

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

    def sound(self, palette: Palette, *, broken: bool = False) -> None:
        """Sound a chord as it is usually played, or note by note; say why where nothing sounds."""
        gap = BROKEN if broken else 0.0
        self.metronome.sound([pitch.midi for pitch in palette.usual_keys], gap)
        if silence := self.metronome.silence:
            self.say(f"No sound. {silence}")

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

    def log_song(self, song: Song) -> str:
        """Let the log know a song as it is read now, and return its id there.

        The id is empty where the log refuses; the player is told.
        """
        try:
            return self.store.song(song).id
        except LogError as error:
            self.call_after_refresh(self.say, f"{error}. Practice goes on.")
            return ""

    def mark_counts(self, logged: str) -> dict[int, int]:
        """Return how many marks each written bar of a song has, by the song's id in the log."""
        try:
            return self.store.mark_counts(logged)
        except LogError:
            return {}
