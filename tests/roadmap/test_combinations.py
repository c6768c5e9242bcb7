"""Every combination of repeat, endings, jump and mark, each order worked out by hand.

A page has a stretch with its repeat, a bar with the jump, and one bar after it. The first time the
road is the one named before the jump. What is heard after the jump is written by hand for every bar
to which it can lead back and every bar at which the road can be left, and holds for Fine (it ends
there), for To Coda (the coda, the last bar, follows) and, where it is left nowhere, for a plain
D.C. or D.S.

Rules
-----
GEH: Gehrkens, *Music Notation and Terminology*, sections 36 to 39 and the glossary (senza replica):
repeats are not taken again after D.C. or D.S.; a lone closing sign repeats the whole before it.
LMT: *High-Yield Music Theory*, vol. 1, section 1.8, pages 22 and 23: after D.C. al Fine straight to
the last ending; D.S. al Coda to the sign, to the To Coda, to the coda. SJ: Schmidt-Jones,
*Understanding Basic Music Theory*, repeats: one ending a pass. ABC 2.1, sections 4.8 to 4.10: lists
of endings. R: music21 10.5.1, ``test_repeat``: R7 nested repeats, R6 times, R15 ``after-jump``
(MusicXML 4.0, ``repeat``). A-R Editions, house note: the pickup belongs to the beginning. A Fine or
To Coda on the bar line of a repeat that is still to be taken counts after it: common practice, no
source.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import pytest

from chartwalk.chart import Chart
from chartwalk.roadmap import road_notices, unroll

Road = Callable[[str], Chart]

# The name and the rules; the bars before the jump; the order up to the jump, the same where a
# pickup (bar 0) stands before; then a line for each bar the jump leads back to (dc: the beginning),
# with the bar after which the road is left, a colon and what is heard from the jump on. ``end`` is
# the road to the last bar.
PAGES = """
no repeat (R8 to R13)
. / . / .
1 2 3 4 | 0 1 2 3 4
dc: 1: 1; 2: 1 2; 3: 1 2 3; end: 1 2 3 4 5
1: 1: 1; 2: 1 2; 3: 1 2 3; end: 1 2 3 4 5
2: 2: 2; 3: 2 3; end: 2 3 4 5
3: 3: 3; end: 3 4 5

a repeat (GEH)
. / |: / :| / .
1 2 3 2 3 4 5 | 0 1 2 3 2 3 4 5
dc: 1: 1; 2: 1 2; 3: 1 2 3; 4: 1 2 3 4; end: 1 2 3 4 5 6
1: 1: 1; 2: 1 2; 3: 1 2 3; 4: 1 2 3 4; end: 1 2 3 4 5 6
2: 2: 2; 3: 2 3; 4: 2 3 4; end: 2 3 4 5 6
3: 3: 3; 4: 3 4; end: 3 4 5 6
4: 4: 4; end: 4 5 6

a repeat without an opening sign (GEH 36)
. / . / :| / .
1 2 3 1 2 3 4 5 | 0 1 2 3 0 1 2 3 4 5
dc: 1: 1; 2: 1 2; 3: 1 2 3; 4: 1 2 3 4; end: 1 2 3 4 5 6
2: 2: 2; 3: 2 3; 4: 2 3 4; end: 2 3 4 5 6
4: 4: 4; end: 4 5 6

a repeat of one bar, three times (R6, GEH)
. / |:, :| 3x / .
1 2 2 2 3 4 | 0 1 2 2 2 3 4
dc: 1: 1; 2: 1 2; 3: 1 2 3; end: 1 2 3 4 5
2: 2: 2; 3: 2 3; end: 2 3 4 5
3: 3: 3; end: 3 4 5

a repeat that is taken again after the jump (R15)
. / |: / :| again / .
1 2 3 2 3 4 5 | 0 1 2 3 2 3 4 5
dc: 1: 1; 2: 1 2; 3: 1 2 3 2 3; 4: 1 2 3 2 3 4; end: 1 2 3 2 3 4 5 6
2: 2: 2; 3: 2 3 2 3; 4: 2 3 2 3 4; end: 2 3 2 3 4 5 6
4: 4: 4; end: 4 5 6

