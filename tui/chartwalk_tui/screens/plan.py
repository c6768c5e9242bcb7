"""The Plan: what to do with the minutes there are."""

import time
from dataclasses import dataclass, field

from textual.app import ComposeResult
from textual.widgets import OptionList

from chartwalk.trouble import Item, Review, Spot, place_words
from chartwalk_tui.actions import PLAN_SCREEN, bindings
from chartwalk_tui.printable import count
from chartwalk_tui.screens.choices import Choice, Choices, heading, remark
from chartwalk_tui.screens.room import Room
from chartwalk_tui.widgets.text_line import Ends, TextLine

CAUTIONS = (
    "Stop when something hurts, tingles or goes numb,",
    "or the voice goes hoarse; rest the ears too. If it",
    "comes back, ask a teacher, a doctor or a therapist.",
)


@dataclass(slots=True)
class Agenda:
    """A plan under way: its parts, which one is on, and when that began (monotonic seconds)."""

    items: tuple[Item, ...]
    review: Review
    at: int | None = None
    began: float = field(default_factory=time.monotonic)

    @property
    def left(self) -> int | None:
        """The minutes left of the part that is on, begun ones whole; None while none is on."""
        if self.at is None:
            return None
        spent = (time.monotonic() - self.began) / 60
        return max(0, -int(-(self.items[self.at].minutes - spent) // 1))

    def left_for(self, spot: Spot) -> int | None:
        """Return the minutes left for a spot, None if no part about it is on or its time is up."""
        on = self.at is not None and self.items[self.at].spot == spot
        return (self.left or None) if on else None

    def begin(self, place: int) -> None:
        """Begin a part now."""
        self.at, self.began = place, time.monotonic()


class Plan(Room):
    """The parts of a plan; Enter begins one."""

    NAME = "Plan"
    PURPOSE = (
        "Use the minutes you have: the spots that are due first, songs in turns, then slow "
        "run-throughs, then a song for pleasure, with a pause after 25 minutes."
    )
    ACTIONS = PLAN_SCREEN
    BINDINGS = bindings(PLAN_SCREEN[1:])

    def __init__(self, agenda: Agenda) -> None:
        super().__init__()
        self._agenda = agenda

    def compose(self) -> ComposeResult:
        """Lay out the plan."""
        total = sum(item.minutes for item in self._agenda.items)
        title = ((" Plan", "now"), (f"  {count(total, 'minute')}", "dim"))
        yield TextLine(Ends(title), id="song")
        yield Choices(id="list")
        yield from self.compose_foot()

    def on_mount(self) -> None:
        """Show the parts; the cursor is on the next one."""
        agenda = self._agenda
        options = [heading("Enter begins a part; take them in order")]
        options += [
            Choice(str(place), self._line(place, item)) for place, item in enumerate(agenda.items)
        ]
        options += [remark(""), *map(remark, CAUTIONS)]
        coming = 0 if agenda.at is None else min(agenda.at + 1, len(agenda.items) - 1)
        self.query_one(Choices).fill(options, str(coming) if agenda.items else None)
        self.query_one(Choices).focus()

    def _line(self, place: int, item: Item) -> str:
        song = self._agenda.review.songs.get(item.song)
        title = f"{song.chart.title}: " if song else ""
        sign = "✓" if self._agenda.at is not None and place <= self._agenda.at else " "
        what = place_words(song, item.spot) if song and item.spot else item.part.value
        return f"{sign} {item.minutes:>2} min  {title}{what}, {item.why}"

    def action_begin(self) -> None:
        """Begin the part under the cursor."""
        self.query_one(Choices).action_select()

    def action_other(self) -> None:
        """Ask for the minutes again."""
        self.dismiss()
        self.home.ask_for_minutes()

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Begin a part."""
        if event.option.id is None:
            return
        place = int(event.option.id)
        self._agenda.begin(place)
        self.home.begin_part(self._agenda.items[place])
