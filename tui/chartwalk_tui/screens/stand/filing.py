"""The file: editing the chart, and reading it again."""

from chartwalk.files import open_for_practice, stamp
from chartwalk.problems import ChartError
from chartwalk.song import Song
from chartwalk_tui.screens.stand.base import WIDE, OnTheStand
from chartwalk_tui.screens.stand.help import file_words


class Filing(OnTheStand):
    """The key that edits."""

    stamped: tuple[int, int] | None = None  # how the chart's file was when it was read

    def action_edit(self) -> None:
        """Edit the chart; what is read of other kinds of files goes to a .lead file first."""
        path = self.session.written.path
        if path.suffix != ".lead":
            name = path.with_suffix(".lead").name
            self.say(f"Only .lead charts are edited here: chartwalk convert {path.name} {name}")
            return
        self.halt()
        self.home.edit(path)

    def look_at_the_file(self) -> None:
        """Read the chart again if its file has changed; a run goes on first."""
        if self.session.mode.moving:
            return
        written = stamp(self.session.written.path)
        if written in {None, self.stamped}:
            return
        self.stamped = written
        try:
            song = open_for_practice(self.session.written.path)
        except ChartError as error:
            self.say(f"The file has changed and can't be read: {error.problems[0]}.")
            return
        self.read_again(song)

    def read_again(self, song: Song) -> None:
        """Go on with the song as its file has it now, at the same place, key and depth."""
        self.halt()
        self.stamped = stamp(song.path)
        self.session = self.session.reopened(song)
        self.guess = None
        self.logged = self.home.log_song(song) or self.logged
        self.marks = self.home.mark_counts(self.logged)
        self.heard()
        self.say("The file has changed; it was read again.")
        if song.problems or song.warnings:
            self.tell_about_the_file()

    def tell_about_the_file(self) -> None:
        """Say what is to be known about the song's file."""
        if words := file_words(self.session.written, wide=self.size.width >= WIDE):
            self.say(words)
