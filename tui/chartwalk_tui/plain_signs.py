"""Signs for terminals that have no others: every sign becomes ASCII of the same width."""

from typing import Final
from unicodedata import normalize

from rich.cells import cell_len
from rich.segment import Segment
from textual.color import Color
from textual.filter import LineFilter

_PAIRS: Final = (
    ("♯♭♮", "#bn"), ("°º˚øØ∅⌀Δ△∆", "ooo0000^^^"), ("→←↑↓»›‹▶▲▼", "><^v>><>^v"),
    ("·…×—–−─━", ".~x----="), ("‘’“”", "''\"\""), ("│▕▏▐▌┤├", "|||||||"),
    ("┌┐└┘╭╮╰╯", "++++++++"), ("█▓▒░", "#*+:"),
    ("▛▜▙▟▞▚", "######"), ("▀▘▝", '"' * 3), ("▄▖▗", ",,,"), ("▁▂▃▅▆▇", "_.-+*#"), ("●✓", "*x"),
    ("♪♩", "jj"),
)  # fmt: skip
_TABLE: Final = {
    ord(sign): plain for signs, plains in _PAIRS for sign, plain in zip(signs, plains, strict=True)
}


def plain_signs(text: str) -> str:
    """Return a text in ASCII, as wide as before; what has no likeness is a question mark.

    >>> plain_signs("F♯m7♭5 → Café ─●─")
    'F#m7b5 > Cafe -*-'
    """
    text = text.translate(_TABLE)
    return text if text.isascii() else "".join(map(_likeness, text))


def _likeness(sign: str) -> str:
    if sign.isascii():
        return sign
    width, letter = cell_len(sign), normalize("NFKD", sign)[:1]
    return letter if letter.isascii() and width == 1 else "?" * width


class PlainSigns(LineFilter):
    """Turns every line that is about to be drawn into plain signs."""

    def apply(self, segments: list[Segment], background: Color) -> list[Segment]:
        """Return the segments in plain signs."""
        return [
            segment if segment.control else Segment(plain_signs(segment.text), segment.style)
            for segment in segments
        ]
