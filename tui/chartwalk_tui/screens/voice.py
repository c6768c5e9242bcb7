"""Voice: which key suits the singer."""

from collections.abc import Callable
from typing import Final

from textual.app import ComposeResult
from textual.content import Content
from textual.events import Resize
from textual.widgets import OptionList, Static

from chartwalk.chart import Chart
from chartwalk.log import LogError
from chartwalk.voice import (
    CAUTION,
    SOURCE,
    KeyFit,
    SingerRange,
    advice,
    rank_keys,
    sung_notes,
    tessitura,
)
from chartwalk_tui.actions import VOICE_SCREEN, bindings
from chartwalk_tui.printable import printable
from chartwalk_tui.screens.ask import Ask
from chartwalk_tui.screens.choices import CURSOR, Choice, Choices, remark
from chartwalk_tui.screens.room import HEIGHTS, Room, explained
from chartwalk_tui.theme import STYLES
from chartwalk_tui.views.voice import (
    WHOSE_VOICE,
    WHY_NO_TUNE,
    head_of,
    kept_voice,
    key_detail,
    key_row,
    other_voices,
    own_voice,
    scale_of,
    title_line,
    tune_line,
    voice_line,
)
from chartwalk_tui.widgets.drawing import Row
from chartwalk_tui.widgets.text_line import TextLine
from chartwalk_tui.widgets.voice_rows import VoiceHead, draw_key_row

VOICE_SETTING: Final = "voice"
EDGES: Final = 3 + len(CURSOR)  # columns beside a row: the edges, the cursor and the scroll bar
SIGNS: Final = (
    ("├──┤", "what the singer sings in comfort"),
    ("━━━", "the tune in this key, from its lowest note to its highest"),
    ("▄▄▄", "where it sits: the middle 80 % of the sung time"),
    ("●", "the key that the Stand shows now"),
    ("m3 P4", "minor third, perfect fourth ...; TT is the tritone"),
)
RANKING: Final = (
    "Ranked by: no note out of range, the tune near the middle of the range, then few sharps and "
    f"flats for the hands. The ranges of trained voices are those of the {SOURCE}; most singers "
    "have less: type your own.\n"
)


def _line(row: Row) -> Content:
    """Return a row as a line in the colours of its roles."""
    return Content("").join(
        Content.styled(printable(text), f"{STYLES.get(role, '')} $role-{role}".strip())
        for text, role in row
    )


class Voice(Room):
    """The twelve keys of a sheet, ranked for a singer.

    ``chart`` is the sheet as written and ``shift`` what the Stand has moved it by, in semitones;
    ``take`` is given the shift that the player takes.
    """

    NAME = "Voice"
    PURPOSE = (
        "Find the key that suits the singer: the tune's range against the voice, the notes that "
        "strain, and one key to take."
    )
    ACTIONS = VOICE_SCREEN
    BINDINGS = bindings(VOICE_SCREEN[1:])

    def __init__(self, chart: Chart, shift: int, take: Callable[[int], None]) -> None:
        super().__init__()
        self.VERTICAL_BREAKPOINTS = HEIGHTS
        self._chart, self._shift, self._take = chart, shift, take
        notes = sung_notes(chart)
        self._tune = tessitura(notes) if notes else None
        self._voices = list(other_voices(chart))
        self._place: int | None = None  # of the voice that is judged for; None before it is known
        self._fits: dict[str, KeyFit] = {}

    def compose(self) -> ComposeResult:
        """Lay out the screen from top to bottom."""
        yield TextLine(title_line(self._chart), id="song")
        yield TextLine(tune_line(self._tune), id="tune")
        yield TextLine(id="singer")
        yield Static("", markup=False, id="advice")
        yield VoiceHead(id="head")
        yield Choices(id="list")
        yield Static("", markup=False, id="detail")
        yield Static(CAUTION, markup=False, id="caution")
        yield from self.compose_foot()

    def on_mount(self) -> None:
        """Judge for the voice that was kept, or for the one that the sheet names."""
        kept = None
        try:
            kept = kept_voice(self.home.store.setting(VOICE_SETTING))
        except LogError as error:
            self.say(f"{error}.")
        if kept and kept not in self._voices:
            self._voices.insert(0, kept)
        if kept:
            self._place = self._voices.index(kept)
        elif self._chart.voice:
            self._place = 0
        self._judge()
        self.query_one(Choices).focus()

    def on_resize(self, event: Resize) -> None:
        """Draw the rows as wide as there is room."""
        self._fill()

    # Whose voice

    def action_type_range(self) -> None:
        """Ask for the singer's range."""
        self.app.push_screen(Ask("low and high note, as in A3 D5: "), self._typed)

    def _typed(self, text: str | None) -> None:
        if not text:
            return
        try:
            own = own_voice(SingerRange.parse(text))
        except ValueError as error:
            self.say(f"{error}.")
            return
        self._voices = [own, *(voice for voice in self._voices if voice.origin != own.origin)]
        self._place = 0
        self._keep(own.setting)
        self._judge()

    def action_next_voice(self) -> None:
        """Judge for another voice."""
        self._place = 0 if self._place is None else (self._place + 1) % len(self._voices)
        self._judge()

    def _keep(self, setting: str) -> None:
        try:
            self.home.store.set(VOICE_SETTING, setting)
        except LogError as error:
            self.say(f"{error}.")

    # The keys

    def action_take(self) -> None:
        """Take the key under the cursor."""
        self.query_one(Choices).action_select()

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Close, and hand the key to the Stand; a voice of the handbook is kept with it."""
        fit = self._fits.get(event.option.id or "")
        if fit is None or self._place is None:
            return
        if setting := self._voices[self._place].setting:
            self._keep(setting)
        self.action_close()
        self._take(fit.shift)

    def on_option_list_option_highlighted(self, event: OptionList.OptionHighlighted) -> None:
        """Say what comes of the key under the cursor."""
        fit = self._fits.get(event.option.id or "")
        detail = key_detail(fit, best=event.option_index == 0) if fit else ""
        self.query_one("#detail", Static).update(Content(detail))

    def _judge(self) -> None:
        """Rank the keys for the voice, the cursor on the best."""
        voice = None if self._place is None else self._voices[self._place]
        fits = rank_keys(self._chart, voice.singer) if voice else ()
        self._fits = {str(fit.shift): fit for fit in fits}
        best = f"Take it {advice(fits[0])}." if fits else ""
        self.query_one("#singer", TextLine).show(voice_line(voice))
        self.query_one("#advice", Static).update(Content(best))
        self.query_one("#detail", Static).update("")
        self._fill(best=True)

    def _fill(self, *, best: bool = False) -> None:
        """Draw the rows; the cursor goes to the best or stays where it is."""
        choices = self.query_one(Choices)
        if self._place is None or not self._fits:
            choices.fill(map(remark, WHY_NO_TUNE if self._tune is None else WHOSE_VOICE))
            return
        singer = self._voices[self._place].singer
        scale = scale_of(list(self._fits.values()), singer)
        width = self.size.width - EDGES
        here = choices.highlighted_option
        self.query_one("#head", VoiceHead).show(head_of(scale, singer))
        choices.fill(
            [
                Choice(shift, _line(draw_key_row(key_row(fit, self._shift), scale, width)))
                for shift, fit in self._fits.items()
            ],
            None if best or here is None else here.id,
        )

    def more_help(self) -> Content:
        """Explain the drawing and the order."""
        return Content("\n") + explained(SIGNS) + Content("\n" + RANKING)
