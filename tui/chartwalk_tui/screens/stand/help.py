"""What the help of the Stand says beyond the keys: the signs it uses, and about the song."""

from dataclasses import replace
from typing import Final

from textual.content import Content

from chartwalk.song import Song
from chartwalk_tui.printable import count, printable
from chartwalk_tui.screens.room import explained

SIGNS: Final = (
    ("E→F", "this note goes there"),
    ("+G −E", "a note that joins, a note that leaves"),
    ("E♯=F", "the name by its degree, and the key as you know it"),
    ("(F4)", "a note or a chord held over from before"),
    ("[F] [D7]", "a note usually left out, a chord left out at this depth"),
    ("♭5? ♯5?", "one of two to choose"),
    ("F4──2──", "a note held, its beats counted out"),
    ("·", "a rest; in the road ahead: the chord before is held"),
    ("[7-9]", "the passage that is set"),
    ("»5", "a jump leads to this bar"),
    ("×2", "trouble marks on this bar"),
    ("!", "something is wrong with this bar in the file"),
)


def signs_help() -> Content:
    """Explain the signs of the Stand."""
    return Content.styled("\nSigns on the Stand\n", "bold $role-now") + explained(SIGNS)


def problem_help(song: Song) -> Content:
    """Tell what is wrong with the file; nothing where nothing is."""
    if not song.problems:
        return Content("")
    lines = (printable(f"{replace(problem, file='')}\n") for problem in song.problems)
    head = Content.styled("Wrong in the file\n", "bold $role-mark")
    return Content("").join([head, *map(Content, lines), Content("\n")])


def song_help(song: Song) -> Content:
    """Tell what the chart says about itself, and what the reader had to mend."""
    chart = song.chart
    parts = [Content.styled(f"\n{chart.title}\n", "bold $role-now")]
    voice = f"voice from {chart.voice[0]} to {chart.voice[1]}" if chart.voice else ""
    notices = (str(replace(told, file="")) for told in song.warnings)
    lines = [chart.credit, chart.note, voice, *notices]
    parts += [Content(printable(f"{line}\n")) for line in lines if line]
    return Content("").join(parts)


def file_words(song: Song, *, wide: bool) -> str:
    """Say in a line what is to be known about a song's file; nothing where all is well.

    Where there is room for it (``wide``) the first problem or notice is told.
    """
    first = (*song.problems, *song.warnings)[:1]
    told = f": {first[0].message}" if first and wide else ""
    if song.problems:
        problems = count(len(song.problems), "problem")
        return f"{problems} in this file, ! flags the bars{told}. ? lists all."
    if song.warnings:
        return f"{count(len(song.warnings), 'notice')} about this file{told}. ? lists all."
    if song.rounds > 1:
        return f"More verses than passes: play it {song.rounds} times, on from the end."
    return ""
