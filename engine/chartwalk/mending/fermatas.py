"""Fermatas that name no note: at the end of a bar, or on its bar line."""

from collections.abc import Sequence
from fractions import Fraction

from chartwalk.chart import Change, Note


def last_begun(tune: Sequence[Note], changes: Sequence[Change]) -> Fraction:
    """Return the place of the last note or chord that begins in a bar; 0 where none does.

    A rest counts as little as in a tune that ends with one (common practice, no source).

    >>> from chartwalk.pitch import Pitch
    >>> last_begun([Note(Pitch.parse("C4"), Fraction(2)), Note(None, Fraction(2))], ())
    Fraction(0, 1)
    """
    at = last = Fraction(0)
    for note in tune:
        if note.pitch is not None:
            last = at
        at += note.length
    return max(last, changes[-1].at) if changes else last
