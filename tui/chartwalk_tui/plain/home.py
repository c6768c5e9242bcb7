"""What a practice works with: the log, the metronome and its conductor, the player's settings."""

from collections.abc import Callable
from functools import cached_property
from typing import Final

from chartwalk.conductor import Conductor
from chartwalk.log import LogError, Store
from chartwalk.metronome import Metronome
from chartwalk.settings import Settings
from chartwalk.trouble import Reviewer

PORT: Final = "port"  # what the chosen output is kept under


class Home:
    """Log, metronome and settings; the metronome starts when it is first asked for."""

    def __init__(self, store: Store, make_metronome: Callable[[], Metronome]) -> None:
        self.store = store
        self._make_metronome = make_metronome
        self.reviewer = Reviewer()

    @cached_property
    def metronome(self) -> Metronome:
        """The metronome."""
        return self._make_metronome()

    @cached_property
    def settings(self) -> Settings:
        """What the player set, here or on the screens."""
        try:
            return Settings.kept(self.store.setting)
        except LogError:
            return Settings()

    @cached_property
    def conductor(self) -> Conductor:
        """What turns the player's wishes into what the metronome plays."""
        conductor = Conductor(self.metronome)
        conductor.manner, conductor.ladder = self.settings.manner, self.settings.ladder
        self.metronome.offset = self.settings.offset
        return conductor

    def change(self, settings: Settings) -> None:
        """Play by other settings from now on, and keep them; raise LogError where they can't be."""
        before, self.settings = self.settings.chosen, settings
        self.conductor.manner, self.conductor.ladder = settings.manner, settings.ladder
        for name, value in settings.chosen.items():
            if before.get(name) != value:
                self.store.set(name, value)

    def close(self) -> None:
        """Leave no sound and no open file behind."""
        if "metronome" in self.__dict__:
            self.metronome.close()
        self.store.close()
