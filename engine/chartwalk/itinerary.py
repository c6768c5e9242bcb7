"""The play order in a player's words: Verse 1-8, again 1-7, 2nd ending 9, to the coda: 12-14.

A stretch is what a player reads in one go: bars that follow each other on paper within a section.
Bars go by their printed numbers.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from chartwalk.chart import Sign
from chartwalk.roadmap import Step, find_repeats
from chartwalk.song import Song

SAID: Final = (
    ("repeat, 2nd time", "again"),
    ("repeat, ", ""),
    ("back to segno", "back to the segno"),
    ("to coda", "to the coda"),
    ("left out: played 0 times", "skipping the repeat"),
)
"""What the play order writes of a jump, and how a player says it."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """Some steps in a row: the index of the first, the first and last bar (indices from 0).

    ``section`` is the name of their section and ``pass_`` the pass of the first bar. ``why`` tells
    the jump that leads here; None where the stretch follows on paper.
    """

    step: int
    first: int
    last: int
    section: str
    pass_: int
    why: str | None = None


def itinerary(song: Song) -> tuple[Stretch, ...]:
    """Return the play order as stretches.

    A new one begins with each jump, with each section and behind each ending.
    """
    sections = {index for index, _ in song.chart.section_starts()}
    borders = sections | _behind_endings(song, sections)
    starts = [step for step in song.steps if _begins(step, borders)]
    ends = [step.index for step in starts[1:]] + [len(song.steps)]
    return tuple(
        Stretch(
            start.index,
            start.bar,
            song.steps[end - 1].bar,
            song.section_names[start.bar],
            start.pass_,
            start.why,
        )
        for start, end in zip(starts, ends, strict=True)
    )


def _behind_endings(song: Song, sections: set[int]) -> set[int]:
    if song.problems:  # its road may not be one
        return set()
    repeats, _ = find_repeats(song.bars, sections)
    return {ending.last + 1 for repeat in repeats for ending in repeat.endings}


def _begins(step: Step, borders: set[int]) -> bool:
    return step.index == 0 or step.why is not None or step.bar in borders


def phrases(song: Song) -> tuple[str, ...]:
    """Say the play order, a phrase a stretch; the last one tells a Fine at which the road ends.

    A song with more verses than passes is sung again from the top: one phrase more.
    """
    again = (f"all of it {song.rounds} times, on with the verses",) if song.rounds > 1 else ()
    return (*_phrases(song), *again)


def _phrases(song: Song) -> Iterator[str]:
    stretches = itinerary(song)
    for before, stretch in zip((None, *stretches), stretches, strict=False):
        lead = _lead(stretch.why) if stretch.why else ""
        known = before is not None and before.section == stretch.section
        told = stretch.section.casefold() in lead.casefold().strip(":").split()  # to the coda
        section = "" if known or told else stretch.section
        fine = " to Fine" if stretch is stretches[-1] and _ends_at_fine(song) else ""
        words = (lead, section, bar_words(song, stretch.first, stretch.last))
        yield " ".join(filter(None, words)) + fine


def _lead(why: str) -> str:
    """Say a jump; what sends the player to another place ends in a colon."""
    for written, said in SAID:
        why = why.replace(written, said)
    return f"{why}:" if why.startswith(("back", "to ", "past", "skipping")) else why


def _ends_at_fine(song: Song) -> bool:
    """Whether the road ends at a Fine before the end of the page."""
    last = song.steps[-1].bar
    return last + 1 < len(song.bars) and song.bars[last].mark(Sign.FINE) is not None


def bar_words(song: Song, first: int, last: int) -> str:
    """Write some bars in a row by their printed numbers: 9, 1-8, pickup and 1-8."""
    bars = song.bars
    if bars[first].pickup:
        return "pickup" if first == last else f"pickup and {bar_words(song, first + 1, last)}"
    numbers = (bars[first].number, bars[last].number)
    return numbers[0] if numbers[0] == numbers[1] else "-".join(numbers)


def step_on(song: Song, bar: int, near: int) -> int | None:
    """Return the step on a written bar that is nearest to another step; None if never played.

    Of two as near as each other the later one is taken.
    """
    found = [step.index for step in song.steps if step.bar == bar]
    return min(found, key=lambda step: (abs(step - near), -step)) if found else None
