"""Notes, rests and words: a bar's tune as ``note`` elements.

Sources: MusicXML 4.0 ``note``, ``tie`` (what sounds), ``tied`` (what is drawn), ``tuplet``,
``accidental``, ``notehead``, ``lyric``, ``syllabic``, ``extend``.

Conventions
-----------
- The tune is voice 1. A bar without one has a whole-measure rest, or, where it has words, a slash
  for each syllable. In a pickup of rests the slashes are voice 2.
- A note cut into several tied ones says on all but the first that it goes on (`ours.CONTINUED`).
- A syllable that holds over one more note is a lyric with an ``extend`` alone.
- A fermata stands on the note or rest of the first voice that is drawn at its place, if one is.
"""

from collections.abc import Iterable, Iterator, MutableMapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final
from xml.etree.ElementTree import Element

from chartwalk.chart import Bar, Syllable, sung
from chartwalk.musicxml.ours import CONTINUED
from chartwalk.musicxml.out.values import Value, drawn
from chartwalk.musicxml.out.xml import node
from chartwalk.pitch import Name, Pitch

SLASH: Final = Pitch(Name("B"), 4)  # the middle line of the treble staff
ACCIDENTALS: Final = {
    -3: "triple-flat", -2: "flat-flat", -1: "flat", 0: "natural", 1: "sharp", 2: "double-sharp",
    3: "triple-sharp",
}  # fmt: skip

Joined = MutableMapping[int, bool]
"""Whether the last syllable of each verse, from 1, is joined to the next one."""


@dataclass(frozen=True, slots=True)
class Drawn:
    """One drawn note or rest, ``at`` quarter notes after the bar line.

    ``continued`` says that it only goes on with the one before.
    """

    at: Fraction
    value: Value
    pitch: Pitch | None = None
    slash: bool = False
    starts_tie: bool = False
    stops_tie: bool = False
    continued: bool = False
    lyrics: tuple[Element, ...] = ()
    fermata: bool = False


Voice = tuple[Drawn, ...]


def voices(bar: Bar, before: Bar | None, joined: Joined) -> tuple[Voice, ...]:
    """Return the voices of a bar; none where it is a whole-measure rest.

    ``before`` is the bar before on paper; ``joined`` is kept up to date.
    """
    has_notes = any(note.pitch for note in bar.tune)
    lyrics = _lyrics(bar.words, joined)
    found = []
    if bar.tune:
        found.append(_tune(bar, before, lyrics if has_notes else []))
    if lyrics and not has_notes:
        found.append(_slashes(bar, lyrics))
    found[:1] = [tuple(_held(each, bar) for each in voice) for voice in found[:1]]
    return tuple(found)


def _held(each: Drawn, bar: Bar) -> Drawn:
    return replace(each, fermata=True) if each.at in bar.fermatas else each


def _tune(bar: Bar, before: Bar | None, lyrics: Sequence[tuple[Element, ...]]) -> Voice:
    sounded = set(sung(bar, before))
    words = dict(zip(sorted(sounded), lyrics, strict=False))
    at, found = Fraction(0), []
    values = drawn([note.length for note in bar.tune], bar.lead_in)
    for place, (note, parts) in enumerate(zip(bar.tune, values, strict=True)):
        tied = note.pitch is not None and place not in sounded
        for count, value in enumerate(parts):
            more = count + 1 < len(parts) and note.pitch is not None
            found.append(
                Drawn(
                    at,
                    value,
                    note.pitch,
                    starts_tie=more or (note.tied and count + 1 == len(parts)),
                    stops_tie=bool(count and note.pitch) or (tied and not count),
                    continued=count > 0,
                    lyrics=words.get(place, ()) if not count else (),
                )
            )
            at += value.length
    return tuple(found)


