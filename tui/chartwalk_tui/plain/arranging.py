"""How the song is played, and how a chord sounds: key, depth, sound."""

from dataclasses import replace

from chartwalk.arrange import Arrangement
from chartwalk.depth import Depth
from chartwalk_tui.plain.desk import Desk
from chartwalk_tui.printable import count
from chartwalk_tui.screens.stand.arranging import BROKEN
from chartwalk_tui.views.words import chordless_words, depth_words, key_words


class Arranging(Desk):
    """The letters that sound a chord and change how the song is played."""

    def sound(self, _: str = "") -> None:
        """Sound the chord now."""
        self._sound(0.0)

    def arpeggio(self, _: str = "") -> None:
        """Sound the chord now note by note."""
        self._sound(BROKEN)

    def _sound(self, gap: float) -> None:
        symbol = self.session.now.symbol
        if symbol is None or symbol.silent:
            self.say(chordless_words(self.session))
            return
        self.home.metronome.sound([pitch.midi for pitch in symbol.palette.usual_keys], gap)
        if silence := self.home.metronome.silence:
            self.say(f"No sound. {silence}")

    def key_down(self, _: str = "") -> None:
        """Play the song a semitone lower."""
        self._move(-1)

    def key_up(self, _: str = "") -> None:
        """Play the song a semitone higher."""
        self._move(1)

    def _move(self, semitones: int) -> None:
        shift = self.session.arrangement.moved(semitones).shift
        self._arrange(replace(self.session.arrangement, shift=shift))
        self.say(key_words(self.session))

    def depth(self, _: str = "") -> None:
        """Play the next plainer depth, or all as written again; a run goes on."""
        self._arrange(self.session.arrangement.plainer())
        self.say(self._depth_words())

    def _depth_words(self) -> str:
        spared = sum(map(len, self.session.song.spared))
        if self.session.arrangement.depth is not Depth.LEAN or not spared:
            return depth_words(self.session)
        return f"Lean: {count(spared, 'change')} left out; x tells those of a bar."

    def _arrange(self, arrangement: Arrangement) -> None:
        self.session = self.session.arrange(arrangement)
        if self.session.mode.moving:
            self.home.conductor.refresh(self.session)
