"""The click and the guide: running, looping, listening, tempo."""

import time
from fractions import Fraction
from typing import Final

from textual.screen import ModalScreen

from chartwalk.mode import Mode
from chartwalk.practice import Session
from chartwalk.tap import Taps
from chartwalk_tui import views
from chartwalk_tui.screens.board import Board
from chartwalk_tui.screens.stand.base import WIDE, OnTheStand

SILENT: Final = "The click is visible only. For sound, see Setup (i)."
FRAMES: Final = 30  # looks at the clock a second; the place itself comes from the clock


class Playing(OnTheStand):
    """The keys that play."""

    began = 0  # the step that the last run began with
    ran_out = False  # whether it went on to the end
    told_silent = False
    taps = Taps()

    def start_frames(self) -> None:
        """Be ready to follow the clock."""
        self.frames = self.set_interval(1 / FRAMES, self.follow, pause=True)

    def go(self, session: Session) -> None:
        """Move by hand; the next run begins there."""
        self.ran_out = False
        super().go(session)

    def action_run(self) -> None:
        """Count in and run, or stop."""
        self.hush()  # what was said of the run or the passage before holds no longer
        if self.session.mode.moving:
            self._stop()
            return
        if self.ran_out and self.session.step == self.session.end().step:
            self.session = once_more(self.session, self.began)
        self.began, self.ran_out = self.session.step, False
        self.session = self.home.conductor.run(self.session)
        self.started()

    def run_through(self, tempo: Fraction | None) -> None:
        """Run the song from its start at a tempo (beats a minute), or at the goal."""
        self.halt()
        session = self.session.at(0)
        self.session = session.at_tempo(tempo or session.goal)
        self.action_run()

    def action_loop(self) -> None:
        """Loop the passage, or stop it."""
        self.hush()
        if self.session.lap:
            self._stop()
            return
        self.halt()
        self.session = self.home.conductor.loop(self.session)
        self.started()
        self.say(views.loop_words(self.session))

    def action_listen(self) -> None:
        """Play the passage for the player to hear, or stop."""
        self.hush()
        if self.session.mode.moving and self.home.conductor.aim is Mode.LISTENING:
            self._stop()
            return
        self.halt()
        self.session = self.home.conductor.listen(self.session)
        self.started()

    def _stop(self) -> None:
        self.halt()
        self.show()

    def action_passage_start(self) -> None:
        """Begin the passage here."""
        self._passage(self.session.starting_here())

    def action_passage_end(self) -> None:
        """End the passage here."""
        self._passage(self.session.ending_here())

    def action_slower(self) -> None:
        """One metronome mark slower."""
        self._tempo(self.session.in_tempo(up=False))

    def action_faster(self) -> None:
        """One metronome mark faster."""
        self._tempo(self.session.in_tempo(up=True))

    def action_tap(self) -> None:
        """Take the tempo from the player's taps."""
        self.taps = self.taps.tap(time.monotonic())
        if self.taps.tempo is None:
            self.say("Tap b in time: the tempo follows.")
        else:
            self.hush()
            self._tempo(self.session.at_tempo(self.taps.tempo))

    def action_chords_part(self) -> None:
        """Play the chords along, or no longer."""
        self._toggle("chords")

    def action_bass_part(self) -> None:
        """Play the bass along, or no longer."""
        self._toggle("bass")

    def action_tune_part(self) -> None:
        """Play the tune along, or no longer."""
        self._toggle("tune")

    def on_screen_suspend(self) -> None:
        """Leave no click behind when another room opens; help and the knobs let it run on."""
        room = self.app.screen
        listens = isinstance(room, ModalScreen) or getattr(room, "KEEPS_RUNNING", False)
        if self.session.mode.moving and not listens:
            self._stop()

    def follow(self) -> None:
        """Ask the clock where it is and show that."""
        self.home.hear()
        before = self.session
        self.session, where = self.home.conductor.follow(before)
        self.heed()
        board = self.query_one(Board)
        if where is None:
            self._over()
        elif where.turn.counted is not None:
            if self.session != before:
                self.show()
            board.show_count_in(self.seen, where.place, where.turn.counted)
        else:
            if self.session != before:
                self.show()
            board.show_place(self.seen, None if where.turn.silent else where.place)

    def _over(self) -> None:
        listened = self.session.mode is Mode.WAITING
        self.ran_out = self.home.metronome.finished and not listened
        if self.frames:
            self.frames.pause()
        self.show()
        if listened:
            self.say("That is how it goes. Your turn: r runs from here, l loops it.")

    def started(self) -> None:
        """Show what has begun to play, and follow it."""
        self.show()
        self._tell_silence()
        if self.frames:
            self.frames.resume()

    def _tell_silence(self) -> None:
        """Say, once a song, why the click makes no sound."""
        silence = self.home.metronome.silence
        if silence and not self.told_silent:
            self.told_silent = True
            self.say(f"The click is visible only. {silence}" if self.size.width >= WIDE else SILENT)

    def _passage(self, session: Session) -> None:
        self.session = session = self.home.conductor.passage(session)
        self.show()
        loops = session.looped and session.looped == session.passage
        self.say(views.loop_words(session) if loops else views.passage_words(session))

    def _tempo(self, session: Session) -> None:
        self.session = session
        self.home.conductor.tempo(session)
        self.show()

    def _toggle(self, part: str) -> None:
        from chartwalk.guide import Part  # noqa: PLC0415 - not at the start

        settings = self.home.settings.toggled(Part(part))
        kept = self.home.change(settings)
        self.say(views.guide_words(settings.guide), beside=not kept)


def once_more(session: Session, began: int) -> Session:
    """Return the session for a run after one that went on to the end: its next round, or again.

    ``began`` is the step that the last run began with.
    """
    last = session.round + 1 == session.song.rounds
    return session.at(began) if last else session.again()
