"""The notes, fermatas, words and names of one bar of chartwalk's own files."""

import re
from dataclasses import replace
from fractions import Fraction
from typing import Final
from xml.etree.ElementTree import Element

from chartwalk.chart import Note, Syllable
from chartwalk.musicxml.fermatas import is_held
from chartwalk.musicxml.ours import CONTINUED, FARTHEST, OCTAVES
from chartwalk.pitch import Name, Pitch

MOST_VERSES: Final = 99
_COUNT: Final = re.compile(r"-?\d{1,64}", re.ASCII)
_ALIEN: Final = ("chord", "grace", "cue", "staff")


def count(text: str | None) -> int:
    """Read a whole number as it is written here; raise ValueError on anything else."""
    if text is None or not _COUNT.fullmatch(text):
        raise ValueError("no number of our own")
    return int(text)


def spelled(element: Element, role: str = "") -> Name:
    """Return the name of a pitch, or of the ``root`` or ``bass`` of a chord."""
    prefix = f"{role}-" if role else ""
    alter = count(element.findtext(f"{prefix}alter", "0"))
    if abs(alter) > FARTHEST:
        raise ValueError("an alteration that nobody writes")
    return Name(element.findtext(f"{prefix}step", ""), alter)


def _pitch(element: Element) -> Pitch:
    octave = count(element.findtext("octave"))
    if octave not in OCTAVES:
        raise ValueError("an octave that the standard has not")
    return Pitch(spelled(element), octave)


class OwnNotes:
    """The notes and words of a bar while they are read; ``at`` is the place in quarter notes.

    ``units`` is how many units a quarter has. All methods raise ValueError on what is not written
    here.
    """

    def __init__(self, units: int) -> None:
        self.units = units
        self.at = Fraction(0)
        self.tune: list[Note] = []
        self.fermatas: list[Fraction] = []
        self._verses: dict[int, list[Syllable]] = {}
        self._sung = 0
        self._slashes = 0

    def note(self, note: Element) -> None:
        """Read a note, a rest or a slash."""
        if any(note.find(tag) is not None for tag in _ALIEN):
            raise ValueError("no note of our own")
        length = Fraction(count(note.findtext("duration")), self.units)
        rest, pitch = note.find("rest"), note.find("pitch")
        continued = note.findtext("notations/other-notation") == CONTINUED
        if is_held(note):
            self.fermatas.append(self.at)
        ties = {tie.get("type") for tie in note.findall("tie")}
        if rest is not None and rest.get("measure") == "yes":
            pass  # a bar's rest: no tune
        elif note.findtext("notehead") == "slash":
            self._slashes += 1
            self._sing(note, continued)
        elif continued:
            if not self.tune:
                raise ValueError("nothing goes on from the bar before but a tie")
            last = self.tune.pop()
            self.tune.append(replace(last, length=last.length + length, tied="start" in ties))
        else:
            found = None if pitch is None else _pitch(pitch)
            self.tune.append(Note(found, length, "start" in ties))
            self._sing(note, held=found is None or "stop" in ties)
        self.at += length

    def backup(self, backup: Element) -> None:
        """Go back to where the second voice begins."""
        self.at -= Fraction(count(backup.findtext("duration")), self.units)

    def _sing(self, note: Element, held: bool) -> None:
        """Take the lyrics of a note; no verse may leave out a note before its end."""
        lyrics = note.findall("lyric")
        if held and lyrics:
            raise ValueError("words on a note that is not sung")
        for lyric in lyrics:
            number = count(lyric.get("number"))
            verse = self._verses.setdefault(number, [])
            if not 1 <= number <= MOST_VERSES or len(verse) != self._sung:
                raise ValueError("words out of order")
            joined = lyric.findtext("syllabic") in {"begin", "middle"}
            verse.append(Syllable(lyric.findtext("text", ""), joined))
        self._sung += not held

    def words(self) -> tuple[tuple[Syllable, ...], ...]:
        """Return the syllables of each verse."""
        if self._slashes and any(note.pitch for note in self.tune):
            raise ValueError("slashes beside a tune")
        return tuple(
            tuple(self._verses.get(number, ()))
            for number in range(1, max(self._verses, default=0) + 1)
        )
