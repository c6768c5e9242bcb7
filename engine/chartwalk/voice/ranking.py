"""Which key suits the singer: the twelve keys, ranked for the voice first and the hands second.

What a voice teacher would do (common practice, no source) decides the order, one question after
the other:

1. No note out of range: the less time is sung outside the singer's range, the better.
2. The middle: the tune's centre should lie near the middle of the range. Whole steps count, for
   within one the voice hardly minds.
3. The hands: the sharps or flats of the signature plus those among the notes of a chord, both on
   average over the sheet.
4. Then the finer distance from the middle, and the smaller move.

The octave is free: a man sings a tune that is written for everyone an octave lower. So each key is
judged in the octave that suits the voice best. The sheet then moves between a minor sixth down and
a major seventh up; what lies lower is sung an octave below what is written (common practice, no
source).
"""

from collections import Counter
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import Final

from chartwalk.chart import Chart
from chartwalk.chord import Palette
from chartwalk.key import Key
from chartwalk.pitch import Interval
from chartwalk.transpose import interval_between, transpose
from chartwalk.voice.singer import SingerRange
from chartwalk.voice.sung import SungNote, Tessitura, strain, sung_notes, tessitura, time_outside

OCTAVES: Final = range(-8, 8)  # that a tune may move by: from any key of a piano to any other
LOWEST_SHIFT: Final = -8  # semitones: a minor sixth down
WHOLE_STEP: Final = 2  # semitones


@dataclass(frozen=True, slots=True)
class KeyFit:
    """One key and how it suits the singer.

    ``key`` is that of the first bar and ``interval`` how it is reached; ``shift`` is what the sheet
    moves by, in semitones, and ``octave`` how many octaves above what is then written the tune is
    sung. ``tune`` is the tune as it sounds, ``strain`` its notes outside the singer's range and
    ``strained`` how long they last, in quarter notes. ``off`` is how many semitones the tune's
    centre lies above the middle of the range. ``accidentals`` is the number of sharps or flats in
    the first signature, ``hands`` what the hands are asked for (rule 3).
    """

    key: Key
    shift: int
    interval: Interval
    octave: int
    tune: Tessitura
    strain: tuple[SungNote, ...]
    strained: Fraction
    off: Fraction
    accidentals: int
    hands: Fraction

    @property
    def _rank(self) -> tuple[Fraction, Fraction, Fraction, Fraction, int]:
        far = abs(self.off)
        moved = abs(self.shift + 12 * self.octave)
        return self.strained, Fraction(far // WHOLE_STEP), self.hands, far, moved


@dataclass(frozen=True, slots=True)
class _Moved:
    """The sheet in one key: the key, the tune as written there, its range, and rule 3."""

    key: Key
    notes: tuple[SungNote, ...]
    tune: Tessitura
    hands: Fraction


@lru_cache(maxsize=4)
def _twelve(chart: Chart) -> tuple[_Moved, ...]:
    """Return the sheet as written and up to eleven semitones up; an octave changes no name."""
    if not sung_notes(chart):
        return ()
    return tuple(_moved(transpose(chart, semitones)) for semitones in range(12))


def _moved(sheet: Chart) -> _Moved:
    notes = sung_notes(sheet)
    return _Moved(sheet.bars[0].key, notes, tessitura(notes), _hands(sheet))


def rank_keys(chart: Chart, singer: SingerRange) -> tuple[KeyFit, ...]:
    """Return the twelve keys, the best first; none where the sheet has no tune to judge by."""
    written = chart.bars[0].key
    fits = (
        _fit(written, moved, semitones, singer) for semitones, moved in enumerate(_twelve(chart))
    )
    return tuple(sorted(fits, key=lambda fit: fit._rank))


def _fit(written: Key, moved: _Moved, semitones: int, singer: SingerRange) -> KeyFit:
    """Judge the key so many semitones up, in the octave that suits the voice best."""

    def rank(octaves: int) -> tuple[Fraction, Fraction, int]:
        tune = moved.tune.in_octave(octaves)
        far = abs(tune.centre - singer.centre)
        return time_outside(tune, singer), far, abs(semitones + 12 * octaves)

    octaves = min(OCTAVES, key=rank)
    tune = moved.tune.in_octave(octaves)
    voice = semitones + 12 * octaves  # what the voice moves by; the sheet may be in another octave
    octave = max(0, voice // 12) if voice >= LOWEST_SHIFT else (voice - LOWEST_SHIFT) // 12
    shift = voice - 12 * octave
    return KeyFit(
        key=moved.key,
        shift=shift,
        interval=interval_between(written, shift),
        octave=octave,
        tune=tune,
        strain=strain(moved.notes, singer, octaves),
        strained=time_outside(tune, singer),
        off=tune.centre - singer.centre,
        accidentals=abs(moved.key.fifths),
        hands=moved.hands,
    )


def _hands(chart: Chart) -> Fraction:
    """Return the sharps and flats of a signature and of a chord's notes, on average."""
    bars = chart.bars
    signature = Fraction(sum(abs(bar.key.fifths) for bar in bars), len(bars))
    chords = Counter(change.symbol.palette for bar in bars for change in bar.changes)
    counted = {palette: count for palette, count in chords.items() if palette.bass}
    if not counted:
        return signature
    altered = sum(count * _altered(palette) for palette, count in counted.items())
    return signature + Fraction(altered, sum(counted.values()))


def _altered(palette: Palette) -> int:
    """Return how many notes of a chord, the bass with them, have a sharp or a flat."""
    names = {*palette.names, *filter(None, [palette.bass])}
    return sum(bool(name.alter) for name in names)
