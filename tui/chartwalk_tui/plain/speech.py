"""Text made speakable: signs in words, nothing that draws, no line without end."""

import re
import textwrap
import unicodedata
from typing import Final

LONGEST: Final = 199  # characters in a line

_IN_WORDS: Final = str.maketrans({
    "♮": " natural ", "→": " to ", "×": " times ", "·": ",", "…": "...", "−": "-", "–": "-",
    "—": "-", "‘": "'", "’": "'", "“": '"', "”": '"', "\N{NO-BREAK SPACE}": " ",
})  # fmt: skip
_ALTERATIONS: Final = (
    ("♯♯", " double sharp "), ("♭♭", " double flat "), ("♯", " sharp "), ("♭", " flat "),
)  # fmt: skip
_LETTERS: Final = frozenset("LMN")  # Unicode: letters, the marks upon them, numbers
_NAMED: Final = frozenset("PS")  # punctuation and symbols; what steers the text is left out
_RANGE: Final = re.compile(r"(?<=\d)-(?=\d)")
_BEFORE_STOP: Final = re.compile(r" +(?=[,.;:)](?:\s|$))")


def spoken(text: str, *, signs: bool = False) -> str:
    """Return a text as a voice can say it: letters of any script, else printable ASCII alone.

    Sharps and flats become words, or with ``signs`` # and b, which are shorter under the fingers;
    any other sign is named, and what would not be seen is left out.

    >>> spoken("bars 7-9: F♯♯→G, B♭4"), spoken("B♭4 →F♯", signs=True)
    ('bars 7 to 9: F double sharp to G, B flat 4', 'Bb4 to F#')
    """
    text = unicodedata.normalize("NFC", text)
    if signs:
        text = text.replace("♯", "#").replace("♭", "b")
    else:
        for sign, words in _ALTERATIONS:
            text = text.replace(sign, words)
    text = _RANGE.sub(" to ", text.translate(_IN_WORDS))
    text = "".join(map(_sayable, text))
    return _BEFORE_STOP.sub("", " ".join(text.split()))


def spoken_lines(text: str, *, signs: bool = False) -> list[str]:
    """Return a text as lines to print: one as a rule, none for no words, more where it is long."""
    return textwrap.wrap(spoken(text, signs=signs), LONGEST, break_on_hyphens=False)


def _sayable(sign: str) -> str:
    kind = unicodedata.category(sign)[0]
    if " " <= sign <= "~" or kind in _LETTERS:
        return sign
    return f" {unicodedata.name(sign, '').lower()} " if kind in _NAMED else " "
