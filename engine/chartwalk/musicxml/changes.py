"""Where the chords change: the harmonies and the words that stand for them, bar by bar.

Several harmonies at one place belong to the note that follows and share its length; real files
write them so instead of using ``offset`` (MusicXML 4.0 ``harmony``).
"""

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from fractions import Fraction
from itertools import groupby, pairwise

from chartwalk.chart import Change
from chartwalk.chord import ChordSymbol
from chartwalk.musicxml.elements import quoted
from chartwalk.musicxml.harmony import symbol
from chartwalk.musicxml.measure import ZERO, Measure
from chartwalk.musicxml.notices import Notice, at
from chartwalk.musicxml.setting import Setting
from chartwalk.musicxml.tune import Event
from chartwalk.musicxml.words import direction_texts, looks_like_chords, no_chord

Placing = tuple[Fraction, ChordSymbol]


def changes(
    measures: Sequence[Measure],
    settings: Sequence[Setting],
    tunes: Sequence[tuple[Event, ...]],
) -> tuple[tuple[tuple[Change, ...], ...], tuple[Notice, ...]]:
    """Return the changes of every bar, in order and at places of their own.

    What stands at a bar's end belongs to the next one. ``tunes`` fill their bars exactly.
    """
    result: list[tuple[Change, ...]] = []
    notices: list[Notice] = []
    carried: list[ChordSymbol] = []
    for bar, (measure, setting, tune) in enumerate(zip(measures, settings, tunes, strict=True)):
        length = tune[-1].end
        placed, messages = _placed(measure, setting)
        inside = [item for item in placed if item[0] < length]
        if carried and not any(not item[0] for item in inside):
            inside = [(ZERO, chord) for chord in carried] + inside
        carried = [chord for place, chord in placed if place >= length]
        inside.sort(key=lambda item: item[0])
        result.append(_spread(inside, tune, length))
        notices += at(bar, messages)
    if carried:
        names = " ".join(str(chord) for chord in carried)
        notices.append(Notice(f"{names} after the last bar is left out", len(result) - 1))
    return tuple(result), tuple(notices)


def _placed(measure: Measure, setting: Setting) -> tuple[list[Placing], tuple[str, ...]]:
    """Return the chords of a measure with their places, as the file has them."""
    placed: list[Placing] = []
    messages: tuple[str, ...] = ()
    for item in measure.harmonies:
        if item.element.get("type") == "alternate":
            continue
        chord, told = symbol(item.element, setting.key)
        messages += told
        if chord is not None:
            placed.append((item.at, chord))
    taken = {place for place, _ in placed}
    for item in measure.directions:
        texts = direction_texts(item.element)
        if any(no_chord(text) for text in texts) and item.at not in taken:
            placed.append((item.at, ChordSymbol.parse("N.C.")))
        elif texts and looks_like_chords(texts[0]):
            messages += (f"chords written as words are not read: {quoted(texts[0])}",)
    return placed, messages


def _spread(
    placed: Sequence[Placing], tune: tuple[Event, ...], length: Fraction
) -> tuple[Change, ...]:
    """Give every chord its own place; those at one place share the note or the room they have."""
    groups = [(place, _distinct(group)) for place, group in groupby(placed, lambda item: item[0])]
    ends = [after[0] for _, after in pairwise(groups)] + [length] * bool(groups)
    onsets = [event.at for event in tune]
    spread = []
    for (place, chords), limit in zip(groups, ends, strict=True):
        note_end = tune[bisect_right(onsets, place) - 1].end
        step = (min(note_end, limit) - place) / len(chords)
        spread += [Change(place + step * count, chord) for count, chord in enumerate(chords)]
    return tuple(spread)


def _distinct(group: Iterable[Placing]) -> list[ChordSymbol]:
    """Return the chords of one place without those that only repeat the one before."""
    chords = [chord for _, chord in group]
    return [
        chord for chord, before in zip(chords, [None, *chords], strict=False) if chord != before
    ]
