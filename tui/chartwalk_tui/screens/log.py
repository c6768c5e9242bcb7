"""The Log: what to practise now, where the songs give trouble, and how it heals."""

from collections.abc import Sequence
from typing import Final, TypeVar

from textual import work
from textual.app import ComposeResult
from textual.widgets import OptionList, Sparkline, Static
from textual.widgets.option_list import Option
from textual.worker import get_current_worker

from chartwalk.log import Kind, LogError, now_here
from chartwalk.trouble import Records, Review, Spot, State
from chartwalk_tui.actions import LOG_SCREEN, bindings
from chartwalk_tui.printable import count, printable
from chartwalk_tui.screens.choices import INDENT, Choice, Choices, heading, remark
from chartwalk_tui.screens.room import HEIGHTS, Room
from chartwalk_tui.views.log import (
    AGES,
    chosen,
    heat,
    history_row,
    history_words,
    lost_lines,
    spot_line,
)
from chartwalk_tui.widgets.heat_strip import Heat, HeatStrip
from chartwalk_tui.widgets.text_line import Ends, TextLine

EMPTY: Final = (
    "No trouble spots.",
    "On the Stand, m marks the bar that went wrong; the run",
    "goes on. What is marked comes back here on the day it",
    "should be practised again.",
)
NONE_CHOSEN: Final = ("No trouble spots.", "f, k and a choose other songs, kinds and ages.")
DUE: Final = "Due now, the worst first"
KINDS: Final = (None, *(kind for kind in Kind if kind is not Kind.UNSAID))


