"""The order of parts: ``P:ABAC`` in the header, each part marked in the tune.

Source: ABC 2.1 sections 3.1.9 (the order) and 4.10 (endings that go by the playing of a part).

Where the road can say the order it does: parts played several times on end become repeats, and a
return to the first part at the end becomes D.C. al Fine. Any other order is written out. A part is
played as written, with its repeats, each time it is named; but where its endings have exactly one
number for each time it is named (A2, played twice on end, or more than two), each naming is one
pass and takes its own ending.
"""

import re
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import groupby, pairwise
from typing import Final

from chartwalk.abc.raw import RawBar, RawNote, RawSign
from chartwalk.abc.road import has_jump
from chartwalk.abc.voice import MOST_BARS
from chartwalk.chart import MOST_TIMES, Sign

MOST_PARTS: Final = 500
_TOKEN: Final = re.compile(r"([A-Za-z])|([()])|(\d{1,3})|([.\s,]+)|(.)")

Blocks = tuple[tuple[RawBar, ...], ...]


@dataclass(frozen=True, slots=True)
class Played:
    """Bars in the blocks that the road is built from, and what is to be told."""

    blocks: Blocks
    notices: tuple[str, ...] = ()


def read_order(text: str) -> tuple[str, ...]:
    """Return the parts in the order they are played; raise ValueError on what is no order.

    >>> "".join(read_order("((AB)3.(CD)3)2")), "".join(read_order("A4.B2"))
    ('ABABABCDCDCDABABABCDCDCD', 'AAAABB')
    """
    stack: list[list[str]] = [[]]
    last: list[str] = []  # what a number repeats
    for letter, bracket, number, _, other in _TOKEN.findall(text):
        if other:
            raise ValueError(f"{other!r} is no part: write P:ABAC or P:(AB)2C")
        if letter:
            last = [letter]
            stack[-1] += last
        elif bracket == "(":
            stack.append([])
            last = []
        elif bracket == ")":
            if len(stack) == 1:
                raise ValueError("a bracket is closed that was not opened")
            last = stack.pop()
            stack[-1] += last
        elif number and last:
            if int(number) == 0 or len(last) * int(number) > MOST_PARTS:
                raise ValueError(f"a part is played 1 to {MOST_PARTS} times")
            stack[-1] += last * (int(number) - 1)
            last = []
        if len(stack[-1]) > MOST_PARTS or len(stack) > MOST_PARTS:
            raise ValueError(f"more than {MOST_PARTS} parts")
    if len(stack) > 1:
        raise ValueError("a bracket is never closed")
    return tuple(stack[0])


def play(bars: Sequence[RawBar], order: Sequence[str]) -> Played:
    """Return the bars in the order of their parts."""
    lead, parts = _parts(bars)
    missing = [name for name in dict.fromkeys(order) if name not in parts]
    known = [name for name in order if name in parts]
    told = tuple(f"part {name} is not in the tune" for name in missing)
    unused = [name for name in parts if name not in known]
    if not known:
        return Played((tuple(bars),), (*told, "the order of parts is left out"))
    told += tuple(f"part {name} is not in the order of parts: not played" for name in unused)
    if not unused and (written := _as_written(lead, parts, known)):
        return Played((written,), told)
    return _written_out(lead, parts, known, told)


def _parts(bars: Sequence[RawBar]) -> tuple[tuple[RawBar, ...], dict[str, tuple[RawBar, ...]]]:
    """Cut the bars into those before the first part, and the parts by their names."""
    starts = [place for place, bar in enumerate(bars) if bar.part]
    ends = [*starts[1:], len(bars)]
    parts: dict[str, tuple[RawBar, ...]] = {}
    for start, end in zip(starts, ends, strict=True):
        name = (bars[start].part or "").strip().rstrip(".:")
        parts[name] = parts.get(name, ()) + tuple(bars[start:end])
    return tuple(bars[: starts[0]] if starts else bars), parts


