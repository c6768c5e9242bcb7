"""Where we are: moving by hand through the play order."""

from dataclasses import replace

from chartwalk_tui import views
from chartwalk_tui.screens.ask import Ask
from chartwalk_tui.screens.stand.base import OnTheStand


class Moving(OnTheStand):
    """The keys that move."""

    def action_next_bar(self) -> None:
        """One bar on."""
        self.go(self.session.forward())

    def action_previous_bar(self) -> None:
        """One bar back."""
        self.go(self.session.forward(-1))

    def action_next_change(self) -> None:
        """Go to the next change of chord."""
        self.go(self.session.next_change())

    def action_previous_change(self) -> None:
        """Go to the change before."""
        self.go(self.session.previous_change())

    def action_first(self) -> None:
        """Go to the start."""
        self.go(self.session.at(0))

    def action_last(self) -> None:
        """Go to the last bar."""
        self.go(self.session.end())

    def action_go_to_bar(self) -> None:
        """Ask for a bar number and go there."""
        self.app.push_screen(Ask("go to bar "), self._to_bar)

    def go_to_step(self, step: int, round_: int) -> None:
        """Go to a step of the play order, in a round of the song."""
        self.go(replace(self.session, round=round_).at(step))

    def action_road(self) -> None:
        """Open the Road screen."""
        from chartwalk_tui.screens.road import Road  # noqa: PLC0415 - not at the start

        self.app.push_screen(Road(self.session, self.marks, self.go_to_step))

    async def action_pedal_forward(self) -> None:
        """Do what the right pedal is set to."""
        await self.run_action(self.home.settings.forward)

    async def action_pedal_back(self) -> None:
        """Do what the left pedal is set to."""
        await self.run_action(self.home.settings.back)

    def _to_bar(self, number: str | None) -> None:
        if not number:
            return
        found = self.session.at_bar(number)
        if found:
            self.go(found)
        else:
            self.say(views.no_bar_words(self.session, number))
