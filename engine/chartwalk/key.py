"""Keys and their signatures.

References: Hutchinson, *Music Theory for the 21st-Century Classroom*, chapters on major and minor
scales (order of sharps and flats, relative minors); MusicXML 4.0 ``fifths`` (flats negative).
"""

import re
from dataclasses import dataclass
from typing import Final, Self

from chartwalk.pitch import ACCIDENTAL_PATTERN, Name

MODES: Final = {"major": 0, "minor": 3}  # how far the tonic lies sharpwards of the signature
_TONIC: Final = re.compile(rf"[A-G]{ACCIDENTAL_PATTERN}")
_KEY: Final = re.compile(rf"([A-G]{ACCIDENTAL_PATTERN})\s+(\w+)")


@dataclass(frozen=True, slots=True)
class Key:
    """A key: its signature (-7 seven flats to 7 seven sharps) and its mode, major or minor.

    >>> Key.parse("Bb minor")
    Key(fifths=-5, mode='minor')
    >>> str(Key(1)), Key(1).signature
    ('G major', '1 sharp: F♯')
    """

    fifths: int = 0
    mode: str = "major"

    def __post_init__(self) -> None:
        if not -7 <= self.fifths <= 7:
            raise ValueError(f"a key signature has at most 7 sharps or flats, not {self.fifths}")
        if self.mode not in MODES:
            raise ValueError(f"{self.mode!r} is no mode: write major or minor")

    @classmethod
    def parse(cls, text: str) -> Self:
        """Read ``G major``, ``F# minor``; raise ValueError on what has no signature."""
        match = _KEY.fullmatch(text)
        mode = match[2].lower() if match else ""
        if _TONIC.fullmatch(text):
            raise ValueError(f"{text!r} is no key yet: write '{text} major' or '{text} minor'")
        if not match or mode not in MODES:
            raise ValueError(f"{text!r} is no key: write a note and a mode, such as 'Bb major'")
        fifths = Name.parse(match[1]).fifths - MODES[mode]
        if not -7 <= fifths <= 7:
            raise ValueError(f"{text!r} needs more than 7 sharps or flats: write its sound-alike")
        return cls(fifths, mode)

    @property
    def tonic(self) -> Name:
        """The note the key is named after."""
        return Name.from_fifths(self.fifths + MODES[self.mode])

    @property
    def altered(self) -> tuple[Name, ...]:
        """The sharps or flats of the signature, in the order they are written."""
        if self.fifths >= 0:
            return tuple(Name.from_fifths(6 + place) for place in range(self.fifths))
        return tuple(Name.from_fifths(-2 - place) for place in range(-self.fifths))

    @property
    def signature(self) -> str:
        """The signature in words, each sharp or flat by name."""
        if not self.fifths:
            return "no sharps or flats"
        count = abs(self.fifths)
        kind = "sharp" if self.fifths > 0 else "flat"
        names = " ".join(str(name) for name in self.altered)
        return f"{count} {kind}{'s' if count > 1 else ''}: {names}"

    @property
    def short_signature(self) -> str:
        """The signature in two characters, as charts count it: 2♯, 3♭; empty without any.

        >>> Key(-3).short_signature
        '3♭'
        """
        return f"{abs(self.fifths)}{'♯' if self.fifths > 0 else '♭'}" if self.fifths else ""

    @property
    def ascii(self) -> str:
        """The key as files write it: ``Bb minor``."""
        return f"{self.tonic.ascii} {self.mode}"

    def __str__(self) -> str:
        return f"{self.tonic} {self.mode}"
