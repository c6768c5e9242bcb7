"""What the words of a sheet say beside its signs, and what of it is in doubt or not kept."""

from collections.abc import Sequence
from itertools import pairwise
from typing import Final
from xml.etree.ElementTree import Element

from chartwalk.chart import RoadMark, Sign
from chartwalk.mending.doubts import road_doubt
from chartwalk.mending.marks import Marks, Mended, first, found, has, put
from chartwalk.mending.notices import Notice
from chartwalk.mending.texts import listed
from chartwalk.mending.words import (
    ending_word,
    feel_word,
    looks_like_chords,
    no_chord,
    road_sign,
    section_word,
    times_word,
)
from chartwalk.musicxml.elements import direction_texts
from chartwalk.musicxml.measure import Measure

_MEANINGS: Final = (road_sign, feel_word, section_word, no_chord, looks_like_chords)


def endings_in_words(marks: Marks, measures: Sequence[Measure]) -> Mended:
    """Read ``1.`` and ``2.`` as endings on a sheet that draws none, where a repeat closes between.

    Such figures may also number the verses; then they stand in one bar.
    """
    if next(found(marks, Sign.ENDING), None):
        return marks, ()
    numbers = [
        (bar, number)
        for bar, measure in enumerate(measures)
        for item in measure.directions
        for text in direction_texts(item.element)[:1]
        if (number := ending_word(text)) is not None
    ]
    rising = all(low < high for low, high in pairwise(numbers))
    closed = all(
        first(marks, Sign.REPEAT_END, bar, following) is not None
        for (bar, _), (following, _) in pairwise(numbers)
    )
    if len(numbers) < 2 or numbers[0][1] != 1 or not (rising and closed):
        return marks, ()
    for bar, number in numbers:
        marks = put(marks, bar, RoadMark(Sign.ENDING, (number,)))
    return marks, (Notice("the endings stand in words alone: read as endings", numbers[0][0]),)


def spoken(measures: Sequence[Measure], marks: Marks) -> tuple[Notice, ...]:
    """Tell the words that may be signs of the road, in their bars, and those that are not kept.

    ``marks`` are the road marks as read: a number of times counts at a closing repeat sign only.
    """
    told: list[Notice] = []
    others: dict[str, int] = {}
    endings = next(found(marks, Sign.ENDING), None) is not None
    for bar, measure in enumerate(measures):
        for item in measure.directions:
            texts = direction_texts(item.element)
            if not texts:
                continue
            meant = [text for text in texts if any(meaning(text) for meaning in _MEANINGS)]
            kept = any(times_word(text) for text in texts) and has(marks, bar, Sign.REPEAT_END)
            kept = kept or (endings and ending_word(texts[0]) is not None)
            doubt = road_doubt(meant[0] if meant else texts[0])
            if doubt and not kept:
                told.append(Notice(doubt, bar))
            elif not (meant or kept or _tells_tempo(item.element)):
                others.setdefault(texts[0], bar)
    if others:
        told.append(Notice(f"words are left out: {listed(others)}", min(others.values())))
    return tuple(told)


def _tells_tempo(direction: Element) -> bool:
    """Whether the words name a tempo that stands beside them in figures."""
    sound = direction.find("sound")
    if sound is not None and sound.get("tempo"):
        return True
    return direction.find("direction-type/metronome") is not None
