"""The tune of one step: its notes in place, and the words sung on this pass."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from chartwalk.chart import Syllable, sung
from chartwalk.pitch import Pitch
from chartwalk.roadmap import Step
from chartwalk.song import Song


@dataclass(frozen=True, slots=True)
class TuneNote:
    """A note as it is heard in one bar, ``at`` quarter notes after the bar line.

    Notes tied within the bar are one. ``held`` says that it goes on from the bar before;
    ``pitch`` is None in a rest or in a chart without a tune, whose words share the bar.
    """

    at: Fraction
    length: Fraction
    pitch: Pitch | None
    held: bool = False
    syllable: Syllable | None = None


def tune_of(song: Song, step: Step) -> tuple[TuneNote, ...]:
    """Return the notes of a step with their words."""
    bar = song.bars[step.bar]
    words = words_of(song, step)
    if not bar.tune:
        share = bar.length / len(words) if words else bar.length
        return tuple(
            TuneNote(share * place, share, None, syllable=syllable)
            for place, syllable in enumerate(words)
        )
    before = song.bars[step.bar - 1] if step.bar else None
    places = sung(bar, before)
    syllables = dict(zip(places, words, strict=False))
    notes: list[TuneNote] = []
    at = Fraction(0)
    for place, note in enumerate(bar.tune):
        tied = note.pitch is not None and place not in places
        if tied and place:
            notes[-1] = replace(notes[-1], length=notes[-1].length + note.length)
        else:
            notes.append(TuneNote(at, note.length, note.pitch, tied, syllables.get(place)))
        at += note.length
    return tuple(notes)


def words_of(song: Song, step: Step) -> tuple[Syllable, ...]:
    """Return the syllables sung on this pass of the bar.

    Pass 2 sings the second verse; where the section has fewer verses, its last one. An ending
    that is first played on pass 2 may carry its only words in the first row.
    """
    verses = song.bars[step.bar].words
    return next(
        (
            verses[number - 1]
            for number in _candidates(song, step)
            if number <= len(verses) and verses[number - 1]
        ),
        (),
    )


def _candidates(song: Song, step: Step) -> Iterator[int]:
    wanted = min(step.pass_, song.verses[step.bar])
    if wanted:
        yield wanted
    yield from range(min(wanted, song.first_passes[step.bar]) - 1, 0, -1)
