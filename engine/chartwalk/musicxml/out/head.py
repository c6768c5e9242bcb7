"""The head of a score: title, credit, note, the singer's range, and the one part.

Sources: MusicXML 4.0 ``work``, ``creator``, ``encoding``, ``supports``, ``miscellaneous-field``.
"""

from collections.abc import Iterator
from typing import Final
from xml.etree.ElementTree import Element

from chartwalk.chart import Chart
from chartwalk.musicxml.ours import NOTE_FIELD, SOFTWARE, VOICE_FIELD
from chartwalk.musicxml.out.xml import node

PART: Final = "P1"


def head(chart: Chart) -> Iterator[Element]:
    """Yield what stands before the part."""
    yield node("work", [node("work-title", chart.title)])
    creators = [node("creator", chart.credit, type="composer")] if chart.credit else []
    # No beams and stems are written: a program that reads this draws them itself.
    supports = [
        node("supports", element=name, type=answer)
        for name, answer in (("accidental", "yes"), ("beam", "no"), ("stem", "no"))
    ]
    encoding = node("encoding", [node("software", SOFTWARE), *supports])
    voice = " ".join(pitch.ascii for pitch in chart.voice) if chart.voice else ""
    fields = [
        node("miscellaneous-field", text, name=name)
        for name, text in ((NOTE_FIELD, chart.note), (VOICE_FIELD, voice))
        if text
    ]
    more = [node("miscellaneous", fields)] if fields else []
    yield node("identification", [*creators, encoding, *more])
    name = node("part-name", "Lead", print_object="no")
    yield node("part-list", [node("score-part", [name], id=PART)])
