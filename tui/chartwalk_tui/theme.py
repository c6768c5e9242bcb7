"""The colours of chartwalk: lamplight on dark water. Widgets name roles, never colours."""

from collections.abc import Mapping
from functools import cache
from typing import Final

from rich.style import Style
from textual.theme import Theme

ROLE_COLOURS: Final = {
    "plain": "#dfe5e8",
    "dim": "#93a5b1",
    "faint": "#4d6170",
    "strong": "#f4f1e8",
    "now": "#ffc56b",
    "here": "#ffc56b",
    "next": "#8fd6c8",
    "tension": "#8fd6c8",
    "bass": "#e0a3d0",
    "moves": "#f4f1e8",
    "stays": "#93a5b1",
    "jump": "#ffc56b",
    "mark": "#ff8f7a",
    "beat": "#f4f1e8",
    "accent": "#ffc56b",
    "title": "#f4f1e8",
    "cursor": "#ffc56b",
    "white": "#5c6b76",
    "black": "#1a2730",
    "root-key": "#1a1206",
    "tone-key": "#0c2a26",
    "tension-key": "#0c2a26",
    "bass-key": "#2b0f25",
    "spare-key": "#4d5a61",
}
"""The ink of each role."""

ROLE_GROUNDS: Final = {
    "white": "#e9e4d8",
    "black": "#1a2730",
    "root-key": "#ffb84d",
    "tone-key": "#6fd0bd",
    "tension-key": "#b4e4a0",
    "bass-key": "#e0a3d0",
    "spare-key": "#b9cfc6",
    "beat": "#2c4656",
    "accent": "#6b4a14",
}
"""The ground under the roles that have one: the keys of the keyboard."""

STYLES: Final = dict.fromkeys(
    ("strong", "now", "next", "title", "mark", "jump", "accent", "beat", "root-key", "tone-key",
     "tension-key", "bass-key"),
    "bold",
) | {"here": "bold underline"}  # fmt: skip
"""The letters of each role, where they are not plain."""

HARBOUR: Final = Theme(
    name="harbour",
    primary="#ffc56b",
    secondary="#8fd6c8",
    accent="#ffc56b",
    foreground="#dfe5e8",
    background="#101c24",
    surface="#16252f",
    panel="#1d303c",
    success="#8fd6c8",
    warning="#ffc56b",
    error="#ff8f7a",
    dark=True,
    variables={f"role-{role}": colour for role, colour in ROLE_COLOURS.items()}
    | {f"ground-{role}": colour for role, colour in ROLE_GROUNDS.items()},
)


def role_styles(variables: Mapping[str, str]) -> Mapping[str, Style]:
    """Return the style of every role, from the variables of the theme in force."""
    return _styles(
        tuple(variables.get(f"role-{role}", "") for role in ROLE_COLOURS),
        tuple(variables.get(f"ground-{role}", "") for role in ROLE_COLOURS),
    )


@cache
def _styles(inks: tuple[str, ...], grounds: tuple[str, ...]) -> Mapping[str, Style]:
    return {
        role: Style.parse(STYLES.get(role, "none")) + Style(color=ink, bgcolor=ground or None)
        for role, ink, ground in zip(ROLE_COLOURS, inks, grounds, strict=True)
    }
