"""The click and the guide: running, looping, listening, tempo, and what is told meanwhile."""

from fractions import Fraction
from typing import Final

from chartwalk.guide import Part
from chartwalk.log import LogError
from chartwalk.mode import Mode
from chartwalk.practice import Session
from chartwalk.song import Song
from chartwalk.tap import Taps
from chartwalk_tui.plain.desk import Desk
from chartwalk_tui.plain.places import bar_name, coming_line, tempo_words
from chartwalk_tui.screens.stand.playing import once_more
from chartwalk_tui.views.words import guide_words, loop_words, passage_words

MOST_DIGITS: Final = 3  # of a tempo that is typed


class Playing(Desk):
    """The letters that play."""

    began = 0  # the step that the last run began with
    ran_out = False  # whether it went on to the end
    told_silent = False
    every_bar = False  # whether each bar of a run is told
    taps = Taps()
    _told: tuple[int, int] | None = None  # step and round of the bar that was begun last
    _scale = Fraction(1)  # its tempo against the written one

    def _take(self, song: Song) -> None:
        super()._take(song)
        self.began, self.ran_out, self.told_silent = 0, False, False

    def go(self, session: Session) -> None:
        """Move by hand; the next run begins there."""
        self.ran_out = False
        super().go(session)

    def run(self, _: str = "") -> None:
        """Count in and run, or stop."""
        if self.session.mode.moving:
            self._stop()
            return
        if self.ran_out and self.session.step == self.session.end().step:
            self.session = once_more(self.session, self.began)
        self.began, self.ran_out = self.session.step, False
        self.session = self.home.conductor.run(self.session)
        self.say(f"Run from {bar_name(self.session)}, {tempo_words(self.session)}. r stops.")
        self.started()

    def loop(self, _: str = "") -> None:
        """Loop the passage, or stop it."""
        if self.session.lap:
            self._stop()
            return
        self.halt()
        self.session = self.home.conductor.loop(self.session)
        self.say(loop_words(self.session))
        self.started()

    def listen(self, _: str = "") -> None:
        """Play the passage for the player to hear, or stop."""
        if self.session.mode.moving and self.home.conductor.aim is Mode.LISTENING:
            self._stop()
            return
        self.halt()
        self.session = self.home.conductor.listen(self.session)
        self.say(f"Listen from {bar_name(self.session)}. f stops.")
        self.started()

    def _stop(self) -> None:
        self.halt()
        self.say(f"Stopped at {bar_name(self.session)}.")

    def started(self) -> None:
        """Be ready to follow the clock; say, once a song, why nothing sounds."""
        self._told = None
        silence = self.home.metronome.silence
        if silence and not self.told_silent:
            self.told_silent = True
            self.say(f"The click makes no sound. {silence}")
            self.say("y has every bar told as it begins.")

    def look(self) -> None:
        """Pass on what the clock has to say, and follow it."""
        for message in iter(self.home.metronome.take_message, None):
            self.say(message)
        if self.session.mode.moving:
            self.follow()

    def follow(self) -> None:
        """Ask the clock where it is, and tell what begins."""
        self.session, where = self.home.conductor.follow(self.session)
        self.heed()
        if where is None:
            self._over()
        elif where.turn.counted is None and self._told != (self.session.step, self.session.lap):
            self._bar_begins()

    def _bar_begins(self) -> None:
        session, before = self.session, self._told
        self._told = session.step, session.lap
        if before and before[1] != session.lap:
            tempo = f", {tempo_words(session)}" if session.scale != self._scale else ""
            self.say(f"Round {session.lap}{tempo}.")
        self._scale = session.scale
        if self.every_bar:
            self.say(f"{bar_name(session).capitalize()}. {self._chord_alone()}")
        plan = self.home.conductor.plan
        self.say(coming_line(session, plan.last if plan else session.end().step))

    def _chord_alone(self) -> str:
        symbol = self.session.now.symbol
        return f"{self.chord(symbol)}." if symbol else ""

    def _over(self) -> None:
        listened = self.session.mode is Mode.WAITING
        self.ran_out = self.home.metronome.finished and not listened
        if listened:
            self.say("That is how it goes. Your turn: r runs from here, l loops it.")
        else:
            self.say("The end." if self.ran_out else f"Stopped at {bar_name(self.session)}.")

    def toggle_bars(self, _: str = "") -> None:
        """Tell every bar of a run, or sections and jumps alone."""
        self.every_bar = not self.every_bar
        told = "every bar as it begins" if self.every_bar else "sections and jumps, one bar ahead"
        self.say(f"A run tells {told}.")

    def passage_start(self, _: str = "") -> None:
        """Begin the passage here."""
        self._passage(self.session.starting_here())

    def passage_end(self, _: str = "") -> None:
        """End the passage here."""
        self._passage(self.session.ending_here())

    def _passage(self, session: Session) -> None:
        self.session = session = self.home.conductor.passage(session)
        loops = session.looped and session.looped == session.passage
        self.say(loop_words(session) if loops else passage_words(session))

    def slower(self, _: str = "") -> None:
        """One metronome mark slower."""
        self._tempo(self.session.in_tempo(up=False))

    def faster(self, _: str = "") -> None:
        """One metronome mark faster."""
        self._tempo(self.session.in_tempo(up=True))

    def tap(self, number: str) -> None:
        """Take the tempo from the player's taps, or as it is typed, in beats a minute."""
        if number:
            self._typed_tempo(number)
            return
        self.taps = self.taps.tap(self.clock())
        if self.taps.tempo is None:
            self.say("b and Enter on every beat: the tempo follows.")
        else:
            self._tempo(self.session.at_tempo(self.taps.tempo))

    def _typed_tempo(self, number: str) -> None:
        whole = number.isascii() and number.isdigit() and len(number) <= MOST_DIGITS
        if whole and int(number):
            self._tempo(self.session.at_tempo(Fraction(int(number))))
        else:
            self.say("Type a tempo in beats a minute, such as b 96.")

    def _tempo(self, session: Session) -> None:
        self.session = session
        self.home.conductor.tempo(session)
        self.say(f"{tempo_words(self.session).capitalize()}.")

    def chords_part(self, _: str = "") -> None:
        """Play the chords along, or no longer."""
        self._toggle(Part.CHORDS)

    def bass_part(self, _: str = "") -> None:
        """Play the bass along, or no longer."""
        self._toggle(Part.BASS)

    def tune_part(self, _: str = "") -> None:
        """Play the tune along, or no longer."""
        self._toggle(Part.TUNE)

    def _toggle(self, part: Part) -> None:
        settings = self.home.settings.toggled(part)
        try:
            self.home.change(settings)
        except LogError as error:
            self.refused(error, "It holds until you quit.")
        self.home.conductor.refresh(self.session)
        self.say(guide_words(settings.guide))
