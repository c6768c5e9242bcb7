"""The text of ABC files: bytes to lines, comments taken off, text strings as they read.

Source: ABC 2.1 sections 2.2.4 (lines), 2.2.5 (comments), 3.1.17 (``I:abc-charset``) and 8.2 (text
strings: backslash mnemonics, entities).
"""

import re
from html import unescape
from typing import Final
from unicodedata import normalize

from chartwalk.mending.texts import one_line

_CHARSET: Final = re.compile(rb"^(?:I:|%%)\s*abc-charset\s+(iso-8859-(?:10|[1-9]))\s", re.M | re.I)
_HEAD: Final = 4096  # bytes: the charset "should appear as early as possible"
_LINE_END: Final = re.compile(r"\r\n|\r|\n")
_COMMENT: Final = re.compile(r"(?<!\\)%.*", re.S)
_MNEMONIC: Final = re.compile(
    r"\\(?:u([0-9A-Fa-f]{4})|([`'^~\"vuc=.;r,/])([A-Za-z])|(ss|ae|AE|oe|OE|aa|AA)|([%\\&]))"
)
_MARKS: Final = {
    "`": "\u0300", "'": "\u0301", "^": "\u0302", "~": "\u0303", '"': "\u0308", "v": "\u030c",
    "u": "\u0306", "c": "\u0327", ",": "\u0327", "=": "\u0304", ".": "\u0307", ";": "\u0328",
    "r": "\u030a", "/": "\u0338",
}  # fmt: skip
_LIGATURES: Final = {
    "ss": "ß", "ae": "æ", "AE": "Æ", "oe": "œ", "OE": "Œ", "aa": "å", "AA": "Å",
}  # fmt: skip
_STROKED: Final = {"/o": "ø", "/O": "Ø"}


def decode(data: bytes) -> str:
    """Return the text of a file: UTF-8, else the charset it names, else Latin-1."""
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        named = _CHARSET.search(data[:_HEAD])
        return data.decode(named[1].decode() if named else "latin-1", "replace")


def lines_of(text: str) -> list[str]:
    """Cut a text into its lines."""
    return _LINE_END.split(text)


def without_comment(line: str) -> str:
    r"""Return a line up to its comment.

    >>> without_comment("abc | % the turn"), without_comment(r"T:90\% proof")
    ('abc | ', 'T:90\\% proof')
    """
    return _COMMENT.sub("", line)


def text_string(text: str) -> str:
    r"""Return a text string as it reads, in one line.

    >>> text_string(r"Caf\'e am Stra\sse"), text_string("Tom &amp; Ann"), text_string(r"\u00e9")
    ('Café am Straße', 'Tom & Ann', 'é')
    """
    return one_line(unescape(_MNEMONIC.sub(_spelled, text)))


def _spelled(match: re.Match[str]) -> str:
    code, mark, letter, ligature, plain = match.groups()
    if code:
        return chr(int(code, 16))
    if mark:
        return _STROKED.get(mark + letter) or normalize("NFC", letter + _MARKS[mark])
    return _LIGATURES.get(ligature) or str(plain)
