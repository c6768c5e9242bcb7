"""From the bytes of a score to the tree of its elements.

Of a score for many players one part is read. Once the part that leads stands whole in the tree, the
parts after it are checked to be well-formed, but not built. Entity declarations are refused.
"""

from typing import Final, NoReturn
from xml.etree.ElementTree import Element, TreeBuilder
from xml.parsers import expat

LEADING: Final = ("harmony", "lyric")
"""What makes a part the lead: both, or the one that the score has."""


class RefusedEntityError(Exception):
    """An entity that a score declares or that nobody knows."""


def tree(data: bytes) -> Element:
    """Return the root of a score; tags keep their namespaces, as ``namespace}tag``.

    Raises ExpatError on what is no XML, RefusedEntityError, and ValueError or LookupError for an
    encoding that can't be read.
    """
    return _Tree(data).built()


class _Tree:
    """A tree that grows as the parser reads."""

    def __init__(self, data: bytes) -> None:
        self._data = data
        self._builder = TreeBuilder()
        self._root = Element("")  # until the first element begins
        self._sought: list[str] = []
        self._parser = expat.ParserCreate(namespace_separator="}")
        self._parser.buffer_text = True
        self._parser.StartElementHandler = self._start_root
        self._parser.EndElementHandler = self._end_in_head
        self._parser.CharacterDataHandler = self._builder.data
        self._parser.EntityDeclHandler = _refuse_declaration
        self._parser.SkippedEntityHandler = _refuse_entity

    def built(self) -> Element:
        """Read the whole score and return its root."""
        try:
            self._parser.Parse(self._data, True)
        finally:
            self._build_no_more()  # no circle of references keeps the tree in memory
        return self._root

    def _build_no_more(self) -> None:
        self._parser.StartElementHandler = None
        self._parser.EndElementHandler = None
        self._parser.CharacterDataHandler = None

    def _start_root(self, tag: str, attributes: dict[str, str]) -> None:
        self._root = self._builder.start(tag, attributes)
        self._parser.StartElementHandler = self._builder.start

    def _end_in_head(self, tag: str) -> None:
        """Look for the list of parts; where it names one only, none can be passed over."""
        element = self._builder.end(tag)
        if tag == "part-list":
            many = len(element.findall("score-part")) > 1
            self._parser.EndElementHandler = self._end_in_parts if many else self._builder.end
            wide = b"\0" in self._data  # two bytes a letter: no tag is found in them
            self._sought = [each for each in LEADING if wide or each.encode() in self._data]

    def _end_in_parts(self, tag: str) -> None:
        element = self._builder.end(tag)
        if tag == "part" and element is self._root[-1] and self._leads(element):
            self._build_no_more()

    def _leads(self, part: Element) -> bool:
        tags = ("measure", *self._sought)
        return all(any(True for _ in part.iter(tag)) for tag in tags)


def _refuse_declaration(*_: object) -> NoReturn:
    raise RefusedEntityError("the score declares entities of its own, which are refused")


def _refuse_entity(entity: str, _: bool) -> NoReturn:
    raise RefusedEntityError(f"not well-formed XML: undefined entity &{entity};")