two repeats (GEH)
. / |:, :| / |: / :| / .
1 2 2 3 4 3 4 5 6 | 0 1 2 2 3 4 3 4 5 6
dc: 1: 1; 2: 1 2; 3: 1 2 3; 4: 1 2 3 4; 5: 1 2 3 4 5; end: 1 2 3 4 5 6 7
2: 2: 2; 3: 2 3; 4: 2 3 4; 5: 2 3 4 5; end: 2 3 4 5 6 7
3: 3: 3; 4: 3 4; 5: 3 4 5; end: 3 4 5 6 7
4: 4: 4; 5: 4 5; end: 4 5 6 7

a repeat in a repeat (R7, GEH)
. / |: / |:, :| / :| / .
1 2 3 3 4 2 3 3 4 5 6 | 0 1 2 3 3 4 2 3 3 4 5 6
dc: 1: 1; 2: 1 2; 3: 1 2 3; 4: 1 2 3 4; 5: 1 2 3 4 5; end: 1 2 3 4 5 6 7
2: 2: 2; 3: 2 3; 4: 2 3 4; 5: 2 3 4 5; end: 2 3 4 5 6 7
3: 3: 3; 4: 3 4; 5: 3 4 5; end: 3 4 5 6 7

endings 1 and 2 (SJ, LMT)
. / |: / . / 1., :| / 2. / .
1 2 3 4 2 3 5 6 7 | 0 1 2 3 4 2 3 5 6 7
dc: 1: 1; 2: 1 2; 3: 1 2 3; 5: 1 2 3 5; 6: 1 2 3 5 6; end: 1 2 3 5 6 7 8
2: 2: 2; 3: 2 3; 5: 2 3 5; 6: 2 3 5 6; end: 2 3 5 6 7 8
3: 3: 3; 5: 3 5; 6: 3 5 6; end: 3 5 6 7 8
5: 5: 5; 6: 5 6; end: 5 6 7 8
6: 6: 6; end: 6 7 8

endings 1 and 2 of two bars (SJ, LMT)
. / |: / 1. / :| / 2. / . / .
1 2 3 4 2 5 6 7 8 | 0 1 2 3 4 2 5 6 7 8
dc: 1: 1; 2: 1 2; 5: 1 2 5; 6: 1 2 5 6; 7: 1 2 5 6 7; end: 1 2 5 6 7 8 9
2: 2: 2; 5: 2 5; 6: 2 5 6; 7: 2 5 6 7; end: 2 5 6 7 8 9
6: 6: 6; 7: 6 7; end: 6 7 8 9

endings 1 and 2 without an opening sign (GEH 36, LMT)
. / . / 1., :| / 2. / .
1 2 3 1 2 4 5 6 | 0 1 2 3 0 1 2 4 5 6
dc: 1: 1; 2: 1 2; 4: 1 2 4; 5: 1 2 4 5; end: 1 2 4 5 6 7
2: 2: 2; 4: 2 4; 5: 2 4 5; end: 2 4 5 6 7

endings 1 and 2, taken again after the jump (R15, SJ)
. / |: / 1., :| again / 2. / .
1 2 3 2 4 5 6 | 0 1 2 3 2 4 5 6
dc: 1: 1; 2: 1 2; 4: 1 2 3 2 4; 5: 1 2 3 2 4 5; end: 1 2 3 2 4 5 6 7
2: 2: 2; 4: 2 3 2 4; 5: 2 3 2 4 5; end: 2 3 2 4 5 6 7

endings 1, 2 and 3 (SJ, LMT)
. / |: / 1., :| / 2., :| / 3. / .
1 2 3 2 4 2 5 6 7 | 0 1 2 3 2 4 2 5 6 7
dc: 1: 1; 2: 1 2; 5: 1 2 5; 6: 1 2 5 6; end: 1 2 5 6 7 8
2: 2: 2; 5: 2 5; 6: 2 5 6; end: 2 5 6 7 8
6: 6: 6; end: 6 7 8

one ending for 1 and 2, one for 3 (ABC 4.10, LMT)
. / |: / 1. 2., :| / 3. / .
1 2 3 2 3 2 4 5 6 | 0 1 2 3 2 3 2 4 5 6
dc: 1: 1; 2: 1 2; 4: 1 2 4; 5: 1 2 4 5; end: 1 2 4 5 6 7
2: 2: 2; 4: 2 4; 5: 2 4 5; end: 2 4 5 6 7
5: 5: 5; end: 5 6 7

