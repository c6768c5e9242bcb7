"""Marking trouble without stopping, and writing down what is played."""

from collections.abc import Sequence
from typing import Final

from chartwalk.conductor import Done
from chartwalk.log import Kind, LogError, MarkRecord, mark_here, now_here
from chartwalk.log.diary import Diary
from chartwalk.practice import Session
from chartwalk.song import Song
from chartwalk_tui.plain.desk import Desk
from chartwalk_tui.plain.places import bar_name
from chartwalk_tui.screens.stand.marking import KINDS
from chartwalk_tui.views.words import bar_words

KIND_LETTERS: Final = "mc chord, mj jump, mt tune, mr rhythm, mw words, mh hands"


class Marking(Desk):
    """The letters that mark; every pass is written without a letter."""

    made: tuple[MarkRecord, ...] = ()  # the marks made since the song was opened
    _diary: Diary | None = None

    def mark(self, letter: str) -> None:
        """Write a mark, of a kind where its letter follows."""
        blamed = self.home.conductor.blamed(self.session)
        kind = KINDS.get(letter, Kind.UNSAID)
        if not self._mark(blamed):
            return
        if kind is not Kind.UNSAID:
            self._amend(kind=kind)
        said = f": {kind.value}" if kind.value else ""
        self.say(f"Marked {self._named(blamed)}{said}.")
        if letter and kind is Kind.UNSAID:
            self.say(f"{letter} is no kind of trouble. The kinds: {KIND_LETTERS}.")

    def mark_words(self, words: str) -> None:
        """Write a mark with a word about it; ask for it where none follows."""
        blamed = self.home.conductor.blamed(self.session)
        if not self._mark(blamed):
            return
        if words:
            self._amend(words=words)
            self.say(f"Marked {self._named(blamed)}: {words}")
        else:
            self.say(f"Marked {self._named(blamed)}. Type a word about it.")
            self.asked = self._say_more

    def unmark(self, _: str = "") -> None:
        """Take the last mark back."""
        if not self.made:
            self.say("No mark was made here since the song was opened.")
            return
        *rest, last = self.made
        try:
            self.home.store.unmark(last.id)
        except LogError as error:
            self.refused(error)
            return
        self.made = tuple(rest)
        self.home.conductor.forgive(self.session)
        self.marks = self._mark_counts()
        self.say(f"Took back the mark on {bar_words(last.anchor.number)}.")

    def heed(self) -> None:
        """Write down what was played."""
        done = self.home.conductor.take_done()
        if done and self.logged:
            self._write(done)
        if self._diary and not self.session.mode.moving:
            self._diary.close()

    def _write(self, done: Sequence[Done]) -> None:
        if self._diary is None:
            self._diary = Diary(self.home.store, self.logged)
        try:
            self._diary.write(self.session, done, now_here(), self.purpose)
        except LogError as error:
            self.refused(error)

    def _take(self, song: Song) -> None:
        super()._take(song)
        self.made, self._diary = (), None

    def _named(self, blamed: Session) -> str:
        """Name the bar and the chord that a mark is about."""
        symbol = blamed.now.symbol
        return bar_name(blamed) + (f", {self.chord(symbol)}" if symbol else "")

    def _mark(self, blamed: Session) -> bool:
        mark = mark_here(blamed, self.logged, now_here())
        try:
            self.home.store.mark(mark)
        except LogError as error:
            self.refused(error)
            return False
        self.made = (*self.made, mark)
        self.home.conductor.trouble(self.session)
        bar = blamed.here.bar
        self.marks = {**self.marks, bar: self.marks.get(bar, 0) + 1}
        return True

    def _amend(self, kind: Kind | None = None, words: str | None = None) -> None:
        try:
            self.home.store.amend(self.made[-1].id, kind=kind, words=words)
        except LogError as error:
            self.refused(error, "The mark itself is kept.")

    def _say_more(self, words: str) -> None:
        if words:
            self._amend(words=words)
            self.say(f"{bar_words(self.made[-1].anchor.number).capitalize()}: {words}")
