"""From the bytes of a score to its parts, each a list of measures.

Both roots of MusicXML 4.0 are read: ``score-partwise`` and ``score-timewise``; a namespace on the
elements is of no consequence. A plain DOCTYPE is allowed, entity declarations are refused.
"""

from dataclasses import dataclass
from typing import Final
from xml.etree.ElementTree import Element, ParseError, fromstring

from defusedxml import DefusedXmlException
from defusedxml.ElementTree import XMLParser

from chartwalk.mending.notices import refusal

MAX_TAGS: Final = 1_000_000
"""The most tags and attributes read: they take far more memory than the bytes they stand in."""
CHUNK: Final = 2**14
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
    """A score: the root element, for what the head says, and the parts that have measures."""

    root: Element
    parts: tuple[Part, ...]


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
        for part in root.iter("score-part")
    }
    parts = tuple(Part(names.get(key, ""), group) for key, group in groups.items() if group)
    if not parts:
        raise refusal("the score has no bars", name)
    if any(len(part.measures) > MAX_BARS for part in parts):
        raise refusal(f"the score has more than {MAX_BARS} bars: no lead sheet does", name)
    return Document(root, parts)


def _tree(data: bytes, name: str) -> Element:
    for sign, what in ((b"<", "tags"), (b"=", "attributes")):
        if data.count(sign) > MAX_TAGS:
            raise refusal(f"the score has more than {MAX_TAGS} {what}: no lead sheet does", name)
    try:
        _check_prologue(data)
        root = fromstring(data)
    except ParseError as error:
        line, column = error.position
        message = f"not well-formed XML: {str(error).partition(':')[0]}"
        raise refusal(message, name, line, column + 1) from None
    except DefusedXmlException:
        raise refusal("the score declares entities of its own, which are refused", name) from None
    except (ValueError, LookupError) as error:
        raise refusal(f"the text can't be read: {error}", name) from None
    if any("}" in tag for tag in {element.tag for element in root.iter()}):
        for element in root.iter():
            element.tag = element.tag.rpartition("}")[2]
    return root


class _RootReached(Exception):  # noqa: N818 (no error: the prologue is read)
    """The root element begins: nothing can be declared from here on."""


class _Prologue:
    """What the parser builds of a prologue: nothing."""

    def start(self, tag: str, attributes: object) -> None:
        raise _RootReached

    def close(self) -> None:
        """Do nothing: there is no root, as the reading proper will tell."""


def _check_prologue(data: bytes) -> None:
    """Refuse entity declarations; they can stand nowhere but before the root (XML 1.0, 2.8).

    The checking parser is slow, so it reads no further. Raises DefusedXmlException.
    """
    parser = XMLParser(target=_Prologue(), forbid_entities=True)
    try:
        for start in range(0, len(data), CHUNK):
            parser.feed(data[start : start + CHUNK])
    except _RootReached:
        return


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
