"""Marking trouble without stopping, and writing down what is played."""

from typing import TYPE_CHECKING, Final

from textual.timer import Timer

from chartwalk.log import Kind, LogError, MarkRecord, mark_here, now_here
from chartwalk.practice import Session
from chartwalk_tui import views
from chartwalk_tui.screens.ask import Ask
from chartwalk_tui.screens.stand.base import OnTheStand

if TYPE_CHECKING:
    from collections.abc import Sequence

    from chartwalk.conductor import Done
    from chartwalk.log.diary import Diary

SECONDS: Final = 3.0  # in which a letter says what kind of trouble it was
KINDS: Final = {
    "c": Kind.CHORD, "j": Kind.JUMP, "t": Kind.TUNE, "r": Kind.RHYTHM, "w": Kind.WORDS,
    "h": Kind.HANDS,
}  # fmt: skip
ASKED: Final = "Was it c chord, j jump, t tune, r rhythm, w words, h hands?"
NARROW: Final = 80  # columns below which a long message would hide music
ASKED_SHORT: Final = "chord jump tune rhythm words hands?"


class Marking(OnTheStand):
    """The keys that mark; every pass is written without a key."""

    made: tuple[MarkRecord, ...] = ()  # the marks made since the song was opened
    naming: Timer | None = None  # runs while a letter names the kind of the last mark
    _diary: "Diary | None" = None

    def action_mark(self) -> None:
        """Write a mark; it is on the disk before this returns."""
        blamed = self.home.conductor.blamed(self.session)
        if not self._mark(blamed):
            return
        chord = f", {blamed.now.symbol}" if blamed.now.symbol else ""
        asked = ASKED_SHORT if self.size.width < NARROW else ASKED
        self.say(f"Marked {views.bar_words(blamed.bar.number)}{chord}. {asked}")
        self._stop_naming()
        self.naming = self.set_timer(SECONDS, self._stop_naming)

    def action_mark_words(self) -> None:
        """Write a mark, and ask what there is to say about it."""
        blamed = self.home.conductor.blamed(self.session)
        if self._mark(blamed):
            self._stop_naming()
            question = f"trouble in {views.bar_words(blamed.bar.number)}: "
            self.app.push_screen(Ask(question), self._say_more)

    def action_unmark(self) -> None:
        """Take the last mark back."""
        self._stop_naming()
        if not self.made:
            self.say("No mark was made here since the song was opened.")
            return
        *rest, last = self.made
        try:
            self.home.store.unmark(last.id)
        except LogError as error:
            self.say(f"{error}. Practice goes on.")
            return
        self.made = tuple(rest)
        self.home.conductor.forgive(self.session)
        self.marks = self.home.mark_counts(self.logged)
        self.show()
        self.say(f"Took back the mark on {views.bar_words(last.anchor.number)}.")

    def names_kind(self, key: str) -> bool:
        """Take a letter that says what kind of trouble the last mark was; return whether it is one.

        Any other key means that the player goes on.
        """
        kind = KINDS.get(key) if self.naming else None
        self._stop_naming()
        if kind is None:
            return False
        mark = self.made[-1]
        if self._amend(mark, kind=kind):
            self.say(f"{_begin(mark)}: {kind.value}. u takes it back, t shows the Log.")
        return True

    def heed(self) -> None:
        """Write down what was played."""
        done = self.home.conductor.take_done()
        if done and self.logged:
            self._write(done)
        if self._diary and not self.session.mode.moving:
            self._diary.close()

    def _write(self, done: "Sequence[Done]") -> None:
        if self._diary is None:
            from chartwalk.log.diary import Diary  # noqa: PLC0415 - not at the start

            self._diary = Diary(self.home.store, self.logged)
        try:
            self._diary.write(self.session, done, now_here(), self.purpose)
        except LogError as error:
            self.say(f"{error}. Practice goes on.")

    def _mark(self, blamed: Session) -> bool:
        mark = mark_here(blamed, self.logged, now_here())
        try:
            self.home.store.mark(mark)
        except LogError as error:
            self.say(f"{error}. Practice goes on.")
            return False
        self.made = (*self.made, mark)
        self.home.conductor.trouble(self.session)
        bar = blamed.here.bar
        self.marks = {**self.marks, bar: self.marks.get(bar, 0) + 1}
        self.show()
        return True

    def _amend(self, mark: MarkRecord, kind: Kind | None = None, words: str | None = None) -> bool:
        try:
            self.home.store.amend(mark.id, kind=kind, words=words)
        except LogError as error:
            self.say(f"{error}. The mark itself is kept.")
            return False
        return True

    def _say_more(self, words: str | None) -> None:
        if words and self._amend(self.made[-1], words=words):
            self.say(f"{_begin(self.made[-1])}: {words}")

    def _stop_naming(self) -> None:
        if self.naming:
            self.naming.stop()
            self.naming = None


def _begin(mark: MarkRecord) -> str:
    """Name the bar of a mark at the beginning of a sentence."""
    return views.bar_words(mark.anchor.number).capitalize()
