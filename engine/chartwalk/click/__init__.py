"""The click: how the player wants it, and where its strokes fall in a bar."""

from chartwalk.click.strokes import Stress, Stroke, counted, strokes, swings, swung
from chartwalk.click.style import Beats, Between, ClickStyle

__all__ = [
    "Beats",
    "Between",
    "ClickStyle",
    "Stress",
    "Stroke",
    "counted",
    "strokes",
    "swings",
    "swung",
]
