"""Holding on to a bar while its chart is edited: fingerprints, and finding a bar again by them.

A fingerprint tells what a bar holds (chords, tune, words) and nothing that changes when bars are
put in elsewhere or the song is counted anew: not its number, key, meter, tempo or road marks.
"""

from collections.abc import Sequence
from collections.abc import Set as AbstractSet
from hashlib import blake2b

from chartwalk.chart import Bar, Chart, Note, Syllable
from chartwalk.log.follow import follow
from chartwalk.log.records import Anchor


def fingerprint(bar: Bar) -> str:
    """Return 16 hex digits for what a bar holds.

    They stand in every log, so what goes into them never changes.

    >>> fingerprint(Bar("1")) == fingerprint(Bar("2"))
    True
    """
    chords = " ".join(f"{change.at}:{change.symbol.text}" for change in bar.changes)
    tune = " ".join(map(_note, bar.tune))
    verses = "|".join(" ".join(map(_syllable, verse)) for verse in bar.words)
    text = f"{chords}\n{tune}\n{verses}"
    return blake2b(text.encode("utf-8", "surrogatepass"), digest_size=8).hexdigest()


def _note(note: Note) -> str:
    return f"{note.pitch or 'r'}:{note.length}{'~' if note.tied else ''}"


def _syllable(syllable: Syllable) -> str:
    return f"{syllable.text}{'-' if syllable.joined else ''}"


def fingerprints(chart: Chart) -> tuple[str, ...]:
    """Return the fingerprint of each written bar."""
    return tuple(fingerprint(bar) for bar in chart.bars)


def anchor_at(bars: Sequence[Bar], index: int) -> Anchor:
    """Return what to hold on to at a written bar, given all of them."""
    around = range(index - 1, index + 2)
    before, here, after = (fingerprint(bars[i]) if 0 <= i < len(bars) else "" for i in around)
    return Anchor(here, before, after, index, bars[index].number)


def place(
    anchor: Anchor, prints: Sequence[str], taken: AbstractSet[int] = frozenset()
) -> int | None:
    """Return the bar (index) an anchor holds on to in a chart, by its bars' fingerprints, or None.

    What the bar held decides: of bars that hold it, the one with most of its neighbours, and among
    equals the one nearest to where it stood. If none does, its content was changed: then it is the
    bar between its two neighbours, if there is just one such place and it is not ``taken`` (known
    to be another bar).

    >>> place(Anchor("b", "a", "c", 1, "2"), ["x", "a", "b", "c"])
    2
    >>> place(Anchor("b", "a", "c", 1, "2"), ["x", "a", "new", "c"])
    2
    >>> place(Anchor("b", "a", "c", 1, "2"), ["x", "a", "new", "y"])
    """
    same = [index for index, print_ in enumerate(prints) if print_ == anchor.print_]
    if same:
        return min(same, key=lambda i: (-_neighbours(anchor, prints, i), abs(i - anchor.bar)))
    between = [i for i in range(len(prints)) if _neighbours(anchor, prints, i) == 2]
    return between[0] if len(between) == 1 and between[0] not in taken else None


def _neighbours(anchor: Anchor, prints: Sequence[str], index: int) -> int:
    """Count the neighbours of an anchor that stand beside a bar."""
    before = prints[index - 1] if index else ""
    after = prints[index + 1] if index + 1 < len(prints) else ""
    return (before == anchor.before) + (after == anchor.after)


class Moved:
    """Where the bars of a chart that was edited are now, by its fingerprints before and after.

    Without the ones before, what the bars held decides alone.

    >>> moved = Moved(["a", "b", "c"], ["x", "a", "b", "c"])
    >>> moved.bar(Anchor("b", "a", "c", 1, "2"), 1), moved.bar(Anchor("y", "b", "d", 2, "3"), None)
    (2, None)
    """

    def __init__(self, before: Sequence[str], now: Sequence[str]) -> None:
        self._moves = follow(before, now) if before else {}
        self._taken = frozenset(self._moves.values())
        self._now = now

    def bar(self, anchor: Anchor, before: int | None) -> int | None:
        """Return the bar (index) of an anchor that stood at a bar before; None where it is gone.

        An anchor that knows its place alone stays there.
        """
        if not anchor.print_:
            return before
        now = None if before is None else self._moves.get(before)
        return place(anchor, self._now, self._taken) if now is None else now


def place_by_number(anchor: Anchor, numbers: Sequence[str]) -> int | None:
    """Return the bar that is printed with an anchor's number, for one that knows nothing else.

    Where a number stands twice it is the bar with the old index, or none.
    """
    if anchor.bar < len(numbers) and numbers[anchor.bar] == anchor.number:
        return anchor.bar
    found = [index for index, number in enumerate(numbers) if number == anchor.number]
    return found[0] if len(found) == 1 else None
