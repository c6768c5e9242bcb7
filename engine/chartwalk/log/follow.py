"""Which bar of a chart became which when it was edited.

Reference: P. Heckel, "A technique for isolating differences between files", Communications of the
ACM 21(4), 1978: what stands once in both is the same; from there, equal neighbours are the same.
"""

from collections import defaultdict
from collections.abc import Sequence


def follow(old: Sequence[str], new: Sequence[str]) -> dict[int, int]:
    """Return where the bars of the old chart stand in the new one, by their fingerprints.

    A bar whose content stands once in both is never taken for another one, wherever it was moved.
    The bars beside two that are known to be the same are the same if they are equal, and the ends
    of the chart count as known. A bar that was changed is known by both its neighbours. Of equal
    bars that are left the order decides.

    >>> follow("abcd", "xabYd")
    {0: 1, 1: 2, 3: 4, 2: 3}
    """
    moves = _Moves(old, new)
    for here, there in moves.left():
        if len(here) == len(there) == 1:
            moves.add(here[0], there[0])
    moves.spread()
    moves.bridge()
    for here, there in moves.left():
        for index, to in zip(here, there, strict=False):
            moves.add(index, to)
    moves.bridge()
    return {index: to for index, to in moves.known.items() if 0 <= index < len(old)}


class _Moves:
    """What is known so far; the ends of the charts are known from the start."""

    def __init__(self, old: Sequence[str], new: Sequence[str]) -> None:
        self.old, self.new = old, new
        self.known = {-1: -1, len(old): len(new)}
        self.taken = {-1, len(new)}

    def add(self, index: int, to: int) -> None:
        """Know where a bar went, if neither it nor that place is known already."""
        if index not in self.known and to not in self.taken:
            self.known[index] = to
            self.taken.add(to)

    def left(self) -> list[tuple[list[int], list[int]]]:
        """Return the places of each content in both charts, as far as nothing is known of them."""
        places: dict[str, tuple[list[int], list[int]]] = defaultdict(lambda: ([], []))
        for index, print_ in enumerate(self.old):
            if index not in self.known:
                places[print_][0].append(index)
        for to, print_ in enumerate(self.new):
            if to not in self.taken:
                places[print_][1].append(to)
        return list(places.values())

    def spread(self) -> None:
        """Know equal neighbours of what is known, forwards and then backwards."""
        for step, indices in ((1, range(len(self.old))), (-1, range(len(self.old) - 1, -1, -1))):
            for index in indices:
                near = self.known.get(index - step)
                to = -1 if near is None else near + step
                if 0 <= to < len(self.new) and self.new[to] == self.old[index]:
                    self.add(index, to)

    def bridge(self) -> None:
        """Know the one bar between two neighbours, whatever it holds now."""
        for index in range(len(self.old)):
            before, after = self.known.get(index - 1), self.known.get(index + 1)
            if before is not None and after == before + 2:
                self.add(index, before + 1)
