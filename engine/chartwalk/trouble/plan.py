"""A practice plan of some minutes: spots in turns, slow run-throughs, a song for pleasure, pauses.

The rule: of the minutes played, six tenths go to the spots that are due and, after them, to those
marked today that were not worked on yet, twelve minutes a spot at most; six tenths of the rest to
slow run-throughs, at a mark of the metronome below three quarters of the goal, of the songs with
such spots first, then of those not played for longest; and what is left to the song, of those
known, with the least trouble. No part is shorter than a turn (common practice, no source). Twelve
minutes in turns of three, the song changed each time, and the pauses are from the sources in
`turns`.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from enum import Enum
from fractions import Fraction
from itertools import cycle
from math import ceil, fsum
from typing import Final

from chartwalk.log.records import PassRecord
from chartwalk.song import Song
from chartwalk.tempo import next_tempo
from chartwalk.trouble.returning import Return, due_spots, fresh_spots
from chartwalk.trouble.spots import Spot
from chartwalk.trouble.turns import PAUSE, TURN, blocks, in_turns, shared
from chartwalk.trouble.words import return_words, tempo_words

SLOW: Final = Fraction(3, 4)
MOST_A_SPOT: Final = 12  # minutes


class Part(Enum):
    """What a part of a practice is for."""

    SPOT = "spot"
    SLOW = "slow run-through"
    PLEASURE = "for pleasure"
    PAUSE = "pause"


@dataclass(frozen=True, slots=True)
class Item:
    """A part of a plan, ``minutes`` long.

    ``song`` is its id in the log, empty in a pause; ``spot`` is the passage to drill; ``tempo`` is
    that of a slow run-through, in beats a minute of its first bar; ``why`` says it in words.
    """

    part: Part
    minutes: int
    why: str
    song: str = ""
    spot: Spot | None = None
    tempo: Fraction | None = None


def make_plan(
    minutes: int,
    songs: Mapping[str, Song],
    returns: Mapping[Spot, Return],
    passes: Iterable[PassRecord],
    today: date,
) -> tuple[Item, ...]:
    """Return a plan whose items last so many minutes in all; nothing where there is no song.

    ``songs`` are by their ids in the log; ``returns`` tells of each spot when to return to it, and
    spots of other songs are left out. Raises ValueError for less than a minute.
    """
    if minutes < 1:
        raise ValueError("a plan lasts a minute or more")
    if not songs:
        return ()
    known = {spot: back for spot, back in returns.items() if spot.song in songs}
    due = {
        spot: return_words(known[spot], today) if known[spot].day <= today else "marked today"
        for spot in (*due_spots(known, today), *fresh_spots(known, today))
    }
    played = blocks(minutes)
    pieces = _pieces(played, _shares(sum(played), len(due)))
    pleasure = _easiest(songs, known, passes := tuple(passes))
    makers = {
        Part.SPOT: _spot_items(due, pieces),
        Part.SLOW: _slow_items(songs, _slow_songs(songs, due, passes, pleasure), pieces),
        Part.PLEASURE: _pleasure_items(pleasure, pieces),
    }
    return tuple(_laid_out(pieces, makers))


Pieces = Sequence[Sequence[tuple[Part, int]]]
"""The parts of each block of playing with their minutes."""


def _shares(minutes: int, due: int) -> Mapping[Part, int]:
    """Return how many of the minutes played each part is to have."""
    least = min(TURN, minutes) if due else 0
    spots = max(least, min(minutes * 6 // 10, due * MOST_A_SPOT))
    slow = (minutes - spots) * 6 // 10
    return {Part.SPOT: spots, Part.SLOW: slow, Part.PLEASURE: minutes - spots - slow}


def _pieces(played: Sequence[int], shares: Mapping[Part, int]) -> Pieces:
    """Cut the blocks into parts, none shorter than a turn where the block is not."""
    parts = list(shares)
    left = dict(shares)
    pieces = []
    for block in played:
        room, cut = block, []
        while room:
            while parts[1:] and left[parts[0]] < min(TURN, room):
                del parts[0]
            part = min(room, left[parts[0]]) if parts[1:] else room
            part = room if room - part < TURN else part
            left[parts[0]] -= part
            room -= part
            cut.append((parts[0], part))
        pieces.append(cut)
    return pieces


def _laid_out(pieces: Pieces, makers: Mapping[Part, Iterator[Item]]) -> Iterator[Item]:
    for place, block in enumerate(pieces):
        if place:
            yield Item(Part.PAUSE, PAUSE, "stand up and let hands and ears rest")
        for part, minutes in block:
            room = minutes
            while room:
                item = next(makers[part])
                room -= item.minutes
                yield item


def _lengths(pieces: Pieces, part: Part) -> list[int]:
    return [minutes for block in pieces for each, minutes in block if each is part]


def _spot_items(due: Mapping[Spot, str], pieces: Pieces) -> Iterator[Item]:
    """Yield the turns of the spots that are due, told by why they are."""
    lengths = [length for piece in _lengths(pieces, Part.SPOT) for length in shared(piece)]
    turns = in_turns([(spot.song, spot) for spot in due], len(lengths))
    for spot, length in zip(turns, lengths, strict=True):
        yield Item(Part.SPOT, length, due[spot], spot.song, spot)


def _slow_items(songs: Mapping[str, Song], order: Sequence[str], pieces: Pieces) -> Iterator[Item]:
    coming = cycle(order)
    for piece in _lengths(pieces, Part.SLOW):
        room = piece
        while room:
            identity = next(coming)
            song = songs[identity]
            goal = song.bars[song.steps[0].bar].tempo
            tempo = next_tempo(goal * SLOW, False, goal)
            part = min(room, max(TURN, ceil(minutes_of(song) * goal / tempo)))
            part = room if room - part < TURN or not order[1:] else part
            room -= part
            why = f"at {tempo_words(tempo)} of {tempo_words(goal)}"
            yield Item(Part.SLOW, part, why, identity, tempo=tempo)


def _pleasure_items(identity: str, pieces: Pieces) -> Iterator[Item]:
    for piece in _lengths(pieces, Part.PLEASURE):
        yield Item(Part.PLEASURE, piece, "as you like it", identity)


def minutes_of(song: Song) -> Fraction:
    """Return how long a song lasts at its own tempo, once through, in minutes."""
    bars = (song.bars[step.bar] for step in song.steps)
    return sum((bar.length / bar.meter.beat / bar.tempo for bar in bars), Fraction(0))


def _last_days(passes: Iterable[PassRecord]) -> Mapping[str, date]:
    last: dict[str, date] = {}
    for each in passes:
        last[each.song] = max(each.day, last.get(each.song, each.day))
    return last


def _easiest(songs: Mapping[str, Song], spots: Iterable[Spot], passes: Iterable[PassRecord]) -> str:
    """Return the song with the least trouble, of those that were played; of equals, by the day."""
    last = _last_days(passes)
    spots = tuple(spots)

    def ease(identity: str) -> tuple[bool, float, date, str]:
        trouble = fsum(spot.trouble for spot in spots if spot.song == identity)
        return identity not in last, trouble, last.get(identity, date.min), identity

    return min(songs, key=ease)


def _slow_songs(
    songs: Mapping[str, Song], due: Iterable[Spot], passes: Iterable[PassRecord], spared: str
) -> tuple[str, ...]:
    """Return the songs to run through: those with due spots, then those not played for longest."""
    last = _last_days(passes)
    rest = sorted(songs, key=lambda identity: (last.get(identity, date.min), identity))
    order = dict.fromkeys((*(spot.song for spot in due), *rest))
    return tuple(identity for identity in order if identity != spared) or (spared,)
