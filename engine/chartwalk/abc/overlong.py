"""Bars far too long for their meter: music written without bar lines, or with few.

Such a bar is counted off into bars of its meter, its notes tied over the lines that are put in;
in free meter, where it fits no meter of its own, into bars of 4/4. A bar of up to four times its
meter stays as it is where some meter fits it, since its bar lines are what the writer meant.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Final

from chartwalk.abc.raw import RawBar, RawNote, RawSign
from chartwalk.abc.voice import MOST_BARS, TooLongError
from chartwalk.mending.lengths import meter_of
from chartwalk.meter import Meter

MOST_METERS: Final = 4


def counted_off(bars: Sequence[RawBar]) -> tuple[list[RawBar], list[RawBar]]:
    """Return all bars, none overlong, and those that had to be divided.

    Raises TooLongError where that makes more bars than any music has.
    """
    result: list[RawBar] = []
    divided = []
    for bar in bars:
        if _overlong(bar):
            divided.append(bar)
            for piece in _divided(bar, bar.meter or Meter()):
                result.append(piece)
                if len(result) > MOST_BARS:
                    raise TooLongError
        else:
            result.append(bar)
    return result, divided


def _overlong(bar: RawBar) -> bool:
    meter, length = bar.meter or Meter(), bar.length
    fits = bool(length) and meter_of(length, meter.unit) is not None
    if bar.meter is None:
        return length > 0 and not fits
    return length > meter.quarters * (MOST_METERS if fits else 2)


def _divided(bar: RawBar, meter: Meter) -> Iterator[RawBar]:
    """Yield a bar in pieces as long as the meter; the last may be shorter."""
    head = replace(bar, meter=meter, notes=[], chords=[], signs=[], closes=1, times=0, double=False)
    piece = head
    left = meter.quarters
    for place, note in enumerate(bar.notes):
        piece.chords += [(len(piece.notes), chord) for at, chord in bar.chords if at == place]
        piece.signs += [replace(s, before=len(piece.notes)) for s in _signs(bar, place)]
        rest = note.length
        while rest > left:
            tied = note.pitch is not None
            words = note.words if rest == note.length else []
            piece.notes.append(RawNote(left, note.pitch, tied, words))
            rest -= left
            yield piece
            piece, left = _empty(bar, meter), meter.quarters
        words = note.words if rest == note.length else []
        piece.notes.append(RawNote(rest, note.pitch, note.tied, words))
        left -= rest
        if not left and place + 1 < len(bar.notes):
            yield piece
            piece, left = _empty(bar, meter), meter.quarters
    at_end = [replace(s, before=len(piece.notes)) for s in bar.signs if s.at_end]
    yield replace(
        piece,
        signs=piece.signs + at_end,
        closes=bar.closes,
        times=bar.times,
        double=bar.double,
    )


def _signs(bar: RawBar, place: int) -> list[RawSign]:
    return [sign for sign in bar.signs if sign.before == place and not sign.at_end]


def _empty(bar: RawBar, meter: Meter) -> RawBar:
    return RawBar(bar.line, bar.column, meter=meter, key=bar.key, tempo=bar.tempo, feel=bar.feel)
