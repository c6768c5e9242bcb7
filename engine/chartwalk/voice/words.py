"""How a key for a singer is said: the advice in a sentence, octaves, notes that strain."""

from collections.abc import Iterable
from fractions import Fraction
from typing import Final

from chartwalk.pitch import Pitch
from chartwalk.transpose import interval_words
from chartwalk.voice.ranking import WHOLE_STEP, KeyFit
from chartwalk.voice.sung import SungNote

CAUTION: Final = "Stop if it hurts or goes hoarse; ask a teacher, doctor or licensed therapist."
COUNTS: Final = {1: "an octave", 2: "two octaves"}
SHORT: Final = ("", "m2", "M2", "m3", "M3", "P4", "TT", "P5", "m6", "M6", "m7", "M7", "P8")
"""The intervals by their semitones (Hutchinson, *Music Theory for the 21st-Century Classroom*)."""


def advice(fit: KeyFit) -> str:
    """Say in a sentence what to do and what comes of it.

    It goes on from 'take it': down a minor third to E: your highest note becomes C5 (bar 14).
    """
    count = len(fit.strain)
    but = f", but {count} {'note strains' if count == 1 else 'notes strain'}" if count else ""
    return outcome(fit) + but


def outcome(fit: KeyFit) -> str:
    """Say what comes of a key, as `advice` does, but not whether it strains."""
    name = f"{fit.key.tonic}" if fit.key.mode == "major" else str(fit.key)
    move = f"{interval_words(fit.interval)} to {name}" if fit.shift else f"as written, in {name}"
    octave = f", sung {octave_words(fit.octave)} what is written" if fit.octave else ""
    highest = fit.tune.highest
    becomes = "becomes" if fit.shift or fit.octave else "is"
    return f"{move}{octave}: your highest note {becomes} {highest.pitch} ({highest.place})"


def octave_words(octave: int) -> str:
    """Say where a tune is sung against its notes; nothing where it is sung as written.

    >>> octave_words(-1), octave_words(2), octave_words(0)
    ('an octave below', 'two octaves above', '')
    """
    count = COUNTS.get(abs(octave), f"{abs(octave)} octaves")
    return f"{count} {'above' if octave > 0 else 'below'}" if octave else ""


def move_words(semitones: int) -> str:
    """Say how far the sheet moves in few letters; within an octave.

    >>> [move_words(semitones) for semitones in (-3, 5, 6, 0)]
    ['down m3', 'up P4', 'up TT', 'as is']
    """
    if not semitones:
        return "as is"
    return f"{'up' if semitones > 0 else 'down'} {SHORT[abs(semitones)]}"


def middle_words(off: Fraction) -> str:
    """Say where a tune sits against the middle of the voice; ``off`` is in semitones, up positive.

    >>> middle_words(Fraction(-3, 2)), middle_words(Fraction(14, 5))
    ('near the middle of the voice', '3 semitones above the middle of the voice')
    """
    if abs(off) < WHOLE_STEP:
        return "near the middle of the voice"
    return f"{round(abs(off))} semitones {'above' if off > 0 else 'below'} the middle of the voice"


def strain_words(notes: Iterable[SungNote]) -> str:
    """Say which notes strain and in which bars, the highest first; empty where none does.

    >>> notes = [("D5", "0"), ("E5", "3"), ("D5", "3"), ("E5", "14"), ("E5", "3")]
    >>> strain_words(SungNote(Pitch.parse(text), Fraction(1), bar) for text, bar in notes)
    'E5 (bars 3, 14), D5 (pickup, bar 3)'
    """
    bars: dict[Pitch, dict[str, None]] = {}
    for note in notes:
        bars.setdefault(note.pitch, {})[note.bar] = None
    return ", ".join(f"{pitch} ({_places(bars[pitch])})" for pitch in sorted(bars, reverse=True))


def _places(bars: Iterable[str]) -> str:
    numbers = [number for number in bars if number != "0"]
    words = ["pickup"] if "0" in bars else []
    if numbers:
        words.append(f"bar{'s' if len(numbers) > 1 else ''} {', '.join(numbers)}")
    return ", ".join(words)
