"""Words that may belong to the road and are not understood, or not to their end.

What is clear is read in silence; of the rest the player is told, in the sheet's own words.
"""

import re
from typing import Final

from chartwalk.mending.texts import quoted
from chartwalk.mending.words import plain, road_sign

_CLEAR: Final = re.compile(
    r"d|c|s|dc|ds|da|dal|del|capo|dacapo|dalsegno|delsegno|segno|al|alla|fine?|coda|to|the|go|on|"
    r"e|poi|la|and|then|no|not|without|senza|replica|rep[ei]tizione|repeats?|last|time|only|"
    r"(?:d[cs]|dacapo|dalsegno)?al(?:fine|coda)"
)
_ROADLIKE: Final = re.compile(
    r"(?<![a-z])(?:d ?\. ?[cs](?![a-z])|da capo|dal segno|segno|coda|fine(?![a-z])|vamp|repeat"
    r"|endings?(?![a-z])|volta(?![a-z])|back to|go to|till|until)"
    r"|\b\d{1,2} ?(?:x|times)\b|\b(?:1st|2nd|3rd|\dth|first|second|third|last) time"
)


def road_doubt(text: str) -> str | None:
    """Return what to tell about words of the road; None where they are clear, or no such words.

    >>> road_doubt("D.C. al Fine"), road_doubt("Slowly")
    (None, None)
    >>> road_doubt("4x Fine")
    "'4x Fine' is read as Fine, no more"
    >>> road_doubt("d. c. al capo")
    "'d. c. al capo' may be a sign of the road: not read"
    """
    words = plain(text)
    sign = road_sign(text)
    if sign is None:
        road = _ROADLIKE.search(words)
        return f"{quoted(text)} may be a sign of the road: not read" if road else None
    clear = all(_CLEAR.fullmatch(word) for word in words.replace(".", " ").split())
    return None if clear else f"{quoted(text)} is read as {sign.words}, no more"
