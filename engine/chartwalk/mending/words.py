"""Words above and below the staff that mean something for the road, the chords or the feel.

Spellings accepted: with or without dots, spaces and brackets, in any case. Sources: MusicXML 4.0
``words``; common engraving practice; Gehrkens, *Music Notation and Terminology*, 1914, sections
36 to 39 (D.C. al Fine, D.C. e poi la coda); the corpus tests of music21 10.5.1 for the texts a
player takes as signs and those no one does (``d. c. al capo``).
"""

import re
from typing import Final

from chartwalk.chart import Sign
from chartwalk.chord import ChordError, ChordSymbol

_GLYPHS: Final = str.maketrans({"𝄌": " coda ", "⊕": " coda ", "𝄋": " segno ", "\u00a0": " "})
_BRACKETS: Final = re.compile(r"[()\[\]{}\"'“”„,:;!]")
_JUMP: Final = re.compile(
    r"(?<![a-z])(?:(?P<dc>d\s*\.\s*c|dc|d c(?= al)|da\s*capo)"
    r"|(?P<ds>d\s*\.\s*s|ds|d s(?= al)|d[ae]l\s*segno))"
    r"(?![a-z\d])(?P<tail>.*)|"
    r"(?<![a-z])(?:(?P<dc2>dc|dacapo)|(?P<ds2>ds|d[ae]lsegno))(?P<tail2>al.*)"
)
_LEAVING: Final = re.compile(r"(?:(?:on|after) d ?[cs] (?:go )?)?to (?:the )?coda\b")
_TO_CODA: Final = re.compile(r"(?<![a-z])(?:to|al|alla)\s*(?:the\s*)?coda(?![a-z])")
_CODA: Final = re.compile(r"(?:the )?coda(?: coda)*(?: (?:[ivx]+|\d+))?")
_BESIDE_FINE: Final = re.compile(
    r"\d{1,2}(?:x|st|nd|rd|th)?|x|times?|last|only|on|the|pass|repeat|after|dc|ds|d|c|s"
)
_NO_CHORD: Final = re.compile(r"n\.?\s*c\.?|no\s*chords?\.?")
_TIMES: Final = re.compile(r"(?:play )?(\d{1,2}) ?(?:x|times)")
_ENDING: Final = re.compile(r"([1-9])(?:\.|(?:st|nd|rd|th) ?(?:ending|time)\.?)")
_SWING: Final = re.compile(r"\b(?:swing|swung)\b")
_STRAIGHT: Final = re.compile(r"(?:straight|even)(?: (?:8ths|8th|eighths|feel|time))*")
_SECTION: Final = re.compile(
    r"(?:intro|introduction|verse|pre-?chorus|chorus|refrain|bridge|interlude|solo|tag|outro)"
    r"(?: (?:\d{1,2}|[a-h]))?"
)
_CHORD_BREAKS: Final = re.compile(r"[\s–—,|]+|-(?=[A-G])")
_JUMPS: Final = {
    ("dc", ""): Sign.DC, ("dc", "fine"): Sign.DC_AL_FINE, ("dc", "coda"): Sign.DC_AL_CODA,
    ("ds", ""): Sign.DS, ("ds", "fine"): Sign.DS_AL_FINE, ("ds", "coda"): Sign.DS_AL_CODA,
}  # fmt: skip


def plain(text: str) -> str:
    """Return a text in small letters without brackets, signs written out.

    >>> plain("(To  𝄌)")
    'to coda'
    """
    return " ".join(_BRACKETS.sub(" ", text.translate(_GLYPHS).lower()).split())


