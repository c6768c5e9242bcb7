"""Building elements: a tag, what is in it, and its attributes."""

from collections.abc import Iterable
from xml.etree.ElementTree import Element


def node(tag: str, content: str | int | Iterable[Element] = (), /, **attributes: str) -> Element:
    """Return an element with a text or with elements in it; ``print_object`` is print-object.

    >>> from xml.etree.ElementTree import tostring
    >>> tostring(node("barline", [node("repeat", after_jump="yes")], location="right")).decode()
    '<barline location="right"><repeat after-jump="yes" /></barline>'
    """
    element = Element(tag, {name.replace("_", "-"): value for name, value in attributes.items()})
    if isinstance(content, str | int):
        element.text = str(content)
    else:
        element.extend(content)
    return element
