"""Which song of the log a chart is: the same file, the same song in another file, or a new one.

The limits are our own (no source): low enough for a song that was worked on, high enough that two
songs with the chords of a common form are not taken for one.
"""

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from typing import Final, Protocol

from chartwalk.files import file_of
from chartwalk.log.records import SongRecord

HALF: Final = 0.5  # of the bars: enough beside the same title, or in the same file
TELLING: Final = 8  # different bars, without which the same bars tell nothing


class Sheet(Protocol):
    """What a song is known by."""

    @property
    def path(self) -> str:
        """Its file."""

    @property
    def title(self) -> str:
        """Its title."""

    @property
    def prints(self) -> tuple[str, ...]:
        """The fingerprints of its bars; none where they are not known."""


def likeness(one: Sequence[str], other: Sequence[str]) -> float:
    """Return how much of two charts is the same, from 0 to 1: the Sørensen-Dice coefficient.

    >>> likeness("abcd", "abxd"), likeness("aab", "ab")
    (0.75, 0.8)
    """
    shared = (Counter(one) & Counter(other)).total()
    return 2 * shared / ((len(one) + len(other)) or 1)


def alike(one: Sheet, other: Sheet) -> bool:
    """Whether two charts are one song, wherever their files are.

    With the same title half of the bars are enough, or that one's bars are not known; with another
    title, all bars are wanted, and enough different ones.
    """
    if one.title == other.title:
        unknown = not (one.prints and other.prints)
        return unknown or likeness(one.prints, other.prints) >= HALF
    return one.prints == other.prints and len(set(one.prints)) >= TELLING


def still_the_same(known: Sheet, now: Sheet) -> bool:
    """Whether a file holds the song that it held before, edited or not."""
    unknown = not (known.prints and now.prints)
    return known.title == now.title or unknown or likeness(known.prints, now.prints) >= HALF


def moved_here(
    now: Sheet, songs: Iterable[SongRecord], gone: Callable[[str], bool]
) -> SongRecord | None:
    """Return the song that was moved into this file; None for a new song, or a copy of one.

    A song was moved if its file is gone; a tune of a book also if another tune of the book is just
    the same, for the tunes after one that was put in all get another number.
    """
    found = [
        song for song in songs if alike(song, now) and (gone(song.path) or _in_book(song, now))
    ]
    return max(found, key=lambda song: (likeness(song.prints, now.prints), song.opened, song.id),
               default=None)  # fmt: skip


def _in_book(song: SongRecord, now: Sheet) -> bool:
    file = song.path.rpartition("#")[0]
    same_book = bool(file) and file == now.path.rpartition("#")[0]
    return same_book and (song.title, song.prints) == (now.title, now.prints)


def is_gone(path: str) -> bool:
    """Whether no file is there any more; of a tune in a book, the book."""
    try:
        return not path or not file_of(Path(path)).exists()
    except (OSError, ValueError):
        return True
