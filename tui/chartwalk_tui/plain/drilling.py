"""The log told, and the drill: a trouble spot round and round, slow first, faster when clean."""

from fractions import Fraction
from typing import Final

from chartwalk.chord import ChordError, ChordSymbol
from chartwalk.log import LogError, now_here
from chartwalk.practice import Session
from chartwalk.song import Song
from chartwalk.trouble import (
    Drilled,
    Records,
    Review,
    Spot,
    Underway,
    Wish,
    return_words,
    spot_words,
)
from chartwalk_tui.plain.marking import Marking
from chartwalk_tui.plain.playing import Playing
from chartwalk_tui.printable import count
from chartwalk_tui.screens.stand.drilling import DRILL, NO_LONGER

MOST_SPOTS: Final = 9  # told in a list
NO_SPOTS: Final = "No trouble spots. m marks the bar that went wrong; it comes back here."


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
        found = self.home.reviewer.review(records, now)
        spots = (*found.due, *found.fresh, *found.later)[:MOST_SPOTS]
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
        settings = self.home.settings
        wish = Wish(settings.clean_rounds, Fraction(settings.drill_minutes), settings.fuller)
        begun = Underway.begin(self.home.conductor, self.session, spot, wish, self.clock())
        if begun is None:
            self.say(NO_LONGER)
            return
        self.session, self.drilled = begun
        self.purpose = DRILL
        self.say(f"Drill. {self.drilled.told} m marks a round that went wrong; r stops.")
        self.started()

    def follow(self) -> None:
        """Follow the clock; tell when and why the drill changes, and end it when its time is up."""
        lap, rounds = self.session.lap, self.home.conductor.plan
        super().follow()
        if self.drilled is None or not isinstance(rounds, Drilled):
            return
        if self.session.mode.moving:
            self.drilled.watch(self.home.conductor, self.session, rounds, self.clock())
            lap = self.session.lap - 1
        if self.session.mode.moving or self.ran_out:  # a clock that was lost says so itself
            self.drilled, words = self.drilled.news(rounds, lap)
            if words:
                self.say(words)
        if not self.session.mode.moving:
            self.ran_out = False
            self._restore()

    def go(self, session: Session) -> None:
        """Move by hand; a drill is over then."""
        super().go(self._as_before(session))

    def halt(self) -> None:
        """Stop; a drill is over then."""
        super().halt()
        self._restore()

    def _restore(self) -> None:
        """Give the song back its tempo and depth of before the drill."""
        self.session = self._as_before(self.session)
        self.drilled, self.purpose = None, ""

    def _as_before(self, session: Session) -> Session:
        """Return a session with the tempo and depth of before the drill, if one is under way."""
        return self.drilled.as_before(session) if self.drilled else session
