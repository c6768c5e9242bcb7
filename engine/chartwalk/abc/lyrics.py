"""Words: ``w:`` lines cut into syllables and laid under the notes.

Source: ABC 2.1 sections 5.1 (alignment), 5.2 (verses), 5.3 (numbering) and 10.2 (the older
alignment with the line of music before).
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from chartwalk.abc.raw import RawNote
from chartwalk.abc.text import text_string
from chartwalk.chart import Syllable

MOST_VERSES: Final = 20
_STANZA: Final = re.compile(r"\s*\d+[.):]*~?(?=\D|$)")
_PIECE: Final = re.compile(r"(?:[^\s\-_*|\\]|\\-|\\)+-?|[-_*|]")
_TIE: Final = "‿"  # joins the words that share a note

Slots = Sequence[tuple[int, RawNote]]
"""Notes with the index of their bar."""


@dataclass(frozen=True, slots=True)
class Piece:
    """One step of a line of words: a syllable for a note, or a bar line (``syllable`` None)."""

    syllable: Syllable | None


def pieces(line: str) -> list[Piece]:
    """Cut a line of words into its syllables, holds and bar lines.

    >>> [piece.syllable.text if piece.syllable else "|" for piece in pieces("time_ syll-a--ble|o")]
    ['time', '', 'syll', 'a', '', 'ble', '|', 'o']
    """
    line = _STANZA.sub("", line, count=1)
    found: list[Piece] = []
    for piece in _PIECE.findall(line):
        if piece == "|":
            found.append(Piece(None))
        elif piece in "-_*":
            found.append(Piece(Syllable("")))
        else:
            found.append(Piece(_syllable(piece)))
    return found


def _syllable(piece: str) -> Syllable:
    joined = piece.endswith("-") and not piece.endswith("\\-")
    words = text_string(piece.removesuffix("-") if joined else piece.replace("\\-", "-"))
    sung = _TIE.join(words.replace("~", " ").replace("|", "").split()).rstrip("-")
    if not sung or sung == "_":
        return Syllable("")
    return Syllable(sung, joined)


def notes_for(line: list[Piece], music: Sequence[Slots], strict: bool) -> list[tuple[int, RawNote]]:
    """Return the notes a line of words is laid under.

    In ABC 2.1 these are all notes since the words before; in older files, which most are, those of
    the last line of music alone. A file that does not say it is 2.1 is read the older way, unless
    there are more syllables than that line has notes.
    """
    count = sum(piece.syllable is not None for piece in line)
    written = [slots for slots in music if slots]
    if written and not strict and count <= len(written[-1]):
        written = written[-1:]
    return [slot for slots in written for slot in slots]


def lay(line: list[Piece], slots: Slots, verse: int) -> int:
    """Lay syllables under notes as a verse; return how many are left over.

    A bar line moves on to the next bar, unless that is reached already.
    """
    place, over = 0, 0
    bar = slots[0][0] if slots else 0
    for piece in line:
        if piece.syllable is None:
            bar += 1
            while place < len(slots) and slots[place][0] < bar:
                place += 1
        elif place < len(slots):
            at, note = slots[place]
            note.words += [None] * (verse + 1 - len(note.words))
            note.words[verse] = piece.syllable
            bar = max(bar, at)
            place += 1
        else:
            over += bool(piece.syllable.text)
    return over
