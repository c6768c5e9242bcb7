"""Moving by hand through the play order."""

from chartwalk_tui.plain.desk import Desk
from chartwalk_tui.views.words import no_bar_words


class Moving(Desk):
    """The letters that move."""

    def next_bar(self, _: str = "") -> None:
        """One bar on."""
        self.go(self.session.forward())

    def previous_bar(self, _: str = "") -> None:
        """One bar back."""
        self.go(self.session.forward(-1))

    def next_change(self, _: str = "") -> None:
        """Go to the next change of chord."""
        self.go(self.session.next_change())

    def previous_change(self, _: str = "") -> None:
        """Go to the change before."""
        self.go(self.session.previous_change())

    def first(self, _: str = "") -> None:
        """Go to the start."""
        self.go(self.session.at(0))

    def last(self, _: str = "") -> None:
        """Go to the last bar."""
        self.go(self.session.end())

    def go_to_bar(self, number: str) -> None:
        """Go to a bar by its printed number; ask for it where none is given."""
        if not number:
            self.say("Which bar? Type its number.")
            self.asked = self._to_bar
        else:
            self._to_bar(number)

    def _to_bar(self, number: str) -> None:
        found = self.session.at_bar(number)
        if found:
            self.go(found)
        elif number:
            self.say(no_bar_words(self.session, number))
