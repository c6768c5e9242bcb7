"""Words by verse: one syllable for each note that is sung.

Sources: MusicXML 4.0 ``lyric``, ``syllabic``, ``text``, ``elision``, ``extend``; the Unicode
undertie joins the words that share a note.
"""

import re
from collections.abc import Iterable, Sequence
from typing import Final
from xml.etree.ElementTree import Element

from chartwalk.chart import Note, Syllable
from chartwalk.musicxml.elements import one_line, whole
from chartwalk.musicxml.tune import Event

UNDERTIE: Final = "‿"
HOLD: Final = Syllable("")
MAX_VERSES: Final = 20
_ENDS: Final = re.compile(r"[-_‐–]+$")
_ENDS_JOINED: Final = re.compile(r"[-‐]$")


def verses(bars: Iterable[tuple[Event, ...]]) -> tuple[str, ...]:
    """Return the numbers of the verses in their order: figures first, then names as they come.

    More than twenty are no verses; the rest is left out.
    """
    found = dict.fromkeys(number(lyric) for bar in bars for event in bar for lyric in event.lyrics)
    places = {name: place for place, name in enumerate(found)}
    return tuple(sorted(found, key=lambda name: (whole(name) or len(places) * 99, places[name])))[
        :MAX_VERSES
    ]


def number(lyric: Element) -> str:
    """Return the verse a lyric belongs to, as the file names it."""
    return lyric.get("number", "").strip() or "1"


def words(
    bars: Sequence[tuple[Event, ...]], notes: Sequence[tuple[Note, ...]], order: Sequence[str]
) -> tuple[tuple[tuple[Syllable, ...], ...], ...]:
    """Return the words of every bar: a tuple of syllables a verse, without what holds at its end.

    ``notes`` are the bars' notes, with their ties: a note that a tie leads into sings nothing.
    """
    result = []
    entering = False
    for bar, tune in zip(bars, notes, strict=True):
        sung = []
        for event, note in zip(bar, tune, strict=True):
            if note.pitch is not None and not entering:
                sung.append(event)
            entering = note.tied
        lines = [_strip([_syllable_of(event, verse) for event in sung]) for verse in order]
        while lines and not lines[-1]:
            lines.pop()
        result.append(tuple(lines))
    return tuple(result)


def _strip(line: list[Syllable]) -> tuple[Syllable, ...]:
    while line and line[-1] == HOLD:
        line.pop()
    return tuple(line)


def _syllable_of(event: Event, verse: str) -> Syllable:
    return next(
        (syllable(lyric) for lyric in event.lyrics if number(lyric) == verse),
        HOLD,
    )


def syllable(lyric: Element) -> Syllable:
    """Return what a lyric has sung on its note; only the last part of an elision can be joined."""
    parts = [one_line(text.text or "") for text in lyric.findall("text")]
    text = UNDERTIE.join(part for part in parts if part).replace(" ", UNDERTIE).replace("|", "")
    hyphen = bool(_ENDS_JOINED.search(text))
    text = _ENDS.sub("", text)
    if not text.strip(UNDERTIE):
        return HOLD
    syllabics = [(element.text or "").strip() for element in lyric.findall("syllabic")]
    joined = bool(syllabics) and syllabics[-1] in ("begin", "middle")
    return Syllable(text, joined or hyphen)
