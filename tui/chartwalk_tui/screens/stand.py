"""The Stand: the screen to practise on."""

from dataclasses import replace
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Final

from textual.app import ComposeResult
from textual.content import Content
from textual.events import Resize
from textual.screen import ModalScreen
from textual.timer import Timer

from chartwalk.analysis import KeyGuess
from chartwalk.arrange import Arrangement
from chartwalk.chord import ChordSymbol
from chartwalk.files import open_for_practice
from chartwalk.key import Key
from chartwalk.log import LogError, Mark, mark_here
from chartwalk.practice import Mode, Session, Signal
from chartwalk.problems import ChartError
from chartwalk.song import Song
from chartwalk_tui import views
from chartwalk_tui.actions import STAND, WHILE_RUNNING, bindings
from chartwalk_tui.editor import stamp
from chartwalk_tui.screens.ask import Ask
from chartwalk_tui.screens.board import Board, Seen
from chartwalk_tui.screens.room import Room, foot_keys
from chartwalk_tui.screens.stand_help import file_words, problem_help, signs_help, song_help
from chartwalk_tui.widgets.footer import Footer

if TYPE_CHECKING:
    from chartwalk.metronome import Where

HEIGHTS: Final = [(0, "-low"), (22, "-middle"), (28, "-high"), (40, "-tall")]
WIDE: Final = 100  # columns from which a long message leaves the music in sight
SILENT: Final = "The click is visible only. For sound, see Setup (i)."
FRAMES: Final = 30  # looks at the clock a second; the place itself comes from the clock


