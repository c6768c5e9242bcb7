"""Which song of one log is which of another, where they share no id."""

from collections.abc import Iterator, Sequence

from chartwalk.log.identity import alike, likeness
from chartwalk.log.records import SongRecord


def matches(ours: Sequence[SongRecord], theirs: Sequence[SongRecord]) -> dict[str, str]:
    """Return the ids of ours by the ids of theirs: one with one, the most alike first.

    It is the same whoever asks.
    """
    pairs = [(our, their) for our, their in _near(ours, theirs) if alike(our, their)]
    found: dict[str, str] = {}
    matched: set[str] = set()
    for our, their in sorted(pairs, key=_order):
        if their.id not in found and our.id not in matched:
            found[their.id] = our.id
            matched.add(our.id)
    return found


def _order(pair: tuple[SongRecord, SongRecord]) -> tuple[float, list[str]]:
    """Sort the most alike first, and equals in an order that both logs agree upon."""
    our, their = pair
    return -likeness(our.prints, their.prints), sorted((our.id, their.id))


def _near(
    ours: Sequence[SongRecord], theirs: Sequence[SongRecord]
) -> Iterator[tuple[SongRecord, SongRecord]]:
    """Yield the pairs that may be alike: with the same title, or with the same bars.

    Comparing each with each would take too long for logs of thousands of songs.
    """
    places: dict[object, list[int]] = {}
    for place, our in enumerate(ours):
        for sign in (our.title, our.prints):
            places.setdefault(sign, []).append(place)
    for their in theirs:
        near = {*places.get(their.title, ()), *places.get(their.prints, ())}
        yield from ((ours[place], their) for place in sorted(near))
