"""Drawings for the lesson's page, as SVG: minutes by day, and a spot's tempo and marks by day.

Shapes carry the meaning, colour only repeats it: clean tempos are discs on a line, marks are
crosses, the goal is a dashed line.
"""

from collections.abc import Sequence
from datetime import date
from fractions import Fraction
from html import escape
from typing import Final

from chartwalk.trouble.glance import History
from chartwalk.trouble.words import count_words, tempo_words

WIDTH: Final = 600
HEIGHT: Final = 120
LEFT, RIGHT, TOP, BOTTOM = 40, 10, 14, 20  # room for the figures at the edges
MONTHS: Final = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"]

INK: Final = "#1a1a1a"
MUTED: Final = "#555555"
PRACTICE: Final = "#1f5fa8"
TROUBLE: Final = "#a3261f"
PAPER: Final = "#ffffff"


def day_words(day: date) -> str:
    """Write a day without its year, in any locale alike.

    >>> day_words(date(2031, 5, 5))
    '5 May'
    """
    return f"{day.day} {MONTHS[day.month - 1]}"


def minutes_figure(minutes: Sequence[tuple[date, float]]) -> str:
    """Draw the minutes of some days in a row as columns."""
    most = max([1.0, *(spent for _, spent in minutes)])
    wide = (WIDTH - LEFT - RIGHT) / len(minutes)
    columns = [
        f'<rect x="{LEFT + place * wide + wide * 0.1:.1f}" y="{_height(spent / most):.1f}" '
        f'width="{wide * 0.8:.1f}" height="{_height(0) - _height(spent / most):.1f}" '
        f'fill="{PRACTICE}"/>'
        for place, (_, spent) in enumerate(minutes)
    ]
    (first, _), (last, _) = minutes[0], minutes[-1]
    said = ", ".join(f"{day_words(day)}: {spent:.0f}" for day, spent in minutes if spent)
    return _svg(
        f"Minutes by day. {said or 'None'}.",
        [
            *columns,
            _rule(_height(0), INK),
            _text(LEFT - 4, _height(1) + 4, f"{most:.0f}", "end"),
            _text(LEFT - 4, _height(0) + 4, "0", "end"),
            *_ends(first, last),
        ],
    )


def history_figure(history: History) -> str:
    """Draw a spot over its days: clean tempos against the goal, marks below."""
    days = history.days
    top = max([history.goal, *(tempo for _, tempo in history.tempos)])
    points = [
        (_across(day, days), _height(float(tempo / top) * 0.8 + 0.2))
        for day, tempo in history.tempos
    ]
    goal = _height(float(history.goal / top) * 0.8 + 0.2)
    return _svg(
        _history_words(history),
        [
            _rule(goal, MUTED, "6 4"),
            _text(LEFT - 4, goal + 4, tempo_words(history.goal), "end"),
            _polyline(points),
            *(f'<circle cx="{x:.1f}" cy="{y:.1f}" r="4" fill="{PRACTICE}"/>' for x, y in points),
            *(_cross(_across(day, days), _height(0.06), count) for day, count in history.marks),
            _rule(_height(0), INK),
            *_ends(days[0], days[-1]),
        ],
    )


def _history_words(history: History) -> str:
    marks = (f"{day_words(day)}: {count_words(count, 'mark')}" for day, count in history.marks)
    tempos = (f"{day_words(day)}: clean at {tempo_words(tempo)}" for day, tempo in history.tempos)
    return f"Goal {tempo_words(history.goal)}. {', '.join((*marks, *tempos))}."


def _height(part: float) -> float:
    """Return how far down a part of the whole height stands, 0 at the bottom."""
    return TOP + (1 - part) * (HEIGHT - TOP - BOTTOM)


def _across(day: date, days: Sequence[date]) -> float:
    span = (days[-1] - days[0]).days or 1
    inside = WIDTH - LEFT - RIGHT - 20
    return LEFT + 10 + inside * float(Fraction((day - days[0]).days, span))


def _polyline(points: Sequence[tuple[float, float]]) -> str:
    if not points:
        return ""
    line = " ".join(f"{x:.1f},{y:.1f}" for x, y in points)
    return f'<polyline points="{line}" fill="none" stroke="{PRACTICE}" stroke-width="2"/>'


def _cross(x: float, y: float, count: int) -> str:
    strokes = f"M{x - 4:.1f} {y - 4:.1f}l8 8m0 -8l-8 8"
    number = _text(x, y - 7, f"{count}", "middle") if count > 1 else ""
    return f'<path d="{strokes}" fill="none" stroke="{TROUBLE}" stroke-width="2"/>{number}'


def _rule(y: float, ink: str, dashes: str = "none") -> str:
    return (
        f'<line x1="{LEFT}" y1="{y:.1f}" x2="{WIDTH - RIGHT}" y2="{y:.1f}" '
        f'stroke="{ink}" stroke-dasharray="{dashes}"/>'
    )


def _ends(first: date, last: date) -> list[str]:
    below = HEIGHT - 5
    ends = [_text(LEFT, below, day_words(first), "start")]
    if last != first:
        ends.append(_text(WIDTH - RIGHT, below, day_words(last), "end"))
    return ends


def _text(x: float, y: float, text: str, anchor: str) -> str:
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" font-size="12" fill="{INK}" '
        f'text-anchor="{anchor}">{escape(text)}</text>'
    )


def _svg(words: str, parts: Sequence[str]) -> str:
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {HEIGHT}" role="img" '
        f'aria-label="{escape(words)}">{"".join(parts)}</svg>'
    )