def road_sign(text: str) -> Sign | None:
    """Return the jump or goal that words name, or None.

    >>> road_sign("3 repeats then D.C.al fine"), road_sign("d. c. al capo"), road_sign("4x Fine")
    (<Sign.DC_AL_FINE: 'dc al fine'>, None, <Sign.FINE: 'fine'>)
    """
    words = plain(text)
    bare = " ".join(words.replace(".", " ").split())
    if _LEAVING.match(bare):
        return Sign.TO_CODA
    if _CODA.fullmatch(bare):
        return Sign.CODA
    if _is_fine(bare):
        return Sign.FINE
    jump = _JUMP.search(words)
    if jump:
        return _jump(jump)
    if _TO_CODA.search(bare):
        return Sign.TO_CODA
    return Sign.SEGNO if bare in {"segno", "segno segno"} else None


def _is_fine(words: str) -> bool:
    """Whether words say Fine and, at most, on which pass: 4x Fine, Fine on D.C."""
    others = [word for word in words.split() if word != "fine"]
    return "fine" in words.split() and all(_BESIDE_FINE.fullmatch(word) for word in others)


def _jump(match: re.Match[str]) -> Sign | None:
    family = "dc" if match["dc"] or match["dc2"] else "ds"
    tail = (match["tail"] if match["tail"] is not None else match["tail2"]).strip(" .")
    goal = "coda" if "coda" in tail else "fine" if re.search(r"fine?(?![a-z])", tail) else ""
    if not goal and re.match(r"al(?:la)?\b", tail):
        return None  # it names a goal, and none that is known
    return _JUMPS[family, goal]


def no_chord(text: str) -> bool:
    """Whether words say that no chord is played.

    >>> no_chord("(N.C.)"), no_chord("NO CHORD"), no_chord("Nocturne")
    (True, True, False)
    """
    return bool(_NO_CHORD.fullmatch(plain(text)))


def feel_word(text: str) -> str | None:
    """Return the feel that words ask for: swing, straight, or None."""
    words = plain(text)
    if _SWING.search(words):
        return "swing"
    return "straight" if _STRAIGHT.fullmatch(words) else None


def times_word(text: str) -> int | None:
    """Return how often words have a repeat played in all: ``3x``, ``Play 4 times``; or None."""
    match = _TIMES.fullmatch(plain(text))
    return int(match[1]) if match else None


def ending_word(text: str) -> int | None:
    """Return the pass of an ending that words name: ``1.``, ``2nd ending``; or None.

    >>> ending_word("2."), ending_word("1st ending"), ending_word("2 3")
    (2, 1, None)
    """
    match = _ENDING.fullmatch(plain(text))
    return int(match[1]) if match else None


def section_word(text: str) -> str | None:
    """Return the words if they name a section: Verse, Chorus 2, Bridge; or None."""
    words = plain(text).strip(".")
    return text.strip("()[]:., ") if _SECTION.fullmatch(words) else None


def looks_like_chords(text: str) -> bool:
    """Whether words are chord symbols written as text, such as ``Bb-Bdim-Cm7-F7``.

    A lone letter is none: it may name a part of the song.

    >>> [looks_like_chords(text) for text in ("Bb-Bdim-Cm7-F7", "Cm7", "A", "Go", "Slowly")]
    [True, True, False, False, False]
    """
    return bool(chords_of(text))


def chords_of(text: str) -> tuple[ChordSymbol, ...]:
    """Return the chord symbols that words are; none where a word is anything else.

    >>> [chord.text for chord in chords_of("Bb-Bdim-Cm7-F7")], chords_of("Cm7 twice")
    (['Bb', 'Bdim', 'Cm7', 'F7'], ())
    """
    tokens = [token for token in _CHORD_BREAKS.split(text.strip("() ")) if token]
    certain = any(re.search(r"[\d#♯♭]", token) for token in tokens) or len(tokens) > 2
    chords = [_chord(token) for token in tokens] if certain else []
    return tuple(chord for chord in chords if chord) if all(chords) else ()


def _chord(token: str) -> ChordSymbol | None:
    try:
        chord = ChordSymbol.parse(token)
    except ChordError:
        return None
    return chord if chord.root is not None else None
