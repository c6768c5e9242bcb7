"""The road ahead: the steps to come."""

from collections.abc import Mapping

from chartwalk.chart import RoadMark, Sign
from chartwalk.practice import Session
from chartwalk.roadmap import Step
from chartwalk_tui.views.words import news
from chartwalk_tui.widgets.road_strip import RoadBar, RoadView


def road_view(session: Session, marks: Mapping[int, int], count: int) -> RoadView:
    """Return the steps from here on; ``marks`` counts the marks of each written bar."""
    steps = session.song.steps[session.step : session.step + count]
    bars = tuple(_road_bar(session, step, marks) for step in steps)
    return RoadView(bars, ends=session.step + count >= len(session.song.steps))


def _road_bar(session: Session, step: Step, marks: Mapping[int, int]) -> RoadBar:
    song = session.song
    bar = song.bars[step.bar]
    chords = " ".join(
        sounding.symbol.display if not sounding.held else "·"
        for sounding in song.soundings[step.bar]
        if sounding.symbol
    )
    last = song.steps[step.index - 1].bar if step.index else None
    before = None if last is None else song.bars[last]
    starts = last is None or song.section_names[step.bar] != song.section_names[last]
    return RoadBar(
        bar.number,
        chords,
        why=_short(step.why or ""),
        signs=" ".join(map(_sign, bar.marks)),
        marks=marks.get(step.bar, 0),
        flag=step.bar in song.flagged,
        section=song.section_names[step.bar] if starts else "",
        news=news(before, bar) if before else "",
    )


def _short(why: str) -> str:
    """Say a jump in a word or two, for the strip: 2nd time, beginning, segno."""
    return why.removeprefix("repeat, ").removeprefix("back to ").removeprefix("the ")


def _sign(mark: RoadMark) -> str:
    if mark.sign is Sign.ENDING:
        return " ".join(f"{number}." for number in mark.passes)
    return mark.sign.words
