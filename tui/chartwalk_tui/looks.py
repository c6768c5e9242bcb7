"""The colours of the four looks. Widgets name roles, never colours; meaning is never colour alone.

Text reaches 4.5 to 1 on every ground it stands on (WCAG 2.2, 1.4.3), and what is drawn and tells
something 3 to 1 (1.4.11); a test works it out.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True, slots=True)
class Look:
    """The colours of one look.

    ``inks`` are those of the roles, ``grounds`` what lies under the roles that have a ground of
    their own; the others stand on ``background``, ``surface`` (lines at the edges) or ``panel``
    (messages and pages).
    """

    name: str
    dark: bool
    background: str
    surface: str
    panel: str
    inks: Mapping[str, str]
    grounds: Mapping[str, str]


TEXTS: Final = ("plain", "dim", "faint", "now", "next", "bass", "mark", "strong")
LIKE: Final = {
    "here": "now", "tension": "next", "moves": "strong", "stays": "dim", "jump": "now",
    "beat": "strong", "accent": "now", "title": "strong", "cursor": "now",
}  # fmt: skip
"""Roles that share their ink with another."""


def _inks(*colours: str) -> dict[str, str]:
    """Return the inks of the roles that are text or lines; ``colours`` go as in TEXTS."""
    inks = dict(zip(TEXTS, colours, strict=True))
    return inks | {role: inks[like] for role, like in LIKE.items()}


HARBOUR: Final = Look(
    "harbour", True, "#101c24", "#16252f", "#1d303c",
    _inks("#dfe5e8", "#a3b4bf", "#66808f", "#ffc56b", "#8fd6c8", "#e0a3d0", "#ff8f7a", "#f4f1e8")
    | {
        "white": "#5c6b76", "black": "#1a2730", "root-key": "#1a1206", "tone-key": "#0c2a26",
        "tension-key": "#0c2a26", "bass-key": "#2b0f25", "spare-key": "#3c474d",
    },
    {
        "white": "#e9e4d8", "black": "#1a2730", "root-key": "#ffb84d", "tone-key": "#6fd0bd",
        "tension-key": "#b4e4a0", "bass-key": "#e0a3d0", "spare-key": "#b9cfc6",
        "beat": "#26404f", "accent": "#4f360d",
    },
)  # fmt: skip
"""Lamplight on dark water."""

DAYLIGHT: Final = Look(
    "daylight", False, "#f6f2e7", "#ebe5d4", "#e2dac5",
    _inks("#26323a", "#4c5a64", "#6c7881", "#7c4a00", "#0d5c50", "#7a2566", "#a3261f", "#11181d")
    | {
        "white": "#5c6b76", "black": "#2a353c", "root-key": "#1a1206", "tone-key": "#06231f",
        "tension-key": "#0c2a26", "bass-key": "#2b0f25", "spare-key": "#3c474d",
    },
    {
        "white": "#ffffff", "black": "#2a353c", "root-key": "#ffb84d", "tone-key": "#6fd0bd",
        "tension-key": "#b4e4a0", "bass-key": "#e0a3d0", "spare-key": "#c3d3cb",
        "beat": "#cfdde4", "accent": "#f3dcae",
    },
)  # fmt: skip
"""Ink on paper by the window."""

BEACON: Final = Look(
    "beacon", True, "#000000", "#000000", "#1a1a1a",
    _inks("#ffffff", "#d6d6d6", "#9a9a9a", "#ffe14d", "#6cf0ff", "#ffa8f0", "#ff9e8c", "#ffffff")
    | {
        "white": "#404040", "black": "#000000", "root-key": "#000000", "tone-key": "#000000",
        "tension-key": "#000000", "bass-key": "#000000", "spare-key": "#000000",
    },
    {
        "white": "#ffffff", "black": "#000000", "root-key": "#ffe14d", "tone-key": "#6cf0ff",
        "tension-key": "#9dff9d", "bass-key": "#ffa8f0", "spare-key": "#c0c0c0",
        "beat": "#003f66", "accent": "#5c4400",
    },
)  # fmt: skip
"""White and yellow on black: the highest contrast."""

INK: Final = Look(
    "ink", True, "#000000", "#1c1c1c", "#262626",
    _inks("#e6e6e6", "#bdbdbd", "#808080", "#ffffff", "#ffffff", "#ffffff", "#ffffff", "#ffffff")
    | {
        "white": "#4a4a4a", "black": "#000000", "root-key": "#ffffff", "tone-key": "#000000",
        "tension-key": "#000000", "bass-key": "#ffffff", "spare-key": "#000000",
    },
    {
        "white": "#f0f0f0", "black": "#000000", "root-key": "#555555", "tone-key": "#a8a8a8",
        "tension-key": "#bdbdbd", "bass-key": "#555555", "spare-key": "#d2d2d2",
        "beat": "#444444", "accent": "#444444",
    },
)  # fmt: skip
"""No colour at all."""

LOOKS: Final = {look.name: look for look in (HARBOUR, DAYLIGHT, BEACON, INK)}
