"""From the bytes of a score to its parts, each a list of measures.

Both roots of MusicXML 4.0 are read: ``score-partwise`` and ``score-timewise``; a namespace on the
elements is of no consequence. A plain DOCTYPE is allowed, entity declarations are refused. A part
is left out where one before it leads.
"""

from dataclasses import dataclass
from typing import Final
from xml.etree.ElementTree import Element
from xml.parsers.expat import ErrorString, ExpatError

from chartwalk.mending.notices import refusal
from chartwalk.musicxml.tree import RefusedEntityError, tree

MAX_TAGS: Final = 1_000_000
"""The most tags and attributes read: they take far more memory than the bytes they stand in."""
MAX_BARS: Final = 10_000
ROOTS: Final = frozenset({"score-partwise", "score-timewise"})


@dataclass(frozen=True, slots=True)
class Part:
    """One player's measures, and the name the part list gives."""

    name: str
    measures: tuple[Element, ...]

    def has(self, tag: str) -> bool:
        """Whether an element of this kind stands anywhere in the part."""
        return any(True for measure in self.measures for _ in measure.iter(tag))


@dataclass(frozen=True, slots=True)
class Document:
    """A score: the root element, for what the head says, and the parts that have measures.

    ``count`` is how many parts the score has, those that are left out among them.
    """

    root: Element
    parts: tuple[Part, ...]
    count: int


def parse(data: bytes, name: str) -> Document:
    """Read a score; raise ChartError, with line and column where it is not well-formed XML."""
    root = _tree(data, name)
    if root.tag not in ROOTS:
        found = "a list of several scores" if root.tag == "opus" else f"<{root.tag}>"
        raise refusal(f"this is no score: {found} where score-partwise belongs", name)
    partwise = root.tag == "score-partwise"
    groups = _partwise(root) if partwise else _timewise(root)
    if not groups:
        raise refusal("the score has no part", name)
    names = {
        part.get("id", ""): " ".join(part.findtext("part-name", "").split())
        for part in root.findall("part-list/score-part")
    }
    parts = tuple(Part(names.get(key, ""), group) for key, group in groups.items() if group)
    if not parts:
        raise refusal("the score has no bars", name)
    if any(len(part.measures) > MAX_BARS for part in parts):
        raise refusal(f"the score has more than {MAX_BARS} bars: no lead sheet does", name)
    return Document(root, parts, max(len(parts), len(names)))


def _tree(data: bytes, name: str) -> Element:
    for sign, what in ((b"<", "tags"), (b"=", "attributes")):
        if len(data) > MAX_TAGS and data.count(sign) > MAX_TAGS:
            raise refusal(f"the score has more than {MAX_TAGS} {what}: no lead sheet does", name)
    try:
        root = tree(data)
    except ExpatError as error:
        message = f"not well-formed XML: {ErrorString(error.code)}"
        raise refusal(message, name, error.lineno, error.offset + 1) from None
    except RefusedEntityError as error:
        raise refusal(str(error), name) from None
    except (ValueError, LookupError) as error:
        raise refusal(f"the text can't be read: {error}", name) from None
    if any("}" in tag for tag in {element.tag for element in root.iter()}):
        for element in root.iter():
            element.tag = element.tag.rpartition("}")[2]
    return root


def _partwise(root: Element) -> dict[str, tuple[Element, ...]]:
    return {
        part.get("id", "") or f"#{place}": tuple(part.findall("measure"))
        for place, part in enumerate(root.findall("part"))
    }


def _timewise(root: Element) -> dict[str, tuple[Element, ...]]:
    """Gather each part's measures, with the attributes that stand on the measure itself."""
    groups: dict[str, list[Element]] = {}
    for measure in root.findall("measure"):
        for place, part in enumerate(measure.findall("part")):
            own = Element("measure", measure.attrib)
            own.extend(part)
            groups.setdefault(part.get("id", "") or f"#{place}", []).append(own)
    return {key: tuple(group) for key, group in groups.items()}
