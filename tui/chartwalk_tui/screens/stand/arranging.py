"""The chord, and how the song is played: sound, key, depth, numerals."""

from dataclasses import replace
from typing import Final

from chartwalk.arrange import Arrangement
from chartwalk_tui import views
from chartwalk_tui.screens.stand.base import OnTheStand

BROKEN: Final = 0.15  # seconds from note to note of a broken chord


class Arranging(OnTheStand):
    """The keys that look into chords and change how the song is played."""

    def action_symbol(self) -> None:
        """Open the Symbol screen on the chord now."""
        if self.session.now.symbol is None:
            self.say("No chord here yet. Go on to one, then press c.")
        else:
            from chartwalk_tui.screens.symbol import Symbol  # noqa: PLC0415 - not at the start

            self.app.push_screen(Symbol(self.session, self.guess))

    def action_sound(self) -> None:
        """Sound the chord now."""
        self._sound(broken=False)

    def action_arpeggio(self) -> None:
        """Sound the chord now note by note."""
        self._sound(broken=True)

    def _sound(self, *, broken: bool) -> None:
        symbol = self.session.now.symbol
        if symbol is None or symbol.silent:
            self.say(views.chordless_words(self.session))
        else:
            self.home.sound(symbol.palette, broken=broken)

    def action_voice(self) -> None:
        """Open the Voice screen."""
        from chartwalk_tui.screens.voice import Voice  # noqa: PLC0415 - not at the start

        shift = self.session.arrangement.shift
        self.app.push_screen(Voice(self.session.written.chart, shift, self.take_key))

    def take_key(self, shift: int) -> None:
        """Play the song ``shift`` semitones from the written key."""
        self._arrange(replace(self.session.arrangement, shift=shift))
        self.say(views.key_words(self.session))

    def action_key_down(self) -> None:
        """Play the song a semitone lower."""
        self.take_key(self.session.arrangement.moved(-1).shift)

    def action_key_up(self) -> None:
        """Play the song a semitone higher."""
        self.take_key(self.session.arrangement.moved(1).shift)

    def action_depth(self) -> None:
        """Play the next plainer depth, or all as written again; a run goes on."""
        self._arrange(self.session.arrangement.plainer())
        self.say(views.depth_words(self.session))

    def _arrange(self, arrangement: Arrangement) -> None:
        self.session = self.session.arrange(arrangement)
        if self.session.mode.moving:
            self.home.conductor.refresh(self.session)
        self.show()

    def action_numerals(self) -> None:
        """Show the Roman numerals, or no longer."""
        self.numerals = not self.numerals
        self.show()
        if self.numerals and not self.home.analyst:
            self.say("Roman numerals are not available.")

    def heard(self) -> None:
        """Show numerals and the likely key as soon as they are known; say once if it is a guess."""
        guess = self.home.key_guess(self.session.written)
        if guess != self.guess:
            self.guess = guess
            if words := views.guess_words(self.session, guess):
                self.say(words)
        self.show()