class Stand(Room):
    """One song, bar by bar in the order it is played."""

    NAME = "Stand"
    PURPOSE = (
        "Walk the song bar by bar in the order it is really played: the chord now, the chord next "
        "with what stays and what moves, the tune and words of the bar, and the road ahead."
    )
    ACTIONS = STAND
    BINDINGS = bindings(STAND)

    def __init__(self, song: Song, mark: Mark | None = None) -> None:
        super().__init__()
        self.VERTICAL_BREAKPOINTS = HEIGHTS
        self.session = Session(song)
        if mark:
            self.session = self.session.at_pass(mark.bar, mark.pass_)
        self._marks: dict[int, int] = {}
        self._frames: Timer | None = None
        self._began = 0  # the step that the last run began with
        self._ran_out = False  # whether it went on to the end
        self._told_silent = False
        self._stamp = stamp(song.path)
        self._guess: KeyGuess | None = None
        self._numerals = False  # whether they are shown

    def compose(self) -> ComposeResult:
        """Lay out the Stand from top to bottom."""
        yield Board(id="board")
        yield from self.compose_foot()

    def on_mount(self) -> None:
        """Show the first step; say what the reader had to mend."""
        self._marks = self.home.mark_counts(self.session.song)
        self._frames = self.set_interval(1 / FRAMES, self._follow, pause=True)
        self.heard()
        self._tell_about_the_file()

    def _tell_about_the_file(self) -> None:
        if words := file_words(self.session.written, wide=self.size.width >= WIDE):
            self.say(words)

    def on_screen_suspend(self) -> None:
        """Leave no click behind when another room opens; a page of help lets it run on."""
        running = self.session.mode is not Mode.STOPPED
        if running and not isinstance(self.app.screen, ModalScreen):
            self._stop()
            self._show()

    def on_resize(self, event: Resize) -> None:
        """Let the road strip hold as many bars as there is room for."""
        self._show()

    # Where we are

    def action_next_bar(self) -> None:
        """One bar on."""
        self._go(self.session.forward())

    def action_previous_bar(self) -> None:
        """One bar back."""
        self._go(self.session.forward(-1))

    def action_next_change(self) -> None:
        """Go to the next change of chord."""
        self._go(self.session.next_change())

    def action_previous_change(self) -> None:
        """Go to the change before."""
        self._go(self.session.previous_change())

    def action_first(self) -> None:
        """Go to the start."""
        self._go(self.session.at(0))

    def action_last(self) -> None:
        """Go to the last bar."""
        self._go(self.session.end())

    def action_go_to_bar(self) -> None:
        """Ask for a bar number and go there."""
        self.app.push_screen(Ask("go to bar "), self._to_bar)

    def go_to(self, mark: Mark) -> None:
        """Go to a marked bar, on the pass it was marked on."""
        self._go(self.session.at_pass(mark.bar, mark.pass_))

    def _to_bar(self, number: str | None) -> None:
        if not number:
            return
        found = self.session.at_bar(number)
        if found:
            self._go(found)
        else:
            bars = self.session.song.bars
            self.say(
                f"There is no bar {number}; the bars go from {bars[0].number} to {bars[-1].number}."
            )

    def _go(self, session: Session) -> None:
        """Move by hand; a run stops, for the hands are elsewhere now."""
        running = self.session.mode is not Mode.STOPPED
        self.session = session
        self._ran_out = False
        if running:
            self._stop()
        self._show()

    # The click

    def action_run(self) -> None:
        """Count in and run, or stop."""
        if self.session.mode is not Mode.STOPPED:
            self._stop()
            self._show()
            return
        if self._ran_out and self.session.step == self.session.end().step:
            last = self.session.round + 1 == self.session.song.rounds
            self.session = self.session.at(self._began) if last else self.session.again()
        self._began, self._ran_out = self.session.step, False
        self.home.metronome.run(self.session.run(), float(self.session.scale))
        self.session = self.session.signal(Signal.RUN)
        self._show()
        self._tell_silence()
        if self._frames:
            self._frames.resume()

    def _tell_silence(self) -> None:
        """Say, once a song, why the click makes no sound."""
        silence = self.home.metronome.silence
        if silence and not self._told_silent:
            self._told_silent = True
            self.say(f"The click is visible only. {silence}" if self.size.width >= WIDE else SILENT)

    def action_slower(self) -> None:
        """One metronome mark slower."""
        self._tempo(up=False)

    def action_faster(self) -> None:
        """One metronome mark faster."""
        self._tempo(up=True)

    def _tempo(self, *, up: bool) -> None:
        self.session = self.session.in_tempo(up)
        self.home.metronome.rate(float(self.session.scale))
        self._show()

    def _follow(self) -> None:
        """Ask the clock where it is and show that."""
        self.home.hear()
        where = self.home.metronome.where()
        if where is None:
            self._ran_out = self.session.mode is Mode.RUNNING
            self._stop()
            self._show()
        elif where.step is None:
            self.query_one(Board).show_count_in(self._seen, where.place, where.length)
        else:
            self._play(where, where.step)

    def _play(self, where: "Where", step: int) -> None:
        before = self.session
        self.session = before.signal(Signal.COUNTED).at_place(step, where.place)
        if self.session != before:
            self._show()
        self.query_one(Board).show_place(self._seen, where.place)

    def _stop(self) -> None:
        if self.session.mode is not Mode.STOPPED:
            self.home.metronome.stop()
        self.session = self.session.signal(Signal.STOP)
        if self._frames:
            self._frames.pause()

    # The log

    def action_mark(self) -> None:
        """Write a mark on this bar; it is on the disk before this returns."""
        mark = mark_here(self.session, datetime.now(UTC))
        try:
            self.home.store.mark(mark)
        except LogError as error:
            self.say(f"{error}. Practice goes on.")
            return
        self._marks[mark.bar] = self._marks.get(mark.bar, 0) + 1
        self._show()
        chord = f", {self.session.now.symbol}" if self.session.now.symbol else ""
        self.say(f"Marked bar {mark.number}{chord}. t shows the Log.")

    # The file

    def action_edit(self) -> None:
        """Edit the chart; what is read of other kinds of files goes to a .lead file first."""
        path = self.session.written.path
        if path.suffix != ".lead":
            name = path.with_suffix(".lead").name
            self.say(f"Only .lead charts are edited here: chartwalk convert {path.name} {name}")
            return
        if self.session.mode is not Mode.STOPPED:
            self._stop()
        self.home.edit(path)

    def look_at_the_file(self) -> None:
        """Read the chart again if its file has changed; a run goes on first."""
        written = stamp(self.session.written.path)
        if written in {None, self._stamp} or self.session.mode is not Mode.STOPPED:
            return
        self._stamp = written
        try:
            song = open_for_practice(self.session.written.path)
        except ChartError as error:
            self.say(f"The file has changed and can't be read: {error.problems[0]}.")
            return
        self.read_again(song)

    def read_again(self, song: Song) -> None:
        """Go on with the song as its file has it now, at the same place, key and depth."""
        self._stamp = stamp(song.path)
        self.session = self.session.reopened(song)
        self._guess = None
        self._marks = self.home.mark_counts(song)
        self.heard()
        self.say("The file has changed; it was read again.")
        if song.problems or song.warnings:
            self._tell_about_the_file()

    # The chord, and how the song is played

    def action_symbol(self) -> None:
        """Open the Symbol screen on the chord now."""
        if self.session.now.symbol is None:
            self.say("No chord here yet. Go on to one, then press c.")
        else:
            from chartwalk_tui.screens.symbol import Symbol  # noqa: PLC0415 - not at the start

            self.app.push_screen(Symbol(self.session, self._guess))

    def action_sound(self) -> None:
        """Sound the chord now."""
        if symbol := self.session.now.symbol:
            self.home.sound(symbol.palette)

    def action_voice(self) -> None:
        """Open the Voice screen."""
        from chartwalk_tui.screens.voice import Voice  # noqa: PLC0415 - not at the start

        shift = self.session.arrangement.shift
        self.app.push_screen(Voice(self.session.written.chart, shift, self.take_key))

    def action_road(self) -> None:
        """Open the Road screen."""
        from chartwalk_tui.screens.road import Road  # noqa: PLC0415 - not at the start

        self.app.push_screen(Road(self.session, self._marks, self.go_to_step))

    def go_to_step(self, step: int, round_: int) -> None:
        """Go to a step of the play order, in a round of the song."""
        self._go(replace(self.session, round=round_).at(step))

    def take_key(self, shift: int) -> None:
        """Play the song ``shift`` semitones from the written key."""
        self._arrange(replace(self.session.arrangement, shift=shift))
        self.say(views.key_words(self.session))

    def action_key_down(self) -> None:
        """Play the song a semitone lower."""
        self.take_key(self.session.arrangement.moved(-1).shift)

    def action_key_up(self) -> None:
        """Play the song a semitone higher."""
        self.take_key(self.session.arrangement.moved(1).shift)

    def action_depth(self) -> None:
        """Play the next plainer depth, or all as written again; a run goes on."""
        self._arrange(self.session.arrangement.plainer())
        self.say(views.depth_words(self.session))

    def _arrange(self, arrangement: Arrangement) -> None:
        self.session = self.session.arrange(arrangement)
        self._show()

    def action_numerals(self) -> None:
        """Show the Roman numerals, or no longer."""
        self._numerals = not self._numerals
        self._show()
        if self._numerals and not self.home.analyst:
            self.say("Roman numerals are not available.")

    def heard(self) -> None:
        """Show numerals and the likely key as soon as they are known; say once if it is a guess."""
        guess = self.home.key_guess(self.session.written)
        if guess != self._guess:
            self._guess = guess
            if words := views.guess_words(self.session, guess):
                self.say(words)
        self._show()

    def _numeral(self, symbol: ChordSymbol, key: Key) -> str:
        return self.home.numeral(symbol, views.key_heard(self.session, key, self._guess))

    # Drawing

    @property
    def _seen(self) -> Seen:
        numerals = self._numeral if self._numerals else None
        return Seen(self.session, self._marks, self._guess, numerals)

    def _show(self) -> None:
        self.query_one(Board).show(self._seen)
        stopped = self.session.mode is Mode.STOPPED
        self.query_one("#foot", Footer).show(foot_keys(STAND if stopped else WHILE_RUNNING))

    def urgent_help(self) -> Content:
        """Say what is wrong with the file."""
        return problem_help(self.session.written)

    def more_help(self) -> Content:
        """Explain the signs on the Stand, and tell about the song."""
        return signs_help() + song_help(self.session.written)
