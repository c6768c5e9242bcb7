"""Spelled notes: names, pitches with an octave, and the intervals between them.

Conventions
-----------
- A name is a letter and an alteration in semitones; spelling is never lost to arithmetic.
- Octaves are scientific: C4 is middle C, MIDI key 60; A4 is 440 Hz, MIDI key 69 (ISO 16:1975;
  MIDI 1.0). The octave belongs to the letter: C♭4 sounds as B3.
- The line of fifths counts C as 0, G as 1, F as -1; seven fifths are one sharp.

References
----------
Hutchinson, *Music Theory for the 21st-Century Classroom*, chapters on intervals and scales.
"""

import re
from dataclasses import dataclass
from functools import total_ordering
from typing import Final, Self

LETTERS: Final = "CDEFGAB"
NATURAL_SEMITONES: Final = dict(zip(LETTERS, (0, 2, 4, 5, 7, 9, 11), strict=True))
FIFTHS_ORDER: Final = "FCGDAEB"

# Every way to write an alteration, longest first where one begins another.
ACCIDENTALS: Final = {
    "##": 2, "♯♯": 2, "𝄪": 2, "x": 2, "bb": -2, "♭♭": -2, "𝄫": -2,
    "#": 1, "♯": 1, "b": -1, "♭": -1, "♮": 0, "": 0,
}  # fmt: skip
ACCIDENTAL_PATTERN: Final = r"(?:[#♯]{1,3}|[b♭]{1,3}|𝄪|𝄫|x|♮)?"
_ASCII: Final = str.maketrans("♯♭", "#b")
_SIGNS: Final = str.maketrans("#b", "♯♭")
_NAME: Final = re.compile(rf"([A-G])({ACCIDENTAL_PATTERN})")
_PITCH: Final = re.compile(rf"([A-G])({ACCIDENTAL_PATTERN})(-?\d+)")
_INTERVAL: Final = re.compile(r"(-?)([PMmAd]|AA|dd)(\d+)")
_PERFECT: Final = frozenset({0, 3, 4})  # unison, fourth, fifth, counted in letters


def alteration(text: str) -> int:
    """Return the semitones that an accidental, ASCII or Unicode, adds.

    >>> alteration("♭♭"), alteration("#"), alteration("")
    (-2, 1, 0)
    """
    if text in ACCIDENTALS:
        return ACCIDENTALS[text]
    signs = {ACCIDENTALS[sign] for sign in text if sign in ACCIDENTALS}
    if len(signs) != 1 or not all(sign in ACCIDENTALS for sign in text):
        raise ValueError(f"{text!r} is no accidental")
    return signs.pop() * len(text)


def accidental(alter: int, *, ascii_only: bool = False) -> str:
    """Write an alteration in semitones; doubles are two signs, which every terminal can show.

    >>> accidental(2), accidental(-1), accidental(-2, ascii_only=True)
    ('♯♯', '♭', 'bb')
    """
    sharp, flat = ("#", "b") if ascii_only else ("♯", "♭")
    return sharp * alter if alter > 0 else flat * -alter


def in_ascii(text: str) -> str:
    """Write sharps and flats as files do.

    >>> in_ascii("F♯m7♭5")
    'F#m7b5'
    """
    return text.translate(_ASCII)


def in_signs(text: str) -> str:
    """Write sharps and flats as print does, where every b is a flat.

    >>> in_signs("bVII")
    '♭VII'
    """
    return text.translate(_SIGNS)


@dataclass(frozen=True, slots=True)
class Interval:
    """A spelled interval: how many letters up and how many semitones up (both may be negative).

    >>> Interval.parse("m7")
    Interval(letters=6, semitones=10)
    >>> Interval.parse("-M3")
    Interval(letters=-2, semitones=-4)
    """

    letters: int
    semitones: int

    @classmethod
    def parse(cls, text: str) -> Self:
        """Read a name such as ``M3``, ``P5``, ``d7``, ``-A4``; raise ValueError on others."""
        match = _INTERVAL.fullmatch(text)
        if not match or match[3].startswith("0"):
            raise ValueError(f"{text!r} is no interval: write P5, M3, m7, A4, d7 ...")
        sign, quality, letters = match[1], match[2], int(match[3]) - 1
        perfect = letters % 7 in _PERFECT
        shifts = (
            {"P": 0, "A": 1, "AA": 2, "d": -1, "dd": -2}
            if perfect
            else {"M": 0, "m": -1, "A": 1, "AA": 2, "d": -2, "dd": -3}
        )
        if quality not in shifts:
            kind = "perfect" if perfect else "major or minor"
            raise ValueError(f"{text!r} is no interval: a {match[3]} is {kind}")
        interval = cls(letters, natural_semitones(letters) + shifts[quality])
        return cls(-interval.letters, -interval.semitones) if sign else interval

    @property
    def fifths(self) -> int:
        """Steps on the line of fifths: up M2 is 2, up m3 is -3, up A1 is 7.

        >>> [Interval.parse(name).fifths for name in ("M2", "m3", "M3", "P4", "P5", "m2", "A1")]
        [2, -3, 4, -1, 1, -5, 7]
        """
        return 7 * self.semitones - 12 * self.letters


def natural_semitones(letters: int) -> int:
    """Semitones of the major or perfect interval that spans this many letters up from C.

    >>> [natural_semitones(n) for n in (0, 2, 4, 6, 8)]
    [0, 4, 7, 11, 14]
    """
    octaves, letter = divmod(letters, 7)
    return 12 * octaves + NATURAL_SEMITONES[LETTERS[letter]]


