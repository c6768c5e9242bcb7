"""Where the chords change: the harmonies and the words that stand for them, bar by bar.

Chords in words are read where no chord symbol follows them in their bar; in brackets they are an
alternative and are not played (ABC 2.1 section 4.18 for brackets).

Several harmonies at one place belong to the note that follows and share its length; real files
write them so instead of using ``offset`` (MusicXML 4.0 ``harmony``).
"""

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from fractions import Fraction
from itertools import groupby, pairwise
from operator import attrgetter, itemgetter

from chartwalk.chart import Change
from chartwalk.chord import ChordSymbol
from chartwalk.mending.notices import Notice, at
from chartwalk.mending.texts import quoted
from chartwalk.mending.words import chords_of, no_chord
from chartwalk.meter import Meter
from chartwalk.musicxml.elements import direction_texts
from chartwalk.musicxml.harmony import symbol
from chartwalk.musicxml.measure import ZERO, Measure, later
from chartwalk.musicxml.setting import Setting
from chartwalk.musicxml.tune import Event

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
        placed, messages = _placed(measure, setting, length)
        inside = [item for item in placed if later(length, item[0])]
        if carried and not any(not item[0] for item in inside):
            inside = [(ZERO, chord) for chord in carried] + inside
        elif carried:
            names = " ".join(map(str, carried))
            notices.append(Notice(f"{names} at the end of the bar before is left out", bar))
        carried = [chord for place, chord in placed if not later(length, place)]
        inside.sort(key=itemgetter(0))
        result.append(_spread(inside, tune, length))
        notices += at(bar, messages)
    if carried:
        names = " ".join(str(chord) for chord in carried)
        notices.append(Notice(f"{names} after the last bar is left out", len(result) - 1))
    return tuple(result), tuple(notices)


def _placed(
    measure: Measure, setting: Setting, length: Fraction
) -> tuple[list[Placing], tuple[str, ...]]:
    """Return the chords of a measure with their places, as the file has them."""
    placed: list[Placing] = []
    messages: tuple[str, ...] = ()
    for item in measure.harmonies:
        chord, told = symbol(item.element, setting.key)
        if item.element.get("type") == "alternate":
            messages += (f"{chord or 'a chord'} stands as an alternative only: left out",)
            continue
        messages += told
        if chord is not None:
            placed.append((item.at, chord))
    taken = {place for place, _ in placed}
    for item in measure.directions:
        texts = direction_texts(item.element)
        if any(no_chord(text) for text in texts) and item.at not in taken:
            placed.append((item.at, ChordSymbol.parse("N.C.")))
        elif texts and (chords := chords_of(texts[0])):
            if any(place >= item.at for place in taken) or texts[0].startswith("("):
                messages += (f"chords in words beside others are left out: {quoted(texts[0])}",)
            else:
                placed += _one_by_one(chords, item.at, length, (setting.meter or Meter()).beat)
                messages += (f"the words {quoted(texts[0])} are read as chords",)
    return placed, messages


def _one_by_one(
    chords: Sequence[ChordSymbol], start: Fraction, length: Fraction, beat: Fraction
) -> list[Placing]:
    """Place chords that stand in words, evenly up to the end of the bar, on beats if they can."""
    room = max(ZERO, length - start)
    beats = room / beat // len(chords)
    step = beats * beat if beats else room / len(chords)
    return [(start + step * place, chord) for place, chord in enumerate(chords)]


def _spread(
    placed: Sequence[Placing], tune: tuple[Event, ...], length: Fraction
) -> tuple[Change, ...]:
    """Give every chord its own place; those at one place share the note or the room they have."""
    if not placed:
        return ()
    groups = [(place, _distinct(group)) for place, group in groupby(placed, itemgetter(0))]
    ends = [after[0] for _, after in pairwise(groups)] + [length]
    spread = []
    for (place, chords), limit in zip(groups, ends, strict=True):
        if len(chords) == 1:
            spread.append(Change(place, chords[0]))
            continue
        note_end = tune[bisect_right(tune, place, key=attrgetter("at")) - 1].end
        step = (min(note_end, limit) - place) / len(chords)
        spread += [Change(place + step * count, chord) for count, chord in enumerate(chords)]
    return tuple(spread)


def _distinct(group: Iterable[Placing]) -> list[ChordSymbol]:
    """Return the chords of one place without those that only repeat the one before."""
    chords = [chord for _, chord in group]
    return [
        chord for chord, before in zip(chords, [None, *chords], strict=False) if chord != before
    ]