def _slashes(bar: Bar, lyrics: Sequence[tuple[Element, ...]]) -> Voice:
    """Return a slash a syllable, which share the bar evenly."""
    share = bar.length / len(lyrics)
    at, found = Fraction(0), []
    for sung_here, parts in zip(lyrics, drawn([share] * len(lyrics), bar.lead_in), strict=True):
        for count, value in enumerate(parts):
            more, continued = count + 1 < len(parts), count > 0
            words = () if continued else sung_here
            found.append(Drawn(at, value, SLASH, True, more, continued, continued, words))
            at += value.length
    return tuple(found)


def _lyrics(verses: Sequence[Sequence[Syllable]], joined: Joined) -> list[tuple[Element, ...]]:
    """Return the lyrics of each note that is sung, those of all verses together."""
    found: list[list[Element]] = [[] for _ in range(max(map(len, verses), default=0))]
    for number, verse in enumerate(verses, 1):
        for place, syllable in enumerate(verse):
            found[place].append(_lyric(syllable, number, joined))
    return [tuple(elements) for elements in found]


def _lyric(syllable: Syllable, number: int, joined: Joined) -> Element:
    if not syllable.text:
        return node("lyric", [node("extend")], number=str(number))
    after, goes_on = joined.get(number, False), syllable.joined
    joined[number] = goes_on
    syllabic = ("middle" if goes_on else "end") if after else ("begin" if goes_on else "single")
    content = [node("syllabic", syllabic), node("text", syllable.text)]
    return node("lyric", content, number=str(number))


def note_elements(
    voice: Voice, number: int, divisions: int, key_names: Iterable[Name]
) -> Iterator[tuple[Fraction, Fraction, Element]]:
    """Yield the notes of a voice, each with where it begins and ends in its bar."""
    shown: dict[tuple[str, int], int] = {}
    signature = {name.letter: name.alter for name in key_names}
    for each in voice:
        sign = _accidental(each, shown, signature)
        content = _content(each, number, divisions, sign)
        yield each.at, each.at + each.value.length, node("note", content)


def _accidental(each: Drawn, shown: dict[tuple[str, int], int], signature: dict[str, int]) -> str:
    """Return the sign to print; it holds for its line or space to the end of the bar."""
    pitch = each.pitch
    if pitch is None or each.slash or each.stops_tie:
        return ""
    place = pitch.name.letter, pitch.octave
    before = shown.get(place, signature.get(pitch.name.letter, 0))
    shown[place] = pitch.name.alter
    return ACCIDENTALS.get(pitch.name.alter, "") if pitch.name.alter != before else ""


def _content(each: Drawn, voice: int, divisions: int, sign: str) -> Iterator[Element]:
    """Yield what is in a note, in the order of the standard."""
    value = each.value
    yield _pitch(each.pitch) if each.pitch else node("rest")
    yield node("duration", int(value.length * divisions))
    if each.stops_tie:
        yield node("tie", type="stop")
    if each.starts_tie:
        yield node("tie", type="start")
    yield node("voice", voice)
    if value.name:
        yield node("type", value.name)
        yield from (node("dot") for _ in range(value.dots))
    if sign:
        yield node("accidental", sign)
    if value.ratio and value.name:
        actual, normal = value.ratio
        counts = [node("actual-notes", actual), node("normal-notes", normal)]
        yield node("time-modification", counts)
    if each.slash:
        yield node("notehead", "slash")
    notations = list(_notations(each))
    if notations:
        yield node("notations", notations)
    yield from each.lyrics


def _notations(each: Drawn) -> Iterator[Element]:
    if each.pitch and each.stops_tie:
        yield node("tied", type="stop")
    if each.pitch and each.starts_tie:
        yield node("tied", type="start")
    if each.value.starts:
        yield node("tuplet", type="start", bracket="yes")
    if each.value.stops:
        yield node("tuplet", type="stop")
    if each.fermata:
        yield node("fermata")
    if each.continued:
        yield node("other-notation", CONTINUED, type="single", print_object="no")


def _pitch(pitch: Pitch) -> Element:
    content = [node("step", pitch.name.letter)]
    if pitch.name.alter:
        content.append(node("alter", pitch.name.alter))
    return node("pitch", [*content, node("octave", pitch.octave)])
