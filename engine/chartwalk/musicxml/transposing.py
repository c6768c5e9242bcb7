"""Parts written for an instrument in another key: they are read as they sound.

A player at the keyboard plays what is heard. Source: MusicXML 4.0 ``transpose`` (``chromatic`` and
``octave-change`` lead from what is written to what sounds; ``number`` names a staff).
"""

from collections.abc import Iterator, Sequence
from typing import Final

from chartwalk.chart import Chart
from chartwalk.mending.notices import Notice
from chartwalk.musicxml.elements import text_of, whole
from chartwalk.musicxml.measure import Measure
from chartwalk.musicxml.ours import OCTAVES
from chartwalk.transpose import transpose

OCTAVE: Final = 12
MOST: Final = 3 * OCTAVE  # no instrument sounds farther from what is written


def shift_of(measures: Sequence[Measure], staff: int) -> int:
    """Return how many semitones above its writing a part sounds (negative: below)."""
    return next((semitones for bar, semitones in _shifts(measures, staff) if not bar), 0)


def as_sounding(
    chart: Chart, measures: Sequence[Measure], staff: int
) -> tuple[Chart, tuple[Notice, ...]]:
    """Return a chart as it sounds, and what is told about it."""
    shift = shift_of(measures, staff)
    told = [
        Notice(f"from here the part sounds {other} semitones from its writing: not followed", bar)
        for bar, other in _shifts(measures, staff)
        if bar and other != shift
    ]
    if not shift:
        return chart, tuple(told)
    distance = f"{abs(shift)} semitone{'s' * (abs(shift) > 1)} {'higher' if shift > 0 else 'lower'}"
    moved = _moved(chart, shift)
    pitches = (note.pitch for bar in moved.bars for note in bar.tune)
    if any(pitch and pitch.octave not in OCTAVES for pitch in pitches):
        return chart, (Notice(f"the part sounds {distance}: too far, read as written"), *told)
    return moved, (
        Notice(f"the part sounds {distance} than it is written: read as it sounds"),
        *told,
    )


def _moved(chart: Chart, semitones: int) -> Chart:
    octaves, rest = divmod(abs(semitones), OCTAVE)
    for step in (rest, *[OCTAVE] * octaves):
        chart = transpose(chart, step if semitones > 0 else -step)
    return chart


def _shifts(measures: Sequence[Measure], staff: int) -> Iterator[tuple[int, int]]:
    """Yield the bars where a staff's transposition is stated, with its semitones."""
    for bar, measure in enumerate(measures):
        for item in measure.attributes:
            for stated in item.element.findall("transpose"):
                if whole(stated.get("number") or str(staff)) != staff:
                    continue
                octaves = whole(text_of(stated, "octave-change")) or 0
                semitones = (whole(text_of(stated, "chromatic")) or 0) + OCTAVE * octaves
                yield bar, semitones if abs(semitones) <= MOST else 0