@dataclass(frozen=True, slots=True)
class Name:
    """A note's name without an octave: a letter A-G and an alteration in semitones.

    >>> Name.parse("F♯") + Interval.parse("M3")
    Name(letter='A', alter=1)
    >>> str(Name("F", 2)), Name("F", 2).ascii
    ('F♯♯', 'F##')
    """

    letter: str
    alter: int = 0

    def __post_init__(self) -> None:
        if self.letter not in NATURAL_SEMITONES:
            raise ValueError(f"{self.letter!r} is no note letter: write A to G")

    @classmethod
    def parse(cls, text: str) -> Self:
        """Read ``C``, ``F#``, ``B♭``, ``F##``, ``Fx``; raise ValueError on anything else."""
        match = _NAME.fullmatch(text)
        if not match:
            raise ValueError(f"{text!r} is no note name: write a letter A to G, then # or b")
        return cls(match[1], alteration(match[2]))

    @classmethod
    def from_fifths(cls, fifths: int) -> Self:
        """Return the name at a place on the line of fifths (C is 0, G 1, B♭ -2).

        >>> str(Name.from_fifths(-2)), str(Name.from_fifths(8))
        ('B♭', 'G♯')
        """
        alter, place = divmod(fifths + 1, 7)
        return cls(FIFTHS_ORDER[place], alter)

    @property
    def fifths(self) -> int:
        """The place on the line of fifths: C is 0, G 1, F -1, F♯ 6."""
        return FIFTHS_ORDER.index(self.letter) - 1 + 7 * self.alter

    @property
    def pitch_class(self) -> int:
        """The key of the keyboard within the octave, 0 (C) to 11 (B)."""
        return (NATURAL_SEMITONES[self.letter] + self.alter) % 12

    @property
    def ascii(self) -> str:
        """The name with ``#`` and ``b``, as files and JSON write it."""
        return self.letter + accidental(self.alter, ascii_only=True)

    @property
    def friendly(self) -> "Name | None":
        """The plain name of the same key, where this one makes a player stop and think.

        Names with a double accidental and E♯, B♯, C♭, F♭ have one; others are None.

        >>> str(Name.parse("F##").friendly), str(Name.parse("Cb").friendly)
        ('G', 'B')
        >>> str(Name.parse("Bbb").friendly), Name.parse("F#").friendly
        ('A', None)
        """
        if abs(self.alter) < 2 and self.ascii not in {"E#", "B#", "Cb", "Fb"}:
            return None
        naturals = {value: letter for letter, value in NATURAL_SEMITONES.items()}
        if self.pitch_class in naturals:
            return Name(naturals[self.pitch_class])
        # A sharp name turns into a sharp name, a flat name into a flat one.
        sign = 1 if self.alter > 0 else -1
        return Name(naturals[(self.pitch_class - sign) % 12], sign)

    def __add__(self, interval: Interval) -> "Name":
        return Name.from_fifths(self.fifths + interval.fifths)

    def __str__(self) -> str:
        return self.letter + accidental(self.alter)


@total_ordering
@dataclass(frozen=True, slots=True)
class Pitch:
    """A name in an octave: C4 is middle C, MIDI key 60.

    Pitches compare by the key they sound, then by letter.

    >>> Pitch.parse("B#3").midi, Pitch.parse("Cb4").midi, Pitch.parse("A4").midi
    (60, 59, 69)
    >>> str(Pitch.parse("Bb3") + Interval.parse("m7"))
    'A♭4'
    """

    name: Name
    octave: int

    @classmethod
    def parse(cls, text: str) -> Self:
        """Read ``C4``, ``F#3``, ``B♭5``; raise ValueError on anything else."""
        match = _PITCH.fullmatch(text)
        if not match:
            raise ValueError(f"{text!r} is no pitch: write a note name and an octave, such as F#4")
        return cls(Name(match[1], alteration(match[2])), int(match[3]))

    @classmethod
    def from_midi(cls, key: int, tonic_fifths: int = 0) -> Self:
        """Spell a MIDI key as the scale on a tonic and its usual chromatic neighbours would.

        ``tonic_fifths`` is the key signature (-7 to 7). The window on the line of fifths runs from
        the lowered second to the raised fourth, so each of the twelve keys has one name.

        >>> str(Pitch.from_midi(61)), str(Pitch.from_midi(61, 3)), str(Pitch.from_midi(71, -7))
        ('D♭4', 'C♯4', 'C♭5')
        """
        low = tonic_fifths - 5
        name = Name.from_fifths(low + (7 * key - low) % 12)
        return cls(name, (key - NATURAL_SEMITONES[name.letter] - name.alter) // 12 - 1)

    @property
    def midi(self) -> int:
        """The MIDI key number; outside 0 to 127 for pitches no MIDI key has."""
        return 12 * (self.octave + 1) + NATURAL_SEMITONES[self.name.letter] + self.name.alter

    @property
    def ascii(self) -> str:
        """The pitch with ``#`` and ``b``, as files write it."""
        return f"{self.name.ascii}{self.octave}"

    @property
    def _steps(self) -> int:
        return 7 * self.octave + LETTERS.index(self.name.letter)

    def __add__(self, interval: Interval) -> "Pitch":
        octave, letter = divmod(self._steps + interval.letters, 7)
        natural = 12 * (octave + 1) + NATURAL_SEMITONES[LETTERS[letter]]
        return Pitch(Name(LETTERS[letter], self.midi + interval.semitones - natural), octave)

    def __lt__(self, other: "Pitch") -> bool:
        return (self.midi, self._steps) < (other.midi, other._steps)

    def __str__(self) -> str:
        return f"{self.name}{self.octave}"
