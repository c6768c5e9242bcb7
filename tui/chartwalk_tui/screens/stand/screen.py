"""The Stand as a screen: its parts together."""

from collections.abc import Callable

from textual.app import ComposeResult
from textual.content import Content
from textual.events import Key, Resize

from chartwalk.files import stamp
from chartwalk.song import Song
from chartwalk_tui.actions import STAND, STAND_KEYS, bindings
from chartwalk_tui.screens.board import Board
from chartwalk_tui.screens.room import HEIGHTS
from chartwalk_tui.screens.stand.arranging import Arranging
from chartwalk_tui.screens.stand.drilling import Drilling
from chartwalk_tui.screens.stand.filing import Filing
from chartwalk_tui.screens.stand.help import problem_help, signs_help, song_help
from chartwalk_tui.screens.stand.moving import Moving
from chartwalk_tui.screens.stand.remembering import Remembering
from chartwalk_tui.screens.stand.walk import Guidepost

Errand = Callable[["Stand"], None]
"""What is to be done on a Stand as soon as it is there."""


class Stand(Moving, Drilling, Arranging, Filing, Remembering):
    """One song, bar by bar in the order it is played."""

    NAME = "Stand"
    PURPOSE = (
        "Walk the song bar by bar in the order it is really played: the chord now, the chord next "
        "with what stays and what moves, the tune and words of the bar, and the road ahead."
    )
    ACTIONS = STAND
    BINDINGS = bindings(STAND)

    def __init__(self, song: Song, logged: str = "", errand: "Errand | None" = None) -> None:
        super().__init__(song, logged)
        self.VERTICAL_BREAKPOINTS = [*HEIGHTS, (40, "-tall")]
        self._errand = errand
        self.stamped = stamp(song.path)

    def compose(self) -> ComposeResult:
        """Lay out the Stand from top to bottom."""
        yield Board(id="board")
        yield from self.compose_foot()

    def on_mount(self) -> None:
        """Show the first step; say what the reader had to mend."""
        self.marks = self.home.mark_counts(self.logged)
        self.recall()
        self.start_frames()
        self.heard()
        self.tell_about_the_file()
        if self._errand:
            self._errand(self)

    def start_walk(self) -> None:
        """Show a newcomer around."""
        self.mount(Guidepost(), before="#message")

    async def on_key(self, event: Key) -> None:
        """Do what a key is for, one key after the other.

        The toolkit would deal with bindings later than with a letter that follows at once and says
        what a mark was about. The walk, if one goes on, sees every key first.
        """
        for guidepost in self.query(Guidepost):
            if guidepost.pressed(event.key):
                event.stop()
                return
        action = STAND_KEYS.get(event.key)
        if self.names_kind(event.key):
            event.stop()
        elif action:
            event.stop()
            await self.run_action(action)

    def on_screen_suspend(self) -> None:
        """Keep how the song is played when another room opens."""
        super().on_screen_suspend()
        self.remember()

    def on_resize(self, event: Resize) -> None:
        """Let the road strip hold as many bars as there is room for."""
        self.show()

    def urgent_help(self) -> Content:
        """Say what is wrong with the file."""
        return problem_help(self.session.written)

    def more_help(self) -> Content:
        """Explain the signs on the Stand, and tell about the song."""
        return signs_help() + song_help(self.session.written)
