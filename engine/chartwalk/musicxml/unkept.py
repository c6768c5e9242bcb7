"""What a chart has no place for: told once for each kind, in the first bar it stands in."""

from collections.abc import Iterator, Sequence, Set
from functools import lru_cache
from typing import Final
from xml.etree.ElementTree import Element

from chartwalk.chart import MOST_TIMES
from chartwalk.mending.notices import Notice
from chartwalk.mending.texts import listed, quoted
from chartwalk.musicxml.elements import number, text_of, whole
from chartwalk.musicxml.measure import Measure
from chartwalk.musicxml.tune import Voice, voice_of

NOTES: Final = {
    "grace": "grace notes are left out",
    "cue": "cue notes are left out",
    "unpitched": "notes without a pitch are left out",
}
LONGEST: Final = 10**6  # units; no bar has so many
EXPRESSION: Final = {
    "slur": "slurs", "dynamics": "dynamics", "wedge": "hairpins",
    "articulations": "articulations", "ornaments": "ornaments", "technical": "fingerings",
    "arpeggiate": "arpeggios", "glissando": "slides", "slide": "slides", "pedal": "pedal marks",
    "figured-bass": "figured bass", "frame": "chord diagrams",
}  # fmt: skip
"""Elements of MusicXML 4.0 that say how something is played, and what a player calls them."""


def unkept(
    elements: Sequence[Element], tags: Sequence[Set[str]], laid: Sequence[Measure], voice: Voice
) -> tuple[Notice, ...]:
    """Tell what of a part is left out; ``voice`` is the one that is read.

    ``tags`` are the kinds of elements in each measure.
    """
    first: dict[str, int] = {}
    for bar, found in enumerate(tags):
        for tag in found - first.keys():
            first[tag] = bar
    told = [Notice(message, first[tag]) for tag, message in NOTES.items() if tag in first]
    told += _alterations(elements) if "alter" in first else ()
    told += _voices(laid, voice) if "backup" in first or "staff" in first else ()
    told += _chords(laid, voice) if "chord" in first else ()
    told += _slashes(laid) if "notehead" in first else ()
    told += _lengths(elements)
    told += _times(elements) if "repeat" in first else ()
    marks = dict.fromkeys(name for tag, name in EXPRESSION.items() if tag in first)
    if marks:
        told.append(Notice(f"how to play the notes is not kept: {', '.join(marks)}"))
    return tuple(told)


def _lengths(elements: Sequence[Element]) -> Iterator[Notice]:
    """Tell of durations that can't be: the written value is read, or the note has no time."""
    for bar, element in enumerate(elements):
        for text in (duration.text or "" for duration in element.iter("duration")):
            if not _is_length(text):
                message = f"a length of {quoted(text.strip())} can't be: not read as it is"
                yield Notice(message, bar)
                return


@lru_cache(maxsize=256)
def _is_length(text: str) -> bool:
    length = number(text)
    return length is not None and 0 <= length < LONGEST


def _times(elements: Sequence[Element]) -> Iterator[Notice]:
    for bar, element in enumerate(elements):
        for repeat in element.iter("repeat"):
            text = repeat.get("times", "2")
            times = whole(text)
            if times is None or not 0 <= times <= MOST_TIMES:
                yield Notice(f"a repeat of {quoted(text)} times is played twice", bar)
                return


def _alterations(elements: Sequence[Element]) -> Iterator[Notice]:
    for bar, element in enumerate(elements):
        for alter in element.iter("alter"):
            semitones = whole(text_of(alter) or "0")
            if semitones is None or abs(semitones) > 2:
                yield Notice("notes between the keys are read without their alteration", bar)
                return


def _voices(laid: Sequence[Measure], voice: Voice) -> Iterator[Notice]:
    """Tell of other staves and of other voices on the staff that is read."""
    staves: dict[int, int] = {}
    beside: int | None = None
    for bar, measure in enumerate(laid):
        notes = (item.element for item in measure.notes)
        voices = {voice_of(note) for note in notes if note.find("pitch") is not None}
        for staff, _ in voices:
            staves.setdefault(staff, bar)
        if beside is None and sum(staff == voice[0] for staff, _ in voices) > 1:
            beside = bar
    if len(staves) > 1:
        yield Notice(f"of {len(staves)} staves only staff {voice[0]} is read")
    if beside is not None:
        yield Notice("of several voices on one staff only one is read", beside)


def _chords(laid: Sequence[Measure], voice: Voice) -> Iterator[Notice]:
    for bar, measure in enumerate(laid):
        notes = (item.element for item in measure.notes)
        if any(note.find("chord") is not None and voice_of(note) == voice for note in notes):
            yield Notice("of chords in the tune only the top notes are read", bar)
            return


def _slashes(laid: Sequence[Measure]) -> Iterator[Notice]:
    for bar, measure in enumerate(laid):
        notes = (item.element for item in measure.notes)
        if any(note.findtext("notehead", "").strip() == "slash" for note in notes):
            yield Notice("rhythm slashes are left out", bar)
            return


def page_text(root: Element, kept: str) -> tuple[Notice, ...]:
    """Tell the text of the page that is not kept; ``kept`` is the title with the credit."""
    texts = [text_of(root, "work/work-title"), text_of(root, "identification/rights")]
    for credit in root.findall("credit"):
        if text_of(credit, "credit-type") != "page number":
            texts.append(" ".join(text_of(words) for words in credit.findall("credit-words")))
    left = dict.fromkeys(text for text in texts if text and text not in kept)
    return (Notice(f"text on the page is left out: {listed(left)}"),) if left else ()
