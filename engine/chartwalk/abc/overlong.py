"""Bars far too long to be counted: music written without bar lines, or with few.

Such a bar is counted off into bars of its meter, in free meter into bars of 4/4, its notes tied
over the lines that are put in. A bar that can be counted as one (`longest`) stays as it is where
some meter fits it, since its bar lines are what the writer meant.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import TypeVar

from chartwalk.abc.raw import RawBar, RawNote, RawSign
from chartwalk.abc.voice import MOST_BARS, TooLongError
from chartwalk.mending.lengths import longest, meter_of
from chartwalk.mending.marks import AT_END
from chartwalk.meter import Meter

Item = TypeVar("Item")


def counted_off(bars: Sequence[RawBar]) -> tuple[list[RawBar], list[RawBar]]:
    """Return all bars, none overlong, and those that had to be divided.

    Raises TooLongError where that makes more bars than any music has.
    """
    result: list[RawBar] = []
    divided = []
    for bar in bars:
        if not _overlong(bar):
            result.append(bar)
            continue
        meter = bar.meter or Meter()
        if len(result) + bar.length / meter.quarters > MOST_BARS:
            raise TooLongError
        divided.append(bar)
        result += _divided(bar, meter)
    return result, divided


def _overlong(bar: RawBar) -> bool:
    meter, length = bar.meter or Meter(), bar.length
    if length > 0 and meter_of(length, meter.unit) is None:
        return bar.meter is None or length > 2 * meter.quarters
    return length > longest(meter)


def _divided(bar: RawBar, meter: Meter) -> Sequence[RawBar]:
    """Return a bar in pieces as long as the meter; the last may be shorter.

    A sign that acts at the end of its bar goes to the piece that ends where it stands.
    """
    head = replace(bar, meter=meter, notes=[], chords=[], signs=[], closes=1, times=0, double=False)
    chords = _by_note(bar.chords)
    signs_at = _by_note((sign.before, sign) for sign in bar.signs if not sign.at_end)
    pieces = [head]
    left = meter.quarters
    for place, note in enumerate(bar.notes):
        signs = signs_at[place]
        if not left:
            pieces[-1].signs += [_last(s, pieces[-1]) for s in signs if s.sign in AT_END]
            signs = [s for s in signs if s.sign not in AT_END]
            pieces.append(_empty(bar, meter))
            left = meter.quarters
        piece = pieces[-1]
        piece.chords += [(len(piece.notes), chord) for chord in chords[place]]
        piece.signs += [replace(s, before=len(piece.notes)) for s in signs]
        rest = note.length
        while rest > left:
            pieces[-1].notes.append(_cut(note, left, first=rest == note.length, tied=True))
            rest -= left
            pieces.append(_empty(bar, meter))
            left = meter.quarters
        pieces[-1].notes.append(_cut(note, rest, first=rest == note.length, tied=note.tied))
        pieces[-1].notes[-1].fermata = note.fermata
        left -= rest
    end = pieces[-1]
    end.signs += [_last(s, end) for s in bar.signs if s.at_end]
    end.closes, end.times, end.double = bar.closes, bar.times, bar.double
    return pieces


def _cut(note: RawNote, length: Fraction, *, first: bool, tied: bool) -> RawNote:
    """Return a part of a note; only the first one sings."""
    return RawNote(length, note.pitch, tied and note.pitch is not None, note.words if first else [])


def _last(sign: RawSign, bar: RawBar) -> RawSign:
    return RawSign(sign.sign, len(bar.notes), at_end=True)


def _by_note(items: Iterable[tuple[int, Item]]) -> defaultdict[int, list[Item]]:
    """Gather what stands at each note of a bar."""
    found = defaultdict[int, list[Item]](list)
    for place, item in items:
        found[place].append(item)
    return found


def _empty(bar: RawBar, meter: Meter) -> RawBar:
    return RawBar(bar.line, bar.column, meter=meter, key=bar.key, tempo=bar.tempo, feel=bar.feel)
