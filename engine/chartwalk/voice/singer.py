"""The singer: a lowest and a highest note, typed, from the sheet or from a handbook.

References
----------
The *New Harvard Dictionary of Music*, ranges of the six voices, as given by the Yale library's
page for music cataloging (web.library.yale.edu/cataloging/music/vocal-ranges).
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Final, Self

from chartwalk.chart import Chart
from chartwalk.pitch import Pitch

SOURCE: Final = "New Harvard Dictionary of Music"
PIANO: Final = range(21, 109)  # A0 to C8: no voice goes beyond
_BETWEEN: Final = re.compile(r"\s*(?:[-–]|\bto\b|\s)\s*")


@dataclass(frozen=True, slots=True)
class SingerRange:
    """The lowest and the highest note that a singer sings in comfort, as they sound.

    >>> singer = SingerRange.parse("A3 D5")
    >>> str(singer), singer.centre
    ('A3–D5', Fraction(131, 2))
    """

    low: Pitch
    high: Pitch

    def __post_init__(self) -> None:
        if self.low.midi > self.high.midi:
            raise ValueError(f"the low note {self.low} lies above the high note {self.high}")

    @classmethod
    def parse(cls, text: str) -> Self:
        """Read ``A3 D5``, also as ``a3-d5``; raise ValueError on what no voice can be.

        >>> SingerRange.parse("a3 - bb4").ascii
        'A3 Bb4'
        """
        notes = _BETWEEN.split(text.strip())
        if len(notes) != 2:
            raise ValueError(f"{text!r} is no range: write the low and the high note, as in A3 D5")
        low, high = (Pitch.parse(note[:1].upper() + note[1:]) for note in notes)
        if low.midi not in PIANO or high.midi not in PIANO:
            raise ValueError(f"{text!r} goes beyond the piano: middle C is C4")
        return cls(low, high)

    @property
    def centre(self) -> Fraction:
        """The middle between both notes, as a MIDI key number."""
        return Fraction(self.low.midi + self.high.midi, 2)

    @property
    def ascii(self) -> str:
        """The range as files write it and `parse` reads it."""
        return f"{self.low.ascii} {self.high.ascii}"

    def beyond(self, pitch: Pitch) -> int:
        """Return by how many semitones a pitch lies outside: up positive, down negative.

        >>> singer = SingerRange.parse("A3 D5")
        >>> [singer.beyond(Pitch.parse(text)) for text in ("G3", "A3", "D5", "Eb5")]
        [-2, 0, 0, 1]
        """
        return max(0, pitch.midi - self.high.midi) or min(0, pitch.midi - self.low.midi)

    def __str__(self) -> str:
        return f"{self.low}–{self.high}"


VOICE_TYPES: Final[Mapping[str, SingerRange]] = {
    name: SingerRange.parse(notes)
    for name, notes in {
        "soprano": "C4 A5",
        "mezzo": "A3 F5",
        "alto": "F3 D5",
        "tenor": "B2 G4",
        "baritone": "G2 E4",
        "bass": "E2 C4",
    }.items()
}
"""The trained voices of the handbook, from high to low; a voice without training has less."""


def sheet_range(chart: Chart) -> SingerRange | None:
    """Return the range that the sheet gives for its singer, None where it gives none."""
    return SingerRange(min(chart.voice), max(chart.voice)) if chart.voice else None
