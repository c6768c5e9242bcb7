"""Trouble spots in words: bars 12-13, Am7 to D7♭9, jumps to the Bridge, 4 marks ..."""

from collections.abc import Iterator
from datetime import date
from fractions import Fraction
from itertools import groupby, pairwise
from typing import Final

from chartwalk.chord import ChordError, ChordSymbol
from chartwalk.itinerary import bar_words
from chartwalk.song import Song
from chartwalk.trouble.formula import State
from chartwalk.trouble.returning import Return
from chartwalk.trouble.spots import Spot

TIMES: Final = {1: "once", 2: "twice", 3: "three times"}


def tempo_words(tempo: Fraction) -> str:
    """Write a tempo in beats a minute, to a tenth.

    >>> tempo_words(Fraction(72)), tempo_words(Fraction(203, 2)), tempo_words(Fraction(100, 3))
    ('72', '101.5', '33.3')
    """
    return f"{float(tempo):.1f}".removesuffix(".0")


def times_words(count: int) -> str:
    """Say how often.

    >>> times_words(2), times_words(5)
    ('twice', '5 times')
    """
    return TIMES.get(count, f"{count} times")


def count_words(count: int, what: str) -> str:
    """Say how many there are of something.

    >>> count_words(1, "mark"), count_words(4, "mark")
    ('1 mark', '4 marks')
    """
    return f"{count} {what}" if count == 1 else f"{count} {what}s"


def spot_words(song: Song, spot: Spot) -> str:
    """Say in a line where a spot is, what gave trouble there, and how it stands."""
    return ", ".join(_phrases(song, spot))


def place_words(song: Song, spot: Spot) -> str:
    """Say which bars a spot is, by their printed numbers: bar 9, bars 12-13, bars 8 and 1."""
    stretches = " and ".join(bar_words(song, first, last) for first, last in _on_paper(spot.bars))
    if stretches.startswith("pickup"):
        return stretches
    return f"{'bar' if len(spot.bars) == 1 else 'bars'} {stretches}"


def _on_paper(bars: tuple[int, ...]) -> Iterator[tuple[int, int]]:
    """Yield the first and last bar of each part of a stretch that runs straight on paper."""
    for _, run in groupby(enumerate(bars), key=lambda placed: placed[1] - placed[0]):
        indices = [bar for _, bar in run]
        yield indices[0], indices[-1]


def _phrases(song: Song, spot: Spot) -> Iterator[str]:
    yield place_words(song, spot)
    if spot.change:
        yield " to ".join(_shown(chord) for chord in spot.change if chord)
    yield from _jumps(song, spot)
    kinds = ", ".join(kind.value for kind in spot.kinds)
    yield count_words(len(spot.marks), "mark") + (f" ({kinds})" if kinds else "")
    goal = tempo_words(spot.goal)
    if spot.best is None:
        yield f"not clean yet, goal {goal}"
    else:
        yield f"best clean {tempo_words(spot.best)} of goal {goal}"
    if spot.state is State.HEALED:
        yield "healed"


def _shown(chord: str) -> str:
    """Write a chord as the screen does, or as it was logged where it can't be read."""
    try:
        return ChordSymbol.parse(chord).display
    except ChordError:
        return chord


def _jumps(song: Song, spot: Spot) -> Iterator[str]:
    """Yield the jumps inside a spot: to another section, or as the road says."""
    if spot.step is None:
        return
    steps = song.steps[spot.step : spot.step + len(spot.bars)]
    names = song.section_names
    for before, after in pairwise(steps):
        if after.why:
            section = names[after.bar]
            elsewhere = section and section != names[before.bar]
            yield f"jumps to the {section}" if elsewhere else f"jumps: {after.why}"


def return_words(back: Return, today: date) -> str:
    """Say when to return to a spot.

    >>> [return_words(Return(date(2031, 5, day), 1, 1.0, 5.0), date(2031, 5, 8))
    ...     for day in (8, 9, 12, 7, 5)]
    ['due today', 'due tomorrow', 'due in 4 days', 'due since yesterday', 'due for 3 days']
    """
    days = (back.day - today).days
    return _NEAR.get(days) or (f"due in {days} days" if days > 0 else f"due for {-days} days")


_NEAR: Final = {0: "due today", 1: "due tomorrow", -1: "due since yesterday"}
