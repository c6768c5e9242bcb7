"""From a session to the page of the Road screen and the lines around it."""

from collections.abc import Mapping, Sequence
from typing import Final

from chartwalk.chart import Bar, RoadMark, Sign
from chartwalk.practice import Session
from chartwalk.roadmap import Ending, find_repeats
from chartwalk.song import Song
from chartwalk_tui.printable import count
from chartwalk_tui.views.words import news
from chartwalk_tui.widgets.road_page import PageBar, Visit
from chartwalk_tui.widgets.text_line import Ends

AT_START: Final = (Sign.SEGNO, Sign.CODA)
DRAWN: Final = (Sign.REPEAT_START, Sign.ENDING)
"""The signs that are drawn, not written."""

FOLLOWING: Final = 12  # stretches named ahead: more than a line holds


def road_title(song: Song) -> Ends:
    """Return the name of the room and the song, and how long it is on paper and as played."""
    told = f"{count(len(song.bars), 'bar')}, {len(song.steps)} as played "
    return Ends(((" Road", "now"), (f"  {song.chart.title}", "title")), ((told, "dim"),))


def path_line(said: Sequence[str], here: int) -> Ends:
    """Say the stretch of the road that the cursor is in, and those that follow."""
    rest = said[here + 1 :]
    words = (", then ", "dim") if rest else (", the end", "dim")
    return Ends(((f" {said[here]}", "now"), words, (", ".join(rest[:FOLLOWING]), "plain")))


def page_bars(session: Session, marks: Mapping[int, int]) -> tuple[PageBar, ...]:
    """Return every written bar as the page shows it; ``marks`` counts the marks of each."""
    song = session.song
    starts = dict(song.chart.section_starts())
    repeats, _ = find_repeats(song.bars, starts)
    endings = {
        index: ending
        for repeat in repeats
        for ending in repeat.endings
        for index in range(ending.first, ending.last + 1)
    }
    visits = _visits(song)
    return tuple(
        PageBar(
            bar.number,
            _chords(song, index),
            visits[index],
            begins=index in starts,
            section=starts[index].name if index in starts else "",
            before=" ".join(mark.sign.words.lower() for mark in bar.marks if mark.sign in AT_START),
            after=" ".join(filter(None, map(_written, bar.marks))),
            short=" ".join(filter(None, map(_short, bar.marks))),
            ending=_label(endings.get(index), index),
            bracket=index in endings,
            hook=index in endings and _hooked(song.bars, endings[index], index),
            opens=bar.mark(Sign.REPEAT_START) is not None,
            line=_line(song.bars, index),
            news=news(song.bars[index - 1], bar) if index else "",
            marks=marks.get(index, 0),
            flag=index in session.written.flagged,
            pickup=bar.pickup,
        )
        for index, bar in enumerate(song.bars)
    )


def _visits(song: Song) -> Sequence[tuple[Visit, ...]]:
    """Return the visits to each bar, in the order they are made."""
    visits: list[list[Visit]] = [[] for _ in song.bars]
    for step in song.steps:
        following = song.steps[step.index + 1].bar if step.index + 1 < len(song.steps) else None
        jumps = following is None or following != step.bar + 1
        to = "end" if following is None else song.bars[following].number
        visits[step.bar].append(Visit(step.index, str(step.pass_), to if jumps else ""))
    return [tuple(found) for found in visits]


def _chords(song: Song, index: int) -> str:
    return " ".join(
        sounding.symbol.display if not sounding.held else "·"
        for sounding in song.soundings[index]
        if sounding.symbol
    )


def _label(ending: Ending | None, index: int) -> str:
    starts = ending is not None and ending.first == index
    return " ".join(f"{number}." for number in ending.passes) if ending and starts else ""


def _hooked(bars: Sequence[Bar], ending: Ending, index: int) -> bool:
    """Whether the bracket of an ending closes at a bar: at the end, with a repeat sign."""
    return index == ending.last and bars[index].mark(Sign.REPEAT_END) is not None


def _line(bars: Sequence[Bar], index: int) -> str:
    """Return the line at the end of a bar; empty where it is a plain one."""
    if bars[index].mark(Sign.REPEAT_END):
        return ":|"
    if index + 1 == len(bars):
        return "▐"
    return "│" if bars[index].double else ""


def _written(mark: RoadMark) -> str:
    """Write a sign at the end of a bar as it is printed; a repeat only where it says how often."""
    if mark.sign is Sign.REPEAT_END:
        return "" if mark.times == 2 else f"{mark.times}x"
    return "" if mark.sign in (*AT_START, *DRAWN) else mark.sign.words


def _short(mark: RoadMark) -> str:
    """Write a sign at the end of a bar with fewer letters: D.S. al Coda as ds al coda."""
    written = _written(mark)
    return mark.sign.value if written and mark.sign is not Sign.REPEAT_END else written