def _as_written(
    lead: tuple[RawBar, ...], parts: Mapping[str, tuple[RawBar, ...]], order: Sequence[str]
) -> tuple[RawBar, ...] | None:
    """Return the bars with marks that have them played in order; None where no marks can."""
    runs = [(name, len(list(group))) for name, group in groupby(order)]
    names = list(parts)
    if tuple(order) == tuple(names):
        return (*lead, *(bar for name in names for bar in parts[name]))
    bare = {name: all(bar.bare for bar in part) for name, part in parts.items()}
    if any(times > 1 and not bare[name] for name, times in runs):
        return None
    returns = len(names) > 1 and [name for name, _ in runs] == [*names, names[0]]
    jumps = any(has_jump(part) for part in parts.values()) or has_jump(lead)
    if returns and (lead or jumps or runs[-1][1] > 1 or runs[0][1] > 1 or not bare[names[0]]):
        return None
    if not returns and [name for name, _ in runs] != names:
        return None
    written = [_repeated(parts[name], times) for name, times in runs[: len(names)]]
    if returns:
        _signed(written[0][-1], Sign.FINE)
        _signed(written[-1][-1], Sign.DC_AL_FINE)
    return (*lead, *(bar for part in written for bar in part))


def _repeated(part: Sequence[RawBar], times: int) -> list[RawBar]:
    """Return a part between repeat signs."""
    copy = [replace(bar, signs=list(bar.signs)) for bar in part]
    if times > 1:
        times = min(times, MOST_TIMES)
        copy[0].opens = copy[-1].closes = times
        copy[-1].double = False
    return copy


def _signed(bar: RawBar, sign: Sign) -> None:
    bar.signs.append(RawSign(sign, len(bar.notes), at_end=True))


def _written_out(
    lead: tuple[RawBar, ...],
    parts: Mapping[str, tuple[RawBar, ...]],
    order: Sequence[str],
    told: tuple[str, ...],
) -> Played:
    """Return the parts one after the other as they are played."""
    named = Counter(order)
    runs = {name for name, after in pairwise(order) if name == after}
    playings: Counter[str] = Counter()
    blocks = [lead] if lead else []
    bars = len(lead)
    for name in order:
        part = parts[name]
        bars += len(part)
        if bars > MOST_BARS:
            return Played((*blocks,), (*told, f"more than {MOST_BARS} bars: the rest is left out"))
        playings[name] += 1
        by_naming = _last_pass(part) == named[name] > 1 and (named[name] > 2 or name in runs)
        passes = 1 if by_naming else _passes(part)
        chosen = tuple(_one_pass(part, playings[name])) if by_naming else part
        last = playings[name] == named[name]
        blocks.append(_sung(chosen, (playings[name] - 1) * passes, None if last else passes))
    message = f"no road marks can say the order of parts {''.join(order)}: it is written out"
    dropped = has_jump(lead) or any(has_jump(part) for part in parts.values())
    more = ("the order of parts goes before D.C., D.S. and their signs",) if dropped else ()
    return Played(tuple(blocks), (*told, message, *more))


def _last_pass(part: Sequence[RawBar]) -> int:
    return max((number for bar in part for number in bar.ending or ()), default=0)


def _passes(part: Sequence[RawBar]) -> int:
    """Return how often the most repeated bars of a part are played."""
    return max([_last_pass(part), *(max(bar.opens, bar.closes) for bar in part)])


def _one_pass(part: Sequence[RawBar], number: int) -> Iterator[RawBar]:
    """Yield the bars of one pass, without repeats, the other endings left out."""
    within: tuple[int, ...] | None = None
    for bar in part:
        within = bar.ending or within
        if within is None or number in within:
            yield replace(bar, ending=None, opens=1, closes=1, times=0)
        if bar.double or bar.closes > 1:
            within = None


def _sung(part: Sequence[RawBar], skipped: int, count: int | None) -> tuple[RawBar, ...]:
    """Return the bars of a part with the verses of one playing, the last where none is left.

    ``count`` is how many it sings; None is for the last playing, which has all that are left.
    """
    verses = max((len(note.words) for bar in part for note in bar.notes), default=0)
    first = min(skipped, max(0, verses - 1))

    def later(note: RawNote) -> RawNote:
        end = None if count is None else first + count
        return replace(note, words=note.words[first:end])

    return tuple(replace(bar, notes=[later(note) for note in bar.notes]) for bar in part)
