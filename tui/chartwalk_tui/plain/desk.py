"""What every part of a practice works on: the session, how it is told, what is kept of it."""

import time
from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Final

from chartwalk.files import open_for_practice
from chartwalk.itinerary import phrases
from chartwalk.log import LogError
from chartwalk.mode import Mode
from chartwalk.practice import Session
from chartwalk.problems import ChartError, Problem
from chartwalk.song import Song
from chartwalk_tui.plain.chords import (
    ChordWords,
    chord_in_full,
    chord_line,
    next_line,
    symbol_signs,
    symbol_words,
)
from chartwalk_tui.plain.home import Home
from chartwalk_tui.plain.places import bar_lines, jump_line, jump_soon, place_line, setting_line
from chartwalk_tui.plain.speech import spoken_lines
from chartwalk_tui.printable import count
from chartwalk_tui.screens.stand.remembering import recall, remember
from chartwalk_tui.views.words import passage_words

MOST_PROBLEMS: Final = 9  # told one by one


class Desk:
    """A session and the voice that tells it.

    ``tell`` prints a line; ``clock`` tells the seconds, which taps and drills are timed by.
    """

    def __init__(
        self,
        home: Home,
        song: Song,
        tell: Callable[[str], None],
        clock: Callable[[], float] = time.monotonic,
    ) -> None:
        self.home = home
        self.clock = clock
        self.signs = False  # whether names are told with # and b
        self.purpose = ""  # what a run is for, where it is more than a run
        self.asked: Callable[[str], None] | None = None  # what the next line is an answer to
        self._tell = tell
        self._take(song)

    def _take(self, song: Song) -> None:
        self.session = Session(song)
        self.logged = self._log_song(song)  # its id in the log, empty where that refuses
        self.marks: Mapping[int, int] = self._mark_counts()

    @property
    def chord(self) -> ChordWords:
        """How symbols are told."""
        return symbol_signs if self.signs else symbol_words

    def say(self, text: str) -> None:
        """Tell the player something."""
        for line in spoken_lines(text, signs=self.signs):
            self._tell(line)

    def open(self, song: Song) -> None:
        """Take up another song, as the player left it, and tell about it."""
        self.halt()
        self.remember()
        self._take(song)
        self.begin()

    def begin(self) -> None:
        """Tell what is wrong with the file, then the song and where we are."""
        self.tell_about_the_file()
        self.recall()
        self.say(f"{self.session.song.chart.title}.")
        self.say(setting_line(self.session))
        self.tell_place()

    def tell_about_the_file(self) -> None:
        """Tell what is wrong with the file, and what was mended."""
        song = self.session.written
        for what, told in (("problem", song.problems), ("notice", song.warnings)):
            if told:
                self.say(f"{count(len(told), what)} in this file.")
            for problem in told[:MOST_PROBLEMS]:
                self.say(_problem_words(problem))
            if len(told) > MOST_PROBLEMS:
                more = len(told) - MOST_PROBLEMS
                self.say(f"And {more} more: chartwalk check lists them.")

    def tell_place(self) -> None:
        """Tell the step under way: the place, the chord, the next change, a jump that is near."""
        marks = self.marks.get(self.session.here.bar, 0)
        self.say(f"{place_line(self.session, marks)} {chord_line(self.session, self.chord)}")
        self.say(next_line(self.session, self.chord))
        self.say(jump_soon(self.session))

    def here(self, _: str = "") -> None:
        """Tell all about where we are."""
        session = self.session
        self.say(f"{session.song.chart.title}. {setting_line(session)}")
        if session.mode is not Mode.STOPPED:
            self.say(f"{session.mode.value.capitalize()}.")
        if session.passage:
            self.say(passage_words(session))
        self.say(place_line(session, self.marks.get(session.here.bar, 0)))
        self.say(chord_line(session, self.chord))
        self.say(next_line(session, self.chord))
        self.say(jump_line(session))

    def bar_in_full(self, _: str = "") -> None:
        """Tell the bar under way: its chords, its tune, its words."""
        for line in bar_lines(self.session, self.chord):
            self.say(line)

    def symbol(self, _: str = "") -> None:
        """Tell the chord now in full."""
        symbol = self.session.now.symbol
        if symbol is None:
            self.say("No chord here yet.")
            return
        for line in chord_in_full(symbol, self.chord):
            self.say(line)

    def road(self, _: str = "") -> None:
        """Tell the play order, a stretch a line."""
        song = self.session.song
        self.say(f"{count(len(song.bars), 'bar')} on paper, {len(song.steps)} as played.")
        for phrase in phrases(song):
            self.say(f"{phrase[:1].upper()}{phrase[1:]}.")

    def toggle_signs(self, _: str = "") -> None:
        """Tell names with # and b, or in words."""
        self.signs = not self.signs
        self.tell_place()

    # Moving by hand.

    def go(self, session: Session) -> None:
        """Move by hand; a run stops, for the hands are elsewhere now."""
        self.halt()
        self.session = replace(session, mode=Mode.STOPPED, lap=0, looped=None)
        self.tell_place()

    def halt(self) -> None:
        """Stop what runs or waits."""
        if self.session.mode is not Mode.STOPPED:
            self.session = self.home.conductor.stop(self.session)
        self.heed()

    def heed(self) -> None:
        """Write down what was played; the part of the practice that marks does."""

    # The file and the log.

    def edit(self, _: str = "") -> None:
        """Read the chart again, at the same place, key and depth."""
        try:
            song = open_for_practice(self.session.written.path)
        except ChartError as error:
            self.say(f"The chart can't be read. {_problem_words(error.problems[0])}")
            return
        self.halt()
        self.session = self.session.reopened(song)
        self.logged = self._log_song(song) or self.logged
        self.marks = self._mark_counts()
        self.say("Read again.")
        self.tell_about_the_file()
        self.tell_place()

    def remember(self) -> None:
        """Keep how the song is played now."""
        remember(self.home.store, self.logged, self.session)

    def recall(self) -> None:
        """Play the song as the player left it."""
        self.session = recall(self.home.store, self.logged, self.session)

    def refused(self, error: LogError, rest: str = "Practice goes on.") -> None:
        """Tell what the log could not do."""
        self.say(f"{error}. {rest}")

    def _log_song(self, song: Song) -> str:
        try:
            return self.home.store.song(song).id
        except LogError as error:
            self.refused(error)
            return ""

    def _mark_counts(self) -> Mapping[int, int]:
        try:
            return self.home.store.mark_counts(self.logged)
        except LogError:
            return {}


def _problem_words(problem: Problem) -> str:
    """Say a problem with its place in the file."""
    line = f"line {problem.line}" if problem.line else ""
    column = f"column {problem.column}" if problem.column else ""
    bar = f"bar {problem.bar}" if problem.bar and not problem.line else ""
    place = ", ".join(filter(None, (line, column, bar)))
    message = problem.message.rstrip(".")
    return f"{place[:1].upper()}{place[1:]}: {message}." if place else f"{message}."
