"""The tune of a part: one voice, its chords reduced to their top notes, gaps filled with rests.

Sources: MusicXML 4.0 ``note``, ``chord``, ``tie``, ``tied``, ``notehead`` (rhythm slashes are no
tune), ``cue`` (a cue is another player's).
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache
from itertools import groupby
from operator import attrgetter
from xml.etree.ElementTree import Element

from chartwalk.chart import Note
from chartwalk.mending.texts import one_line
from chartwalk.musicxml.elements import text_of, whole
from chartwalk.musicxml.measure import ZERO, Measure, Placed, later
from chartwalk.musicxml.ours import OCTAVES
from chartwalk.pitch import Name, Pitch

Voice = tuple[int, str]


@dataclass(frozen=True, slots=True)
class Event:
    """A note or rest of the tune, its place, length and end in quarter notes, and its lyrics."""

    at: Fraction
    length: Fraction
    end: Fraction
    pitch: Pitch | None = None
    starts_tie: bool = False
    stops_tie: bool = False
    lyrics: tuple[Element, ...] = ()


def main_voice(measures: Iterable[Measure]) -> Voice:
    """Return the staff and voice that hold the tune: the first with notes, top staff first."""
    sounding: set[Voice] = set()
    for measure in measures:
        for item in measure.notes:
            voice = voice_of(item.element)
            if voice not in sounding and _pitch(item.element) is not None:
                sounding.add(voice)
    return min(sounding, key=lambda voice: (voice[0], len(voice[1]), voice[1]), default=(1, "1"))


def events(measure: Measure, voice: Voice, length: Fraction) -> tuple[Event, ...]:
    """Return the tune of a measure, exactly ``length`` quarter notes long."""
    own = lead_notes(measure, voice)
    tops = [_top(list(group)) for _, group in groupby(own, key=attrgetter("at"))]
    return _filled(tops, length)


def lead_notes(measure: Measure, voice: Voice) -> list[Placed]:
    """Return the notes of a voice in time, chords as several.

    A measure where the voice is silent lends the next voice of its staff.
    """
    notes = [item for item in measure.notes if item.length]
    own = [item for item in notes if voice_of(item.element) == voice]
    if not own:
        staff = [item for item in notes if voice_of(item.element)[0] == voice[0]]
        heard = sorted(voice_of(item.element) for item in staff if _pitch(item.element))
        own = [item for item in staff if heard and voice_of(item.element) == heard[0]]
    if not measure.in_order:
        own.sort(key=lambda item: item.at)
    return own


def voice_of(note: Element) -> Voice:
    """Return the staff and the voice of a note."""
    return _named_voice(note.findtext("staff", "1"), note.findtext("voice", "1"))


@lru_cache(maxsize=256)
def _named_voice(staff: str, voice: str) -> Voice:
    return whole(staff) or 1, one_line(voice) or "1"


def _top(chord: Sequence[Placed]) -> Event:
    """Return the highest note of those that start together, with the lyrics of all."""
    lyrics = tuple([lyric for item in chord for lyric in item.element.findall("lyric")])
    pitched = [(pitch, item) for item in chord if (pitch := _pitch(item.element)) is not None]
    if not pitched:
        longest = max(chord, key=attrgetter("length"))
        return Event(longest.at, longest.length, longest.end, lyrics=lyrics)
    pitch, item = max(pitched, key=lambda pair: pair[0]) if len(pitched) > 1 else pitched[0]
    ties = _ties(item.element)
    starts, stops = "start" in ties, "stop" in ties
    return Event(item.at, item.length, item.end, pitch, starts, stops, lyrics)


def _ties(note: Element) -> set[str | None]:
    """Return the types of a note's ties, as they sound and as they are drawn."""
    notations = note.find("notations")
    drawn = notations.findall("tied") if notations is not None else []
    return {tie.get("type") for tie in note.findall("tie") + drawn}


def _pitch(note: Element) -> Pitch | None:
    """Return the pitch of a note of the tune; None for rests, cues, slashes and drums."""
    element = note.find("pitch")
    if element is None or note.find("cue") is not None:
        return None
    if note.findtext("notehead", "").strip() == "slash":
        return None
    step, alter = element.findtext("step", ""), element.findtext("alter", "")
    return _pitch_of(step, alter, element.findtext("octave", ""))


@lru_cache(maxsize=1024)
def _pitch_of(step: str, altered: str, octaves: str) -> Pitch | None:
    step, alter, octave = step.strip(), whole(altered.strip() or "0"), whole(octaves)
    if len(step) != 1 or step not in "ABCDEFG" or octave is None or octave not in OCTAVES:
        return None
    return Pitch(Name(step, alter if alter is not None and abs(alter) <= 2 else 0), octave)


def _filled(found: Iterable[Event], length: Fraction) -> tuple[Event, ...]:
    """Close the gaps with rests and cut what overlaps or stands beyond the end."""
    filled: list[Event] = []
    end = ZERO
    for event in found:
        if event.at != end:
            if event.at >= length:
                break
            if event.at > end:
                filled.append(Event(end, event.at - end, event.at))
            elif filled:
                filled[-1] = _cut(filled[-1], event.at)
        end = event.end
        filled.append(_cut(event, length) if later(end, length) else event)
        if not later(length, end):
            return tuple(filled)
    if later(length, end):
        filled.append(Event(end, length - end, length))
    return tuple(filled)


def _cut(event: Event, end: Fraction) -> Event:
    return replace(event, length=end - event.at, end=end)


def tied(bars: Sequence[tuple[Event, ...]]) -> tuple[tuple[Note, ...], ...]:
    """Return the notes of every bar, with the ties that hold.

    A tie holds where the next note has the same pitch and takes it up, or at least sings no
    syllable of its own: many files start ties that never stop.
    """
    flat = [event for bar in bars for event in bar]
    after: list[Event | None] = [*flat[1:], None]
    notes = iter([
        Note(event.pitch, event.length, following is not None and _holds(event, following))
        for event, following in zip(flat, after, strict=True)
    ])  # fmt: skip
    return tuple(tuple(next(notes) for _ in bar) for bar in bars)


def _holds(event: Event, following: Event) -> bool:
    if not event.starts_tie or event.pitch is None or following.pitch is None:
        return False
    sings = any(text_of(lyric, "text") for lyric in following.lyrics)
    return event.pitch == following.pitch and (following.stops_tie or not sings)
