"""Words by verse: one syllable for each note that is sung.

Sources: MusicXML 4.0 ``lyric``, ``syllabic``, ``text``, ``elision``, ``extend``; the Unicode
undertie joins the words that share a note.
"""

import re
from collections.abc import Iterable, Sequence
from typing import Final
from xml.etree.ElementTree import Element

from chartwalk.chart import Note, Syllable
from chartwalk.mending.notices import Notice
from chartwalk.mending.texts import listed, one_line
from chartwalk.musicxml.elements import whole
from chartwalk.musicxml.tune import Event

UNDERTIE: Final = "‿"
HOLD: Final = Syllable("")
MAX_VERSES: Final = 20
_ENDS: Final = re.compile(r"[-_‐–]+$")
_ENDS_JOINED: Final = re.compile(r"[-‐]$")


def verses(bars: Iterable[tuple[Event, ...]]) -> tuple[str, ...]:
    """Return the numbers of the verses in their order: figures first, then names as they come."""
    found = dict.fromkeys(number(lyric) for bar in bars for event in bar for lyric in event.lyrics)
    places = {name: place for place, name in enumerate(found)}
    return tuple(sorted(found, key=lambda name: (whole(name) or len(places) * 99, places[name])))


def number(lyric: Element) -> str:
    """Return the verse a lyric belongs to, as the file names it."""
    return lyric.get("number", "").strip() or "1"


def words(
    bars: Sequence[tuple[Event, ...]], notes: Sequence[tuple[Note, ...]]
) -> tuple[tuple[tuple[tuple[Syllable, ...], ...], ...], tuple[Notice, ...]]:
    """Return the words of every bar: a tuple of syllables a verse, without what holds at its end.

    ``notes`` are the bars' notes, with their ties: a note that a tie leads into sings nothing. More
    than twenty are no verses. What is left out is told.
    """
    order = verses(bars)
    result = []
    silent: dict[str, int] = {}
    entering = False
    for place, (bar, tune) in enumerate(zip(bars, notes, strict=True)):
        sung = []
        for event, note in zip(bar, tune, strict=True):
            if note.pitch is not None and not entering:
                sung.append(event)
            elif event.lyrics:
                texts = (syllable(lyric).text for lyric in event.lyrics)
                silent |= {text: place for text in texts if text and text not in silent}
            entering = note.tied
        lines = [_strip(line) for line in _lines(sung, order[:MAX_VERSES])]
        while lines and not lines[-1]:
            lines.pop()
        result.append(tuple(lines))
    told = []
    if silent:
        message = f"words under a rest or a held note are left out: {listed(silent)}"
        told.append(Notice(message, min(silent.values())))
    if len(order) > MAX_VERSES:
        told.append(Notice(f"of {len(order)} verses the first {MAX_VERSES} are read"))
    return tuple(result), tuple(told)


def _strip(line: list[Syllable]) -> tuple[Syllable, ...]:
    while line and not line[-1].text:
        line.pop()
    return tuple(line)


def _lines(sung: Sequence[Event], order: Sequence[str]) -> list[list[Syllable]]:
    """Return a line for each verse, with a syllable for each note."""
    lines = {verse: [HOLD] * len(sung) for verse in order}
    for place, event in enumerate(sung):
        for lyric in reversed(event.lyrics):  # of two for one verse the first counts
            line = lines.get(number(lyric))
            if line is not None:
                line[place] = syllable(lyric)
    return list(lines.values())


def syllable(lyric: Element) -> Syllable:
    """Return what a lyric has sung on its note; only the last part of an elision can be joined."""
    texts, syllabic = [], ""
    for child in lyric:
        if child.tag == "text":
            texts.append(one_line(child.text or ""))
        elif child.tag == "syllabic":
            syllabic = child.text or ""
    text, hyphen = UNDERTIE.join(filter(None, texts)), False
    if not text.isalnum():
        text = text.replace(" ", UNDERTIE).replace("|", "")
        hyphen = bool(_ENDS_JOINED.search(text))
        text = _ENDS.sub("", text)
        if not text.strip(UNDERTIE):
            return HOLD
    return Syllable(text, hyphen or syllabic.strip() in ("begin", "middle"))
