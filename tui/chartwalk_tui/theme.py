"""The looks as themes of the toolkit, and the style of every role."""

from collections.abc import Mapping
from functools import cache
from typing import Final

from rich.style import Style
from textual.theme import Theme

from chartwalk_tui.looks import HARBOUR, LOOKS, Look

STYLES: Final = dict.fromkeys(
    ("strong", "now", "next", "title", "mark", "jump", "accent", "beat", "root-key", "tone-key",
     "tension-key", "bass-key"),
    "bold",
) | {"here": "bold underline"}  # fmt: skip
"""The letters of each role, where they are not plain."""

ROLES: Final = tuple(HARBOUR.inks)


def theme_of(look: Look) -> Theme:
    """Return the toolkit's theme of a look."""
    inks = look.inks
    return Theme(
        name=look.name,
        primary=inks["now"],
        secondary=inks["next"],
        accent=inks["now"],
        foreground=inks["plain"],
        background=look.background,
        surface=look.surface,
        panel=look.panel,
        success=inks["next"],
        warning=inks["now"],
        error=inks["mark"],
        dark=look.dark,
        variables=variables_of(look),
    )


def variables_of(look: Look) -> dict[str, str]:
    """Return the colours of the roles under the names that styles use."""
    return {f"role-{role}": colour for role, colour in look.inks.items()} | {
        f"ground-{role}": colour for role, colour in look.grounds.items()
    }


THEMES: Final = {name: theme_of(look) for name, look in LOOKS.items()}


def role_styles(variables: Mapping[str, str], under: Style) -> Mapping[str, Style]:
    """Return the style of every role upon another, from the variables of the theme in force."""
    return _styles(
        tuple(variables.get(f"role-{role}", "") for role in ROLES),
        tuple(variables.get(f"ground-{role}", "") for role in ROLES),
        under,
    )


@cache
def _styles(inks: tuple[str, ...], grounds: tuple[str, ...], under: Style) -> Mapping[str, Style]:
    return {
        role: under
        + Style.parse(STYLES.get(role, "none"))
        + Style(color=ink, bgcolor=ground or None)
        for role, ink, ground in zip(ROLES, inks, grounds, strict=True)
    }
