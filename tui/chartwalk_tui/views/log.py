"""The values of the Log: lines about spots, the strip of a song, a spot's history."""

from collections.abc import Iterable, Iterator, Sequence
from datetime import date, timedelta
from typing import Final

from chartwalk.log import Kind, SongRecord
from chartwalk.log.identity import is_gone
from chartwalk.song import Song
from chartwalk.trouble import Review, Spot, State, history, return_words, spot_words
from chartwalk.trouble.words import tempo_words
from chartwalk_tui.printable import count
from chartwalk_tui.widgets.heat_strip import Heat, HeatBar

AGES: Final = {"any age": None, "today": 1, "this week": 7, "this month": 30}
"""How old the last mark may be, in days, today included."""
NAMED: Final = 3  # lost songs, where there are more


def chosen(
    spots: Iterable[Spot], today: date, song: str | None, kind: Kind | None, age: int | None
) -> Iterator[Spot]:
    """Yield the spots of a song, a kind and an age of their last mark; None takes all."""
    for spot in spots:
        fresh = age is None or spot.marks[-1].day > today - timedelta(days=age)
        if song in {None, spot.song} and (kind is None or kind in spot.kinds) and fresh:
            yield spot


def spot_line(found: Review, spot: Spot) -> tuple[str, str]:
    """Return a spot in words, and when to return to it."""
    words = spot_words(found.songs[spot.song], spot)
    back = return_words(found.returns[spot], found.today)
    return words, "" if spot.state is State.HEALED else back.removeprefix("due ")


def lost_lines(songs: Sequence[SongRecord]) -> Iterator[str]:
    """Yield what there is to say of songs that can't be opened, some by name."""
    for song in songs[:NAMED]:
        why = "is gone" if is_gone(song.path) else "can't be read"
        yield f"{song.title}: its file {why}, its marks are kept"
    if more := len(songs[NAMED:]):
        yield f"{count(more, 'more song')} without a file to read, their marks are kept too"


def heat(found: Review, spot: Spot) -> Heat:
    """Return the strip of the song that a spot is in."""
    song = found.songs[spot.song]
    trouble = dict.fromkeys(range(len(song.bars)), 0.0)
    for each in found.spots:
        if each.song == spot.song and each.state is not State.HEALED:
            for bar in each.bars:
                trouble[bar] += each.trouble
    begins = {start for start, section in song.chart.section_starts() if section.name}
    bars = tuple(
        HeatBar(bar.number, trouble[index], index in begins, index in spot.bars)
        for index, bar in enumerate(song.bars)
    )
    return Heat(_title(song), bars)


def _title(song: Song) -> str:
    return f"{song.chart.title}: the fuller a bar, the more trouble it gives"


def history_words(spot: Spot) -> str:
    """Say how a spot went over its days."""
    told = history(spot)
    marks = sum(number for _, number in told.marks)
    days = count(len(told.days), "day")
    if not told.tempos:
        return f"{count(marks, 'mark')} on {days}; not clean yet"
    first, last = told.tempos[0], told.tempos[-1]
    gained = f"clean at {tempo_words(first[1])} on {_day(first[0])}"
    if last != first:
        gained += f", {tempo_words(last[1])} on {_day(last[0])}"
    return f"{count(marks, 'mark')} on {days}; {gained}; goal {tempo_words(spot.goal)}"


def history_row(spot: Spot) -> list[float]:
    """Return the fastest clean tempo of each day that anything happened; 0 on days with none."""
    told = history(spot)
    tempos = dict(told.tempos)
    return [float(tempos.get(day, 0)) for day in told.days]


def _day(day: date) -> str:
    return f"{day.day} {day:%b}"