class Log(Room):
    """Trouble spots: due ones first."""

    NAME = "Log"
    PURPOSE = (
        "See what to practise now: the trouble spots that are due, the worst first, then the "
        "others with their day. Enter drills a spot: a loop that starts slow and climbs."
    )
    ACTIONS = LOG_SCREEN
    BINDINGS = bindings(LOG_SCREEN[1:])

    def __init__(self) -> None:
        super().__init__()
        self.VERTICAL_BREAKPOINTS = HEIGHTS
        self.review = Review(Records(), now_here().date())
        self._song: str | None = None
        self._kind: Kind | None = None
        self._age = "any age"
        self._known = False

    def compose(self) -> ComposeResult:
        """Lay out the Log."""
        yield TextLine(Ends(((" Log", "now"), ("  your trouble spots", "dim"))), id="song")
        yield Choices(id="list")
        yield HeatStrip(Heat(""), id="heat")
        yield Static("", markup=False, id="history")
        yield Sparkline([], id="tempos")
        yield from self.compose_foot()

    def on_mount(self) -> None:
        """Be there at once; what a large log holds takes a moment."""
        self.query_one(Choices).fill([remark("reading the log ...")])
        self.query_one(Choices).focus()
        self.call_after_refresh(self._read)

    def _read(self) -> None:
        """Read the log, and work out the spots aside: some songs take a moment to open."""
        now = now_here()
        try:
            records = Records.of(self.home.store, now.date())
        except LogError as error:
            self.say(f"{error}.")
            records = Records()
        self._work_out(records)

    @work(thread=True, description="spots")  # or the toolkit spells out thousands of records
    def _work_out(self, records: Records) -> None:
        for found in self.home.reviewer.reviews(records, now_here()):
            if get_current_worker().is_cancelled:
                return
            self.app.call_from_thread(self._show, found)

    def _show(self, found: Review) -> None:
        if not self.is_attached:  # the player left while songs were looked at
            return
        keep = None if self.query_one(Choices).at_first else self.spot
        self.review, self._known = found, not found.left
        self._fill(keep)

    def _fill(self, keep: Spot | None = None) -> None:
        """Show the spots; the cursor is on the first, or on one that is kept."""
        found = self.review
        spots = tuple(chosen(found.spots, found.today, self._song, self._kind, AGES[self._age]))
        places = {spot: place for place, spot in enumerate(found.spots)}
        open_ = {spot for spot in spots if spot.state is not State.HEALED}
        groups = {
            DUE: [spot for spot in found.due if spot in open_],
            "Marked today, not worked on yet": [spot for spot in found.fresh if spot in open_],
            "Another day": [spot for spot in found.later if spot in open_],
            "Healed": [spot for spot in spots if spot.state is State.HEALED],
        }
        options: list[Option] = []
        for title, group in groups.items():
            if group:
                options += [heading(title), *(self._line(places[spot], spot) for spot in group)]
        options += [remark(line) for line in self._asides()]
        if not spots and not found.left:
            options = [*map(remark, NONE_CHOSEN if found.spots else EMPTY), *options]
        kept = (i for i, spot in enumerate(found.spots) if keep and spot.place == keep.place)
        self.query_one(Choices).fill(options, next(map(str, kept), None))
        self._head(len(groups[DUE]))
        self._about(self.spot)

    def _line(self, place: int, spot: Spot) -> Choice:
        words, back = spot_line(self.review, spot)
        title = self.review.songs[spot.song].chart.title
        return Choice(str(place), f"{title}: {words}", back)

    def _asides(self) -> Sequence[str]:
        found = self.review
        told = [*lost_lines(found.lost)]
        if found.unplaced:
            marks = count(len(found.unplaced), "mark")
            told.append(f"{marks} on bars that are no longer in their chart are kept too")
        return told

    def _head(self, due: int) -> None:
        song = self.review.songs[self._song].chart.title if self._song else "all songs"
        kind = self._kind.value if self._kind else "all kinds"
        filters = f"f {song} · k {kind} · a {self._age} "
        told = f"  {count(due, 'spot')} due now"
        if self.review.left:
            told += f", {count(self.review.left, 'song')} still to look at"
        title = ((" Log", "now"), (told, "dim"))
        self.query_one("#song", TextLine).show(Ends(title, ((filters, "dim"),)))

    @property
    def spot(self) -> Spot | None:
        """The spot under the cursor."""
        choices = self.query_one(Choices)
        if choices.highlighted is None:
            return None
        name = choices.get_option_at_index(choices.highlighted).id
        return self.review.spots[int(name)] if name else None

    def _about(self, spot: Spot | None) -> None:
        """Show the song of a spot, and how the spot went over its days."""
        strip, words = self.query_one(HeatStrip), self.query_one("#history", Static)
        line = self.query_one(Sparkline)
        strip.show(heat(self.review, spot) if spot else Heat(""))
        row = history_row(spot) if spot else []
        told = [self._cut_off(), history_words(spot)] if spot else []
        words.update(printable("\n".join(filter(None, told))))
        words.set_class(bool(told and told[0]), "-cut-off")
        line.data = row
        line.set_class(any(row), "-told")

    def _cut_off(self) -> str:
        """Return the line under the cursor where the list has no room for the whole of it."""
        choices = self.query_one(Choices)
        option = choices.get_option_at_index(choices.highlighted or 0)
        room = choices.scrollable_content_region.width - len(INDENT)
        return (
            option.text.plain
            if isinstance(option, Choice) and option.text.cell_length > room
            else ""
        )

    def on_option_list_option_highlighted(self, _: OptionList.OptionHighlighted) -> None:
        """Tell about the spot under the cursor."""
        self._about(self.spot)

    def action_drill(self) -> None:
        """Drill the spot under the cursor."""
        self.query_one(Choices).action_select()

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Drill the spot."""
        if event.option.id:
            spot = self.review.spots[int(event.option.id)]
            self.home.drill(self.review.songs[spot.song], spot)

    def action_go(self) -> None:
        """Go to the spot on the Stand."""
        if spot := self.spot:
            self.home.go_to_spot(self.review.songs[spot.song], spot)

    def action_song(self) -> None:
        """Show the next song's spots alone, or those of all songs."""
        songs = (None, *dict.fromkeys(spot.song for spot in self.review.spots))
        self._song = _next(songs, self._song)
        self._fill()

    def action_kind(self) -> None:
        """Show the spots of the next kind alone, or of all kinds."""
        self._kind = _next(KINDS, self._kind)
        self._fill()

    def action_age(self) -> None:
        """Show spots that were marked lately, or all."""
        self._age = _next(tuple(AGES), self._age)
        self._fill()

    def action_glance(self) -> None:
        """Show the week and the month."""
        from chartwalk_tui.screens.glance import GlanceRoom  # noqa: PLC0415 - not at the start

        if self._known:
            self.app.push_screen(GlanceRoom(self.review))


T = TypeVar("T")


def _next(values: Sequence[T], value: T) -> T:
    return values[(values.index(value) + 1) % len(values)] if value in values else values[0]
