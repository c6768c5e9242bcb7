"""What chartwalk's own files say in a way of their own, for the writer and the reader alike.

All of it uses what the standard keeps for such things (MusicXML 4.0 ``software``,
``miscellaneous-field``, ``other-notation``), so other programs read past it.
"""

from fractions import Fraction
from typing import Final
from xml.etree.ElementTree import Element

from chartwalk.mending.texts import one_line
from chartwalk.pitch import Pitch

SOFTWARE: Final = "chartwalk"
"""Who wrote the file: such a file needs no mending. Another program that saves it puts its own
name there."""

NOTE_FIELD: Final = "chartwalk-note"
VOICE_FIELD: Final = "chartwalk-voice"

CONTINUED: Final = "chartwalk-continued"
"""On a note or rest that only goes on with the one before, both being one length that no single
note value shows."""

FERMATA: Final = "fermataAbove"
"""The SMuFL name of the sign that is drawn above the staff where no note begins."""

FARTHEST: Final = 3
"""The most sharps or flats on one note."""

OCTAVES: Final = range(10)
"""MusicXML 4.0 ``octave``."""

TEMPO_DIGITS: Final = 12
"""Decimals of a tempo; one with as many may be rounded and stands for the nearest simple fraction
(400/3 is no decimal number)."""

TEMPO_GRAIN: Final = 1000
"""The largest denominator of such a fraction."""


def is_ours(root: Element) -> bool:
    """Whether chartwalk, and no other program after it, wrote a score."""
    names = [element.text for element in root.iterfind("identification/encoding/software")]
    return names == [SOFTWARE]


def field(root: Element, name: str) -> str:
    """Return the text of a field of our own, empty where there is none."""
    fields = root.iterfind("identification/miscellaneous/miscellaneous-field")
    return next((each.text or "" for each in fields if each.get("name") == name), "")


def parse_voice(text: str) -> tuple[Pitch, Pitch] | None:
    """Read the singer's range, lowest and highest note; raise ValueError on what is none.

    >>> parse_voice(""), [str(pitch) for pitch in parse_voice("A3 D5")]
    (None, ['A3', 'D5'])
    """
    if not text:
        return None
    low, high = map(Pitch.parse, text.split())
    if low > high:
        raise ValueError(f"{text!r} is no range: its first note is the higher one")
    return low, high


def kept_note(root: Element) -> str:
    """Return our note in a file that another program has saved since."""
    return "\n".join(one_line(line) for line in field(root, NOTE_FIELD).split("\n"))


def kept_voice(root: Element) -> tuple[Pitch, Pitch] | None:
    """Return our singer's range in such a file; None where it can't be read any more."""
    try:
        return parse_voice(field(root, VOICE_FIELD))
    except ValueError:
        return None


def decimal_tempo(quarters: Fraction) -> str:
    """Write quarter notes a minute as a decimal number of at most `TEMPO_DIGITS` decimals.

    >>> decimal_tempo(Fraction(84)), decimal_tempo(Fraction(400, 3))
    ('84', '133.333333333333')
    """
    scaled = quarters * 10**TEMPO_DIGITS
    whole, rest = divmod(round(scaled), 10**TEMPO_DIGITS)
    text = f"{whole}.{rest:0{TEMPO_DIGITS}d}"
    return text.rstrip("0").rstrip(".") if scaled.denominator == 1 else text


def beats_a_minute(text: str, beat: Fraction) -> Fraction:
    """Return the tempo in beats that `decimal_tempo` wrote in quarter notes.

    >>> beats_a_minute("133.333333333333", Fraction(1)), beats_a_minute("126", Fraction(3, 2))
    (Fraction(400, 3), Fraction(84, 1))
    """
    tempo = Fraction(text) / beat
    rounded = len(text.partition(".")[2]) == TEMPO_DIGITS
    return tempo.limit_denominator(TEMPO_GRAIN) if rounded else tempo
