"""From one palette to the next: what stays and what goes where.

The pairing is the one with the least total of semitone moves, after the notes in common have been
held (Tymoczko, "The Geometry of Musical Chords", *Science* 313, 2006: voice-leading size).
"""

from dataclasses import dataclass
from functools import cache, lru_cache

from chartwalk.chord.palette import Palette
from chartwalk.pitch import Name


@dataclass(frozen=True, slots=True)
class Motion:
    """What a change asks of the hands, by names.

    ``stays`` are the held notes as the new chord spells them; ``moves`` pairs an old note with the
    new one it goes to; ``joins`` are new notes with no old one left to come from and ``leaves`` old
    ones with nowhere to go, where the chords differ in size.
    """

    stays: tuple[Name, ...]
    moves: tuple[tuple[Name, Name], ...]
    joins: tuple[Name, ...]
    leaves: tuple[Name, ...]


def distance(old: Name, new: Name) -> int:
    """Semitones from a note to the nearest of another name, up or down: 0 to 6."""
    up = (new.pitch_class - old.pitch_class) % 12
    return min(up, 12 - up)


@lru_cache(maxsize=4096)
def motion(old: Palette, new: Palette) -> Motion:
    """Return what stays and what moves between the usual tones of two palettes, bass aside."""
    before, after = ([tone.name for tone in palette.usual] for palette in (old, new))
    held = {name.pitch_class for name in before} & {name.pitch_class for name in after}
    stays = tuple(name for name in after if name.pitch_class in held)
    sources = tuple(name for name in before if name.pitch_class not in held)
    targets = tuple(name for name in after if name.pitch_class not in held)
    if len(sources) >= len(targets):
        moves = tuple((old, new) for new, old in _pairs(targets, sources))
    else:
        moves = _pairs(sources, targets)
    used, reached = {pair[0] for pair in moves}, {pair[1] for pair in moves}
    return Motion(
        stays=stays,
        moves=moves,
        joins=tuple(name for name in targets if name not in reached),
        leaves=tuple(name for name in sources if name not in used),
    )


def _pairs(fewer: tuple[Name, ...], more: tuple[Name, ...]) -> tuple[tuple[Name, Name], ...]:
    """Pair each of the fewer names with one of the more, at the least total distance."""

    @cache
    def best(place: int, free: int) -> tuple[int, tuple[int, ...]]:
        if place == len(fewer):
            return 0, ()
        choices = []
        for choice in range(len(more)):
            if free & 1 << choice:
                rest, chosen = best(place + 1, free & ~(1 << choice))
                choices.append((rest + distance(fewer[place], more[choice]), (choice, *chosen)))
        return min(choices)

    _, chosen = best(0, (1 << len(more)) - 1)
    return tuple((name, more[choice]) for name, choice in zip(fewer, chosen, strict=True))
