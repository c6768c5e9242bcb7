"""Bringing songs onto the Stand: from files, from the player's editor, from the Log."""

from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

from chartwalk.files import open_for_practice, tunes_of
from chartwalk.problems import ChartError
from chartwalk.song import Song
from chartwalk_tui.app.home import Home
from chartwalk_tui.editor import new_chart, run_editor
from chartwalk_tui.screens.room import FIRST_AND_EMPTY
from chartwalk_tui.screens.stand import Errand, Stand

if TYPE_CHECKING:
    from chartwalk.trouble import Spot


class Opening(Home):
    """Opens songs."""

    def show_shelf(self, book: Path | None = None) -> None:
        """Show the songs there are, or the tunes of a book."""
        from chartwalk_tui.screens.shelf import Shelf  # noqa: PLC0415 - not at the start

        self.push_screen(Shelf(book))

    def open_path(self, path: Path) -> None:
        """Open a chart file on the Stand, or show what is wrong with it; of a book, its tunes."""
        if tunes_of(path):
            self.show_shelf(path)
            return
        try:
            song = open_for_practice(path)
        except ChartError as error:
            from chartwalk_tui.screens.pages import problem_page  # noqa: PLC0415 - as above

            self.push_screen(problem_page(f"{path.name} can't be opened", error.problems))
            return
        self.open(song)

    def new_chart(self, title: str | None) -> None:
        """Write a new chart's template here and open it in the player's editor."""
        if not title:
            return
        try:
            path = new_chart(title, Path.cwd())
        except FileExistsError as error:
            self.say(f"There is a file {Path(error.filename).name} already: choose another title.")
        except OSError as error:
            self.say(f"No chart can be written here: {(error.strerror or str(error)).lower()}.")
        else:
            self.edit(path)

    def edit(self, path: Path) -> None:
        """Let the player edit a chart; check it on return, and open it."""
        if why_not := run_editor(self, path):
            self.say(why_not)
            return
        try:
            song = open_for_practice(path)
            problems = song.problems
        except ChartError as error:
            song, problems = None, error.problems

        def answered(again: bool | None) -> None:
            if again:
                self.edit(path)
            elif song:
                self.open(song)

        if problems:
            from chartwalk_tui.screens.pages import Proofs  # noqa: PLC0415 - not at the start

            title = f"{path.name}: {len(problems)} to mend"
            self.push_screen(Proofs(title, _lines_of(path), problems), answered)
        else:
            answered(False)

    def open(self, song: Song, errand: Errand | None = None) -> None:
        """Bring a song onto the Stand and do something there; an open song goes on as it is."""
        while len(self.screen_stack) > FIRST_AND_EMPTY and not isinstance(self.screen, Stand):
            self.pop_screen()
        stand = self.screen
        if not isinstance(stand, Stand) or stand.session.song.identity != song.identity:
            if isinstance(stand, Stand):
                stand.halt()  # now, not once the other song runs
            self.switch_screen(self._stand(song, errand))
            return
        if not _same(stand.session.written, song):
            stand.read_again(song)
        if errand:
            errand(stand)

    def _stand(self, song: Song, errand: Errand | None = None) -> Stand:
        return Stand(song, self.log_song(song), errand)

    def drill(self, song: Song, spot: "Spot") -> None:
        """Drill a spot on the Stand."""
        self.open(song, lambda stand: stand.start_drill(spot))

    def go_to_spot(self, song: Song, spot: "Spot") -> None:
        """Go to a spot on the Stand."""
        step = spot.step

        def go(stand: Stand) -> None:
            if step is None:
                stand.say("These bars are no longer played: the road leads past them.")
            else:
                stand.go_to_step(step, 0)

        self.open(song, go)


def _lines_of(path: Path) -> list[str]:
    with suppress(OSError):
        return path.read_text(encoding="utf-8", errors="replace").splitlines()
    return []


def _same(song: Song, other: Song) -> bool:
    """Whether two songs are one file that has not changed in between."""
    return song.identity == other.identity and song.chart == other.chart
