"""A line of text with a left and a right end."""

from dataclasses import dataclass

from chartwalk_tui.widgets.drawing import Drawing, Picture, Span, row_width, spread


@dataclass(frozen=True, slots=True)
class Ends:
    """What stands at the two ends of a line.

    Where both do not fit, ``short`` stands in for the right end; then the left one gives way.
    """

    left: tuple[Span, ...]
    right: tuple[Span, ...] = ()
    short: tuple[Span, ...] = ()


class TextLine(Drawing[Ends]):
    """Shows a line."""

    def draw(self, value: Ends, width: int, height: int) -> Picture:
        """Draw both ends."""
        fits = row_width((*value.left, *value.right)) < width
        right = value.right if fits or not value.short else value.short
        return [spread(list(value.left), list(right), width)]
