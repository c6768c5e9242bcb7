"""The plan for the minutes there are: asked for, made, and taken part by part."""

from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING, Final

from textual import work

from chartwalk.log import LogError
from chartwalk_tui.app.opening import Opening
from chartwalk_tui.screens.ask import Ask

if TYPE_CHECKING:
    from chartwalk.trouble import Item, Records, Review
    from chartwalk_tui.screens.plan import Agenda

MOST_MINUTES: Final = 240  # some four hours a day are the limit (Ericsson et al. 1993, from memory)
UNLOGGED: Final = "unlogged"  # stands for the id of a song that the log refused


class Planning(Opening):
    """Makes plans and begins their parts."""

    def action_plan(self) -> None:
        """Show the plan under way, or ask for the minutes there are."""
        if self.agenda:
            self._show_plan(self.agenda)
        else:
            self.ask_for_minutes()

    def ask_for_minutes(self) -> None:
        """Ask how long to practise, and make a plan."""
        self.push_screen(Ask("minutes to practise "), self._plan_for)

    def _plan_for(self, minutes: str | None) -> None:
        if minutes is None:
            return
        if not (minutes.isascii() and minutes.isdigit() and 1 <= int(minutes) <= MOST_MINUTES):
            self.say(f"A plan lasts 1 to {MOST_MINUTES} minutes: type a number.")
            return
        self._make_plan(int(minutes))

    def _make_plan(self, minutes: int) -> None:
        from chartwalk.log import now_here  # noqa: PLC0415 - not at the start
        from chartwalk.trouble import Records  # noqa: PLC0415 - as above

        now = now_here()
        try:
            records = Records.of(self.store, now.date())
        except LogError as error:
            self.say(f"{error}.")
            return
        self._review(minutes, records, now)

    @work(thread=True, description="plan")  # or the toolkit spells out thousands of records
    def _review(self, minutes: int, records: "Records", now: datetime) -> None:
        """Work out the spots aside: some songs take a moment to open."""
        self.call_from_thread(self._lay_out, minutes, self.reviewer.review(records, now))

    def _lay_out(self, minutes: int, found: "Review") -> None:
        from chartwalk.trouble import make_plan  # noqa: PLC0415 - not at the start
        from chartwalk_tui.screens.plan import Agenda  # noqa: PLC0415 - as above

        songs = dict(found.songs)
        if self.stand:
            songs.setdefault(self.stand.logged or UNLOGGED, self.stand.session.written)
        if not songs:
            self.say("A plan needs a song: open one, then press p.")
            return
        items = make_plan(minutes, songs, found.returns, found.records.passes, found.today)
        self.agenda = Agenda(items, replace(found, songs=songs))
        self._show_plan(self.agenda)

    def _show_plan(self, agenda: "Agenda") -> None:
        from chartwalk_tui.screens.plan import Plan  # noqa: PLC0415 - not at the start

        self.push_screen(Plan(agenda))

    def begin_part(self, item: "Item") -> None:
        """Begin a part of the plan."""
        songs = self.agenda.review.songs if self.agenda else {}
        song = songs.get(item.song)
        if song is None:  # a pause
            self.screen.dismiss()
            self.say(f"Pause, {item.minutes} minutes: {item.why}. p shows the plan.")
        elif item.spot:
            self.drill(song, item.spot)
        else:
            self.open(song, lambda stand: stand.run_through(item.tempo))
