"""What the head of a score says: title and credit; and which part is the lead.

Sources: MusicXML 4.0 ``movement-title``, ``work-title``, ``credit``, ``creator``.
"""

from dataclasses import dataclass
from typing import Final
from xml.etree.ElementTree import Element

from chartwalk.mending.notices import Notice
from chartwalk.mending.texts import one_line
from chartwalk.musicxml.document import Document, Part
from chartwalk.musicxml.elements import text_of, whole

MAKERS: Final = ("composer", "lyricist", "arranger")


def title(root: Element, fallback: str) -> str:
    """Return the title: of the movement, of the work, a credit of that type, or the fallback."""
    found = (
        text_of(root, "movement-title"),
        text_of(root, "work/work-title"),
        *(
            text_of(credit, "credit-words")
            for credit in root.findall("credit")
            if text_of(credit, "credit-type") == "title"
        ),
        one_line(fallback),
    )
    return next((text for text in found if text), "Untitled")


def credit(root: Element) -> str:
    """Return who made the song: every creator once, in the order of the file.

    Where the file names none, those that the page prints as such.
    """
    creators = [text_of(creator) for creator in root.iterfind("identification/creator")]
    printed = [
        text_of(credit, "credit-words")
        for credit in root.findall("credit")
        if text_of(credit, "credit-type") in MAKERS
    ]
    names = creators if any(creators) else printed
    return ", ".join(dict.fromkeys(name for name in names if name))


@dataclass(frozen=True, slots=True)
class Lead:
    """The part that is read, and the one whose chord symbols are, which may be another."""

    tune: Part
    chords: Part


def lead_of(document: Document) -> tuple[Lead, tuple[Notice, ...]]:
    """Return what to read: the first part with chord symbols and words.

    Where no part has both, the words' part lends the tune and the chords' part the chords, unless
    one is written for an instrument in another key; else it is the first with either, or the first.
    """
    parts = document.parts
    with_chords = [part for part in parts if part.has("harmony")]
    with_words = [part for part in parts if part.has("lyric")]
    both = [part for part in with_chords if any(part is other for other in with_words)]
    tune = next(iter(both or with_words or with_chords or parts))
    has_chords = any(tune is part for part in with_chords)
    chords = tune if has_chords else next(iter(with_chords), tune)
    if tune is not chords and _shift(tune) != _shift(chords):
        tune = chords
    if document.count == 1:
        return Lead(tune, chords), ()
    if tune is chords:
        told = f"of {document.count} parts only {_named(parts, tune)} is read"
    else:
        told = (
            f"of {document.count} parts the tune is read from {_named(parts, tune)}, "
            f"the chords from {_named(parts, chords)}"
        )
    return Lead(tune, chords), (Notice(told),)


def _shift(part: Part) -> int:
    """Return the semitones between a part's writing and its sound, octaves apart."""
    stated = part.measures[0].find("attributes/transpose/chromatic")
    return (whole(text_of(stated)) or 0) % 12


def _named(parts: tuple[Part, ...], part: Part) -> str:
    place = next(place for place, other in enumerate(parts, 1) if other is part)
    return f"part {place}{f' ({part.name})' if part.name else ''}"
