"""Where a sheet's sections start: rehearsal marks, and words such as Verse or Chorus.

Source: MusicXML 4.0 ``rehearsal``.
"""

from collections.abc import Iterator, Sequence
from fractions import Fraction

from chartwalk.chart import Bar, Section
from chartwalk.mending.words import section_word
from chartwalk.musicxml.elements import direction_texts, text_of
from chartwalk.musicxml.measure import Measure


def sections(bars: Sequence[Bar], measures: Sequence[Measure]) -> tuple[Section, ...]:
    """Cut the bars into sections; the bars before the first name have none.

    A name at the right end of a bar belongs to the next; rehearsal marks go before words.
    """
    cuts = {0: ""}
    for names in (_words, _rehearsals):
        for bar, measure in enumerate(measures):
            for at, name in names(measure):
                start = bar + measure.at_end(at)
                if name and start < len(bars):
                    cuts[start] = name
    starts = sorted(cuts)
    ends = [*starts[1:], len(bars)]
    return tuple(
        Section(cuts[start], tuple(bars[start:end]))
        for start, end in zip(starts, ends, strict=True)
    )


def _rehearsals(measure: Measure) -> Iterator[tuple[Fraction, str]]:
    for item in measure.directions:
        for mark in item.element.iterfind("direction-type/rehearsal"):
            yield item.at, text_of(mark)


def _words(measure: Measure) -> Iterator[tuple[Fraction, str]]:
    for item in measure.directions:
        for text in direction_texts(item.element):
            yield item.at, section_word(text) or ""
