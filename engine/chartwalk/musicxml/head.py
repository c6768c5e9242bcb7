"""What the head of a score says: title and credit; and which part is the lead.

Sources: MusicXML 4.0 ``movement-title``, ``work-title``, ``credit``, ``creator``.
"""

from xml.etree.ElementTree import Element

from chartwalk.musicxml.document import Document, Part
from chartwalk.musicxml.elements import text_of
from chartwalk.musicxml.notices import Notice


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
        " ".join(fallback.split()),
    )
    return next((text for text in found if text), "Untitled")


def credit(root: Element) -> str:
    """Return who made the song: every creator once, in the order of the file."""
    creators = (text_of(creator) for creator in root.iterfind("identification/creator"))
    return ", ".join(dict.fromkeys(name for name in creators if name))


def lead_part(document: Document) -> tuple[Part, tuple[Notice, ...]]:
    """Return the part to read: the first with chord symbols, else with words, else the first."""
    parts = document.parts
    chosen = next(
        (part for tag in ("harmony", "lyric") for part in parts if part.has(tag)),
        parts[0],
    )
    if len(parts) == 1:
        return chosen, ()
    name = f" ({chosen.name})" if chosen.name else ""
    place = parts.index(chosen) + 1
    return chosen, (Notice(f"of {len(parts)} parts only part {place}{name} is read"),)
