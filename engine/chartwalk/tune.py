"""The tune of one step: its notes in place, and the words sung on this pass."""

from dataclasses import dataclass, replace
from fractions import Fraction

from chartwalk.chart import Note, Syllable, sung
from chartwalk.pitch import Pitch
from chartwalk.roadmap import Step
from chartwalk.song import Song


@dataclass(frozen=True, slots=True)
class TuneNote:
    """A note as it is heard in one bar, ``at`` quarter notes after the bar line.

    Notes tied within the bar are one. ``held`` says that it goes on from the bar played before;
    ``pitch`` is None in a rest or in a chart without a tune, whose words share the bar.
    """

    at: Fraction
    length: Fraction
    pitch: Pitch | None
    held: bool = False
    syllable: Syllable | None = None


def tune_of(song: Song, step: Step, round_: int = 0) -> tuple[TuneNote, ...]:
    """Return the notes of a step with their words; the song is sung through once a round, from 0.

    In a chart without a tune, and in a pickup that has none, the words share the bar evenly.
    """
    bar = song.bars[step.bar]
    words = words_of(song, step, round_)
    tuneless = not any(note.pitch for note in bar.tune) and (bar.pickup or not bar.tune)
    if tuneless and (words or not bar.tune):
        share = bar.length / max(1, len(words))
        return tuple(
            TuneNote(share * place, share, None, syllable=syllable)
            for place, syllable in enumerate(words)
        )
    places = sung(bar, song.bars[step.bar - 1] if step.bar else None)
    syllables = dict(zip(places, words, strict=False))
    notes: list[TuneNote] = []
    at = Fraction(0)
    for place, note in enumerate(bar.tune):
        if place and note.pitch is not None and place not in places:
            notes[-1] = replace(notes[-1], length=notes[-1].length + note.length)
        else:
            syllable = syllables.get(place)
            held = not place and not syllable and _tied_into(song, step, note)
            notes.append(TuneNote(at, note.length, note.pitch, held, syllable))
        at += note.length
    return tuple(notes)


def _tied_into(song: Song, step: Step, note: Note) -> bool:
    """Whether the last note played before a step is tied to its first one, over a jump too.

    A tie on paper does not lead into a bar that is reached from elsewhere: its note is struck.
    """
    played = song.bars[song.steps[step.index - 1].bar].tune if step.index else ()
    if not played or note.pitch is None:
        return False
    return played[-1].tied and played[-1].pitch == note.pitch


def words_of(song: Song, step: Step, round_: int = 0) -> tuple[Syllable, ...]:
    """Return the syllables sung on this pass of the bar, in a round of the song from 0.

    Pass 2 sings the second verse; where the section has fewer verses, its last one. Two kinds of
    bars sing what stands above it (common practice, no source): an ending that is first played on
    pass 2, and a refrain, which is printed once under all verses.
    """
    verses = song.bars[step.bar].words
    turn = step.pass_ + round_ * song.last_passes[step.bar]
    wanted = min(turn, song.verses[step.bar])
    if _has_verse(song, step.bar, wanted):
        return verses[wanted - 1]
    refrain = any(not _has_verse(song, near, wanted) for near in song.near_words(step.bar))
    last = wanted if refrain else min(wanted, song.first_passes[step.bar])
    return next((verse for verse in reversed(verses[: max(0, last - 1)]) if verse), ())


def _has_verse(song: Song, bar: int, number: int) -> bool:
    verses = song.bars[bar].words
    return 0 < number <= len(verses) and bool(verses[number - 1])
