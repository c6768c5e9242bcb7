"""What a tune asks of a voice: its notes, its range and where it sits most of the time.

Conventions
-----------
- Notes are counted as written, from the first bar to the last, each once: how often a repeat is
  taken changes neither the range nor, in most songs, where the tune sits.
- Notes joined by ties are one; it belongs to the bar it begins in.
- Pitches and lengths weigh by time: a note of two quarters counts twice as much as one of one.

References
----------
Titze, "Quantifying Tessitura in a Song", *Journal of Singing* 65, 2008, and Thurmer, "The
Tessiturogram", *Journal of Voice* 2, 1988: tessitura as pitch weighted by duration. That the band
holds the middle 80 % of the time is our choice.
"""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import accumulate
from typing import Final

from chartwalk.chart import Bar, Chart, sung
from chartwalk.pitch import Pitch
from chartwalk.voice.singer import SingerRange

OUTER: Final = Fraction(1, 10)  # of the time lies below the band, and as much above it


@dataclass(frozen=True, slots=True)
class SungNote:
    """A note as it is sung, ``length`` quarter notes long; ``bar`` is the printed number."""

    pitch: Pitch
    length: Fraction
    bar: str

    @property
    def place(self) -> str:
        """Where it stands, in words: bar 14, pickup.

        >>> SungNote(Pitch.parse("D5"), Fraction(1), "14").place
        'bar 14'
        """
        return "pickup" if self.bar == "0" else f"bar {self.bar}"

    def in_octave(self, octaves: int) -> "SungNote":
        """Return the note so many octaves higher."""
        return replace(self, pitch=_higher(self.pitch, octaves))


@dataclass(frozen=True, slots=True)
class Tessitura:
    """A tune's range and where in it the tune sits.

    ``lowest`` and ``highest`` are the first notes that reach so far; ``times`` tells how many
    quarter notes each pitch is sung, from low to high. ``centre`` is the mean MIDI key weighted by
    length; the middle 80 % of the sung time lies in ``band``, its ends included.
    """

    lowest: SungNote
    highest: SungNote
    times: tuple[tuple[Pitch, Fraction], ...]
    centre: Fraction
    band: tuple[Pitch, Pitch]

    def in_octave(self, octaves: int) -> "Tessitura":
        """Return the same for a tune so many octaves higher."""
        low, high = self.band
        return Tessitura(
            self.lowest.in_octave(octaves),
            self.highest.in_octave(octaves),
            tuple((_higher(pitch, octaves), time) for pitch, time in self.times),
            self.centre + 12 * octaves,
            (_higher(low, octaves), _higher(high, octaves)),
        )


def _higher(pitch: Pitch, octaves: int) -> Pitch:
    return Pitch(pitch.name, pitch.octave + octaves)


def sung_notes(chart: Chart) -> tuple[SungNote, ...]:
    """Return the notes of the tune as written; none in a chart without a tune."""
    notes: list[SungNote] = []
    before: Bar | None = None
    for bar in chart.bars:
        begun = sung(bar, before)
        for place, note in enumerate(bar.tune):
            if place in begun and note.pitch:
                notes.append(SungNote(note.pitch, note.length, bar.number))
            elif note.pitch:
                notes[-1] = replace(notes[-1], length=notes[-1].length + note.length)
        before = bar
    return tuple(notes)


def tessitura(notes: Sequence[SungNote]) -> Tessitura:
    """Measure some notes; raise ValueError where there are none."""
    if not notes:
        raise ValueError("there is no note to measure")
    filled: defaultdict[Pitch, Fraction] = defaultdict(Fraction)
    for note in notes:
        filled[note.pitch] += note.length
    times = tuple(sorted(filled.items()))
    total = sum(filled.values(), Fraction(0))
    return Tessitura(
        lowest=min(notes, key=lambda note: note.pitch.midi),
        highest=max(notes, key=lambda note: note.pitch.midi),
        times=times,
        centre=sum(pitch.midi * time for pitch, time in times) / total,
        band=(_reached(times, OUTER * total), _reached(times, (1 - OUTER) * total)),
    )


def _reached(times: Sequence[tuple[Pitch, Fraction]], time: Fraction) -> Pitch:
    """Return the pitch at which the pitches, from low to high, have filled a time."""
    filled = accumulate(length for _, length in times)
    return next(pitch for (pitch, _), total in zip(times, filled, strict=True) if total >= time)


def strain(
    notes: Sequence[SungNote], singer: SingerRange, octaves: int = 0
) -> tuple[SungNote, ...]:
    """Return the notes outside the singer's range when sung so many octaves higher, in order."""
    written = {note.pitch for note in notes}
    outside = {pitch for pitch in written if singer.beyond(_higher(pitch, octaves))}
    return tuple(note.in_octave(octaves) for note in notes if note.pitch in outside)


def time_outside(tune: Tessitura, singer: SingerRange) -> Fraction:
    """Return for how many quarter notes a tune lies outside the singer's range."""
    outside = (time for pitch, time in tune.times if singer.beyond(pitch))
    return sum(outside, Fraction(0))
