"""What the help of the Stand says beyond the keys: the signs it uses, and about the song."""

from dataclasses import replace
from typing import Final

from textual.content import Content

from chartwalk.song import Song
from chartwalk_tui.printable import printable

SIGNS: Final = (
    ("E→F", "this note goes there"),
    ("+G −E", "a note that joins, a note that leaves"),
    ("E♯=F", "the name by its degree, and the key as you know it"),
    ("(F4)", "a note or a chord held over from before"),
    ("[F] [D7]", "a note usually left out, a chord left out at this depth"),
    ("♭5? ♯5?", "one of two to choose"),
    ("F4──2──", "a note held, its beats counted out"),
    ("»5", "a jump leads to this bar"),
    ("×2", "trouble marks on this bar"),
)


def signs_help() -> Content:
    """Explain the signs of the Stand."""
    parts = [Content.styled("\nSigns on the Stand\n", "bold $role-now")]
    for sign, meaning in SIGNS:
        parts += [Content.styled(f"{sign:<9}", "bold"), Content(f"{meaning}\n")]
    return Content("").join(parts)


def song_help(song: Song) -> Content:
    """Tell what the chart says about itself, and what the reader had to mend."""
    chart = song.chart
    parts = [Content.styled(f"\n{chart.title}\n", "bold $role-now")]
    voice = f"voice from {chart.voice[0]} to {chart.voice[1]}" if chart.voice else ""
    notices = (str(replace(warning, file="")) for warning in song.warnings)
    lines = [chart.credit, chart.note, voice, *notices]
    parts += [Content(printable(f"{line}\n")) for line in lines if line]
    return Content("").join(parts)
