"""The whole song as written in one strip: how much trouble each bar gives, from left to right."""

from dataclasses import dataclass
from typing import Final

from chartwalk_tui.widgets.drawing import Drawing, Picture, Row, clip, joined

SHADES: Final = "·░▒▓█"
STRONG: Final = (0.0, 0.4, 0.8, 1.5)  # trouble from which the next shade is drawn


@dataclass(frozen=True, slots=True)
class HeatBar:
    """One written bar: its printed number, its trouble, whether a section begins with it."""

    number: str
    trouble: float = 0.0
    begins: bool = False
    here: bool = False


@dataclass(frozen=True, slots=True)
class Heat:
    """The bars of a song as written, and what stands before them."""

    title: str
    bars: tuple[HeatBar, ...] = ()


class HeatStrip(Drawing[Heat]):
    """Shows the strip: shades above, bar numbers below."""

    def draw(self, value: Heat, width: int, height: int) -> Picture:
        """Draw the shades and the numbers; a long song takes as many bars a cell as it needs."""
        return draw_heat(value, width)


def draw_heat(value: Heat, width: int) -> Picture:
    """Draw a title, a row of shades and a row of numbers."""
    if not value.bars:
        return [clip([(f" {value.title}", "dim")], width)]
    cell = 2 if 2 * len(value.bars) <= width - 2 else 1
    together = -(-len(value.bars) * cell // max(1, width - 2))  # bars that share a cell
    groups = [value.bars[start : start + together] for start in range(0, len(value.bars), together)]
    shades: Row = [(" ", "plain")]
    numbers, room = " ", 0
    for place, group in enumerate(groups):
        worst = max(bar.trouble for bar in group)
        role = "here" if any(bar.here for bar in group) else "mark" if worst else "dim"
        shades.append((_shade(worst) * cell, role))
        at = 1 + place * cell
        if len(numbers) <= at and (any(bar.begins for bar in group) or place >= room):
            numbers += " " * (at - len(numbers)) + group[0].number + " "
            room = place + 8 // cell
    return [
        clip([(f" {value.title}", "strong")], width),
        clip(joined(shades), width),
        clip([(numbers.rstrip(), "dim")], width),
    ]


def _shade(trouble: float) -> str:
    return SHADES[sum(trouble > limit for limit in STRONG)]