endings in turns, 1 and 3 and 2 and 4 (ABC 4.10, LMT)
. / |: / 1. 3., :| / 2. 4., :| / .
1 2 3 2 4 2 3 2 4 5 6 | 0 1 2 3 2 4 2 3 2 4 5 6
dc: 1: 1; 2: 1 2; 4: 1 2 4; 5: 1 2 4 5; end: 1 2 4 5 6 7
2: 2: 2; 4: 2 4; 5: 2 4 5; end: 2 4 5 6 7

a repeat and then endings (GEH, LMT)
|:, :| / |: / 1., :| / 2. / .
1 1 2 3 2 4 5 6 | 0 1 1 2 3 2 4 5 6
dc: 1: 1; 2: 1 2; 4: 1 2 4; 5: 1 2 4 5; end: 1 2 4 5 6 7
1: 1: 1; 2: 1 2; 4: 1 2 4; 5: 1 2 4 5; end: 1 2 4 5 6 7
2: 2: 2; 4: 2 4; 5: 2 4 5; end: 2 4 5 6 7

endings twice (SJ, LMT)
|: / 1., :| / 2. / |: / 1., :| / 2.
1 2 1 3 4 5 4 6 7 | 0 1 2 1 3 4 5 4 6 7
dc: 1: 1; 3: 1 3; 4: 1 3 4; 6: 1 3 4 6; end: 1 3 4 6 7 8
1: 1: 1; 3: 1 3; 4: 1 3 4; 6: 1 3 4 6; end: 1 3 4 6 7 8
4: 4: 4; 6: 4 6; end: 4 6 7 8
"""


@dataclass(frozen=True)
class Case:
    """A layout and the order heard; the bars counted from 1, a pickup is 0."""

    name: str
    layout: str
    order: list[int]
    pickup: bool


def numbers(text: str) -> list[int]:
    return [int(word) for word in text.split()]


def marked(cells: list[str], marks: dict[int, str]) -> list[str]:
    """Add marks to bars, counted from 1."""
    return [
        ", ".join(part for part in (cell if cell != "." else "", marks.get(bar, "")) if part) or "."
        for bar, cell in enumerate(cells, 1)
    ]


def cases() -> Iterator[Case]:
    for page in PAGES.strip().split("\n\n"):
        name, bars, before, *lines = page.split("\n")
        cells = [*bars.split(" / "), "."]
        plain, with_pickup = before.split(" | ")
        for pickup, first in ((False, numbers(plain)), (True, numbers(with_pickup))):
            yield Case(f"{name}, no jump", *_page(cells, {}, first[:-1], [], pickup=pickup))
            for line in lines:
                back, _, leaves = line.partition(": ")
                for leave in leaves.split("; "):
                    bar, _, after = leave.partition(": ")
                    begin = [0] if pickup and back == "dc" else []
                    heard = begin + numbers(after)
                    for words, layout in _jumps(cells, back, bar, heard):
                        title = f"{name}, {words} back to {back}, left after {bar}"
                        yield Case(title, *_page(cells, *layout, pickup=pickup, first=first))


Layout = tuple[dict[int, str], list[int]]


def _jumps(cells: list[str], back: str, bar: str, heard: list[int]) -> Iterator[tuple[str, Layout]]:
    """The marks for each kind of jump, and what is heard from the jump on."""
    jump, coda = len(cells), len(cells) + 1
    kind = "dc" if back == "dc" else "ds"
    segno = {} if back == "dc" else {int(back): "segno"}
    if bar == "end":
        yield kind, (_merged(segno, {jump: kind}), heard)
        return
    fine = _merged(segno, {int(bar): "fine"}, {jump: f"{kind} al fine"})
    yield f"{kind} al fine", (fine, heard)
    leave = _merged(segno, {int(bar): "to coda"}, {jump: f"{kind} al coda"}, {coda: "coda"})
    yield f"{kind} al coda", (leave, [*heard, coda])


def _merged(*marks: dict[int, str]) -> dict[int, str]:
    found: dict[int, str] = {}
    for some in marks:
        for bar, mark in some.items():
            found[bar] = ", ".join(filter(None, (found.get(bar), mark)))
    return found


def _page(
    cells: list[str], marks: dict[int, str], heard: list[int], first: list[int], *, pickup: bool
) -> tuple[str, list[int], bool]:
    layout = marked([*cells, "."] if first else cells[:-1], marks)
    return " / ".join(["0 ."] * pickup + layout), [*first, *heard], pickup


CASES = list(cases())


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case.name}{', pickup' * case.pickup}")
def test_order(road: Road, case: Case) -> None:
    chart = road(case.layout)
    first = 0 if case.pickup else 1
    assert [step.bar + first for step in unroll(chart)] == case.order, case.layout
    unheard = sorted(set(range(first, len(chart.bars) + first)) - set(case.order))
    told = [notice for notice in road_notices(chart) if "never played" in notice.message]
    assert sum(_told(notice.message) for notice in told) == len(unheard)
    assert [notice.index + first for notice in told] == [
        bar for bar in unheard if bar - 1 not in unheard
    ]


def _told(message: str) -> int:
    """How many bars a notice says are never played."""
    found = [int(word) for word in message.partition(":")[0].split() if word.isdigit()]
    return found[-1] - found[0] + 1


def test_the_table_has_every_combination() -> None:
    jumps = ["no jump", "dc ", "ds ", "dc al fine", "ds al fine", "dc al coda", "ds al coda"]
    pages = [page.split("\n")[0] for page in PAGES.strip().split("\n\n")]
    for page in pages:
        for jump in jumps:
            for pickup in (False, True):
                assert any(
                    case.name.startswith(f"{page}, {jump}") and case.pickup is pickup
                    for case in CASES
                ), (page, jump)


# Where the jump stands: on the bar line of a repeat, in an ending, before a repeat, in a repeat.
JUMP_PLACES = """
repeat first, then the jump (R16)        | . / |: / :|, dc / .            | 1 2 3 2 3 1 2 3 4
repeat first, al Fine in the repeat      | . / |:, fine / :|, dc al fine  | 1 2 3 2 3 1 2
repeat first, back into it               | |: / segno / :|, ds / .        | 1 2 3 1 2 3 2 3 4
jump in the last ending (SJ, LMT)        | fine / |: / 1., :| / 2., dc al fine | 1 2 3 2 4 1
jump in the last ending, Fine in it      | |: / 1., :| / 2., fine / dc al fine | 1 2 1 3 4 1 3
al Coda from the last ending (LMT) | . / |:, segno / to coda / 1., :| / 2., ds al coda / coda \
| 1 2 3 4 2 3 5 2 3 6
jump in a closed last ending (SJ)        | |: / 1., :| / 2., :|, dc / .   | 1 2 1 3 1 3 4
a repeat after the jump is new (GEH)     | . / dc / |: / :|               | 1 2 1 2 3 4 3 4
endings after the jump are new (SJ)      | . / dc / |: / 1., :| / 2.      | 1 2 1 2 3 4 3 5
Fine under the sign of a new repeat      | . / dc al fine / |: / :|, fine / . | 1 2 1 2 3 4 3 4
a repeat in the coda is new (GEH)       | to coda / dc al coda / |:, coda / :| / . | 1 2 1 3 4 3 4 5
endings in the coda are new (SJ)         | to coda / dc al coda / |:, coda / 1., :| / 2. \
| 1 2 1 3 4 3 5
Fine in the coda                         | to coda / dc al coda / coda / fine / . | 1 2 1 3 4
Fine after a repeat in the coda          | to coda / dc al coda / |:, coda / :|, fine / . \
| 1 2 1 3 4 3 4
the coda is the next bar                 | . / . / dc al coda, to coda / coda | 1 2 3 1 2 3 4
segno in the last ending (LMT)           | |: / 1., :| / 2., segno / ds / . | 1 2 1 3 4 3 4 5
"""


@pytest.mark.parametrize(
    ("name", "layout", "order"),
    [[cell.strip() for cell in line.split(" | ")] for line in JUMP_PLACES.strip().split("\n")],
)
def test_where_the_jump_stands(road: Road, name: str, layout: str, order: str) -> None:
    assert [step.bar + 1 for step in unroll(road(layout))] == numbers(order)
