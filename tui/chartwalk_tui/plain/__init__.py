"""Practice without sight of the screen: the same keys as lines in, short lines of text out.

For screen readers and braille lines: nothing is drawn, moved or coloured, and a line once printed
stays as it is.
"""

from chartwalk_tui.plain.play import play

__all__ = ["play"]
