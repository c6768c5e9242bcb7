"""The whole song on one page as written, with the path through it: a cursor, passes and jumps.

A system is a row of bars. Each bar takes three rows: its number and marks, its chords between bar
lines, and the passes on which it is played. ``2→21`` says that on pass 2 the road goes on in bar
21; without an arrow it goes on to the next bar of the page. The pass under the cursor stands in
brackets.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import accumulate
from typing import Final

from chartwalk_tui.widgets.drawing import Drawing, Picture, Row, clip, pad, row_width

BARS_A_ROW: Final = ((8, 18), (4, 13), (2, 13))
"""How many full bars a system has where each gets so many columns; else one."""

PICKUP: Final = 9  # columns of a pickup
EDGE: Final = 2  # columns at the right: the last bar line, and the arrows of what is out of sight
ROWS: Final = 3  # of a system, without its heading
HERE: Final = "●"


@dataclass(frozen=True, slots=True)
class Visit:
    """One time that the road comes to a bar: its step, its pass, and where it jumps to, if so."""

    step: int
    label: str
    to: str = ""


@dataclass(frozen=True, slots=True)
class PageBar:
    """A written bar.

    ``begins`` starts a section, with ``section`` as its name where it has one. ``before`` and
    ``after`` are the signs at its start and end, ``short`` those at the end in little room;
    ``ending`` is the label of an ending that starts here, ``bracket`` says that one lies over the
    bar, ``hook`` that it stops. ``opens`` and ``line`` are the repeat sign at the start, and the
    line at the end where it is no plain one. ``news`` tells a new meter, key, tempo or feel.
    """

    number: str
    chords: str
    visits: tuple[Visit, ...]
    begins: bool = False
    section: str = ""
    before: str = ""
    after: str = ""
    short: str = ""
    ending: str = ""
    bracket: bool = False
    hook: bool = False
    opens: bool = False
    line: str = ""
    news: str = ""
    marks: int = 0
    flag: bool = False
    pickup: bool = False


@dataclass(frozen=True, slots=True)
class PageView:
    """The page; ``step`` and ``bar`` are under the cursor, ``here`` is the bar of the Stand."""

    bars: tuple[PageBar, ...]
    step: int
    bar: int
    here: int


def bars_a_row(width: int) -> int:
    """Return how many full bars a system has in some columns."""
    return next((count for count, least in BARS_A_ROW if (width - EDGE) // count >= least), 1)


def systems(bars: Sequence[PageBar], width: int) -> tuple[range, ...]:
    """Return the systems as ranges of bars; a section begins a new one, a pickup fits beside."""
    most = bars_a_row(width)
    starts: list[int] = []
    room = 0
    for index, bar in enumerate(bars):
        crowded = bar.pickup and index - starts[-1] > most if starts else True
        if bar.begins or crowded or (room == 0 and not bar.pickup):
            starts.append(index)
            room = most
        room -= not bar.pickup
    return tuple(map(range, starts, [*starts[1:], len(bars)]))


def draw_page(value: PageView, width: int, height: int) -> Picture:
    """Draw as much of the page as there is room for, the cursor's system in its middle."""
    rows = systems(value.bars, width)
    sizes = [ROWS + bool(value.bars[row[0]].section) for row in rows]
    if sum(sizes) + len(rows) <= height:
        sizes = [size + 1 for size in sizes]
    tops = [0, *accumulate(sizes)]
    cursor = next((place for place, row in enumerate(rows) if value.bar in row), 0)
    middle = (tops[cursor] + tops[cursor + 1] - height) // 2 if rows else 0
    least = min(middle, tops[-1] - height)
    top = next(start for start in tops if start >= least)
    picture: Picture = []
    for place, row in enumerate(rows):
        if top <= tops[place] < top + height:
            picture += [*_system(value, row, width), []][: sizes[place]]
    return _with_arrows(picture[:height], width, top > 0, tops[-1] > top + height)


def _with_arrows(picture: Picture, width: int, above: bool, below: bool) -> Picture:
    """Tell that the page goes on above or below."""
    picture = [clip(line, width) for line in picture]
    for shown, place, arrow in ((above, 0, "▲"), (below, -1, "▼")):
        if shown and picture and width:
            picture[place] = [*pad(picture[place], width - 1), (arrow, "jump")]
    return picture


