"""The log told, and the drill: a trouble spot round and round, slow first, faster when clean."""

from dataclasses import replace
from fractions import Fraction
from typing import Final

from chartwalk.chord import ChordError, ChordSymbol
from chartwalk.files import open_for_practice
from chartwalk.log import LogError, now_here
from chartwalk.practice import Session
from chartwalk.song import Song
from chartwalk.trouble import (
    Drilled,
    Fullness,
    Records,
    Review,
    Spot,
    begin,
    fullnesses,
    passage,
    return_words,
    review,
    spot_words,
)
from chartwalk_tui.plain.marking import Marking
from chartwalk_tui.plain.playing import Playing
from chartwalk_tui.screens.stand.drilling import DRILL, Underway
from chartwalk_tui.views.words import count

MOST_SPOTS: Final = 9  # told in a list
NO_SPOTS: Final = "No trouble spots. m marks the bar that went wrong; it comes back here."
NO_LONGER: Final = "These bars are no longer played: the road leads past them."


class Drilling(Playing, Marking):
    """The log, and drills."""

    drilled: Underway | None = None
    _spots: tuple[tuple[Song, Spot], ...] = ()  # as they were told

    def log(self, number: str) -> None:
        """Tell the trouble spots, those that are due first; with a number, drill that one."""
        if not number:
            self._tell_spots()
            return
        if not self._spots:
            self._spots = self._found()[1]
        whole = number.isascii() and number.isdigit() and len(number) <= len(str(MOST_SPOTS))
        if whole and 0 < int(number) <= len(self._spots):
            self._drill(*self._spots[int(number) - 1])
        else:
            self.say(f"There is no spot {number}; t lists them.")

    def _found(self) -> tuple[Review, tuple[tuple[Song, Spot], ...]]:
        """Return what the log knows now, and its spots with their songs, the due ones first."""
        now = now_here()
        try:
            records = Records.of(self.home.store, now.date())
        except LogError as error:
            self.refused(error)
            records = Records()
        found = review(records, open_for_practice, now)
        spots = (*found.due, *found.later)[:MOST_SPOTS]
        return found, tuple((found.songs[spot.song], spot) for spot in spots)

    def _tell_spots(self) -> None:
        found, self._spots = self._found()
        if not self._spots:
            self.say(NO_SPOTS)
            return
        many = count(len(found.spots), "trouble spot")
        self.say(f"{many}, {len(found.due)} due now. t and a number drills one.")
        for number, (song, spot) in enumerate(self._spots, start=1):
            back = return_words(found.returns[spot], found.today)
            self.say(f"{number}. {song.chart.title}: {self._spot_words(song, spot)}, {back}.")

    def _spot_words(self, song: Song, spot: Spot) -> str:
        """Say where a spot is and how it stands, its chords as they are told here."""
        words = spot_words(song, spot)
        for text in spot.change or ():
            try:
                symbol = ChordSymbol.parse(text)
            except ChordError:
                continue
            words = words.replace(symbol.display, self.chord(symbol), 1)
        return words

    def _drill(self, song: Song, spot: Spot) -> None:
        """Drill a spot, of another song too."""
        self.halt()
        if song.identity != self.session.written.identity:
            self.open(song)
        song, settings = self.session.written, self.home.settings
        steps = passage(song, spot)
        if steps is None:
            self.say(NO_LONGER)
            return
        ladder = fullnesses(song, *steps) if settings.fuller else (Fullness.WRITTEN,)
        drill = begin(song, spot, ladder, settings.clean_rounds, Fraction(settings.drill_minutes))
        if drill is None:
            return
        self.drilled = Underway(self.clock(), self.session, drill.because.words)
        self.purpose = DRILL
        self.session = self.home.conductor.drill(self.session, Drilled.of(drill))
        self.say(f"Drill. {drill.because.words} m marks a round that went wrong; r stops.")
        self.started()

    def follow(self) -> None:
        """Follow the clock; tell when and why the drill changes, and end it when its time is up."""
        lap, rounds = self.session.lap, self.home.conductor.plan
        super().follow()
        if self.drilled is None or not isinstance(rounds, Drilled):
            return
        if not self.session.mode.moving:
            if self.ran_out:  # a clock that was lost says so itself
                self._say_why(rounds.at(lap).because.words)
            self.ran_out = False
            self._restore()
            return
        self._watch_the_time(rounds)
        self._say_why(rounds.at(max(0, self.session.lap - 1)).because.words)

    def go(self, session: Session) -> None:
        """Move by hand; a drill is over then."""
        super().go(self._as_before(session))

    def halt(self) -> None:
        """Stop; a drill is over then."""
        super().halt()
        self._restore()

    def _watch_the_time(self, rounds: Drilled) -> None:
        began = self.drilled.began if self.drilled else 0.0
        minutes = Fraction(self.clock() - began).limit_denominator(1000) / 60
        round_ = max(0, self.session.lap - 1)
        after = rounds.elapsed(round_, minutes)
        if after.drill.ended and not rounds.at(round_).ended:
            self.home.conductor.change(self.session, after)

    def _say_why(self, words: str) -> None:
        """Tell the sentence, if it is another than the last."""
        if self.drilled and words != self.drilled.told:
            self.drilled = Underway(self.drilled.began, self.drilled.before, words)
            self.say(words)

    def _restore(self) -> None:
        """Give the song back its tempo and depth of before the drill."""
        self.session = self._as_before(self.session)
        self.drilled, self.purpose = None, ""

    def _as_before(self, session: Session) -> Session:
        """Return a session with the tempo and depth of before the drill, if one is under way."""
        if self.drilled is None:
            return session
        before = self.drilled.before
        depth = before.arrangement.depth
        here = session.arrange(replace(session.arrangement, depth=depth))
        return replace(here, scale=before.scale)