def _system(value: PageView, row: range, width: int) -> Iterator[Row]:
    first = value.bars[row[0]]
    if first.section:
        yield [*_filled([(f" {first.section} ", "title")], width - EDGE + 1, "faint", "─")]
    pickups = sum(value.bars[index].pickup for index in row)
    small = min(PICKUP, width // 3)
    full = max(1, (width - EDGE - small * pickups) // bars_a_row(width))
    lines: Picture = [[], [], []]
    for index in row:
        size = small if value.bars[index].pickup else full
        for line, cell in zip(lines, _bar(value, index, size), strict=True):
            line.extend(pad(cell, size))
    if not value.bars[row[-1]].line:
        lines[1].append(("│", "faint"))
    yield from lines


def _bar(value: PageView, index: int, width: int) -> tuple[Row, Row, Row]:
    bar, cursor = value.bars[index], index == value.bar
    edge = ("▌", "cursor") if cursor else (" ", "plain")
    signs = _signs(bar, width - 1, cursor=cursor, here=index == value.here)
    left: Row = [edge if cursor else ("│", "faint"), (":" if bar.opens else "", "jump")]
    if bar.opens and not cursor:
        left = [("|:", "jump")]
    role = "accent" if cursor else "strong"
    room = width - row_width(left) - len(bar.line)
    chords = [*left, *_filled([(bar.chords, role)], room, role), (bar.line, "jump")]
    return [edge, *signs], chords, [edge, *_visits(bar, value.step, width - 1, cursor=cursor)]


def _filled(row: Row, width: int, role: str, sign: str = " ") -> Row:
    """Clip a row, or fill it up with a sign."""
    row = clip(row, width)
    return [*row, (sign * (width - row_width(row)), role)]


def _signs(bar: PageBar, width: int, *, cursor: bool, here: bool) -> Row:
    """Draw the row above the chords: the number, marks, and signs at both ends of the bar."""
    left: Row = [(bar.number, "now" if cursor else "dim")]
    left.append((f" {HERE}" if here else "", "here"))
    left.append((" !" if bar.flag else "", "mark"))
    left.append((f" {'×' * min(bar.marks, 3)}" if bar.marks else "", "mark"))
    left.append((f" {bar.before}" if bar.before else "", "jump"))
    left.append((f" {bar.news}" if bar.news else "", "next"))
    left.append((f" ┌{bar.ending}" if bar.ending else " " if bar.bracket else "", "jump"))
    after = bar.after if row_width(left) + len(bar.after) < width else bar.short
    right: Row = [(f" {after}" if after else "", "jump"), ("┐" if bar.hook else "", "jump")]
    fill = "─" if bar.bracket else " "
    return [*_filled(left, max(0, width - row_width(right)), "jump", fill), *right]


def _visits(bar: PageBar, step: int, width: int, *, cursor: bool) -> Row:
    """Draw the passes on which a bar is played; where they are many, those around the cursor."""
    visits = bar.visits
    if not visits:
        return [("not played", "mark")]
    here = next((place for place, visit in enumerate(visits) if visit.step == step), 0)
    row: Row = []
    for count in range(len(visits), 0, -1):
        first = max(0, min(here - count // 2, len(visits) - count))
        last = first + count
        row = [("…", "dim")] if first else []
        for visit in visits[first:last]:
            row += [*_visit(visit, now=cursor and visit.step == step), (" ", "plain")]
        row = [*row[:-1], *([("…", "dim")] if last < len(visits) else [])]
        if row_width(row) <= width:
            break
    return row


def _visit(visit: Visit, *, now: bool) -> Row:
    to = f"→{visit.to}" if visit.to else ""
    if now:
        return [(f"[{visit.label}{to}]", "now")]
    return [(visit.label, "plain"), (to, "jump")]


class RoadPage(Drawing[PageView]):
    """Shows the page."""

    def draw(self, value: PageView, width: int, height: int) -> Picture:
        """Draw the page at the size of the widget."""
        return draw_page(value, width, height)
