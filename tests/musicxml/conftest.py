"""A short way to write a MusicXML sheet: bars between slashes, pieces between spaces.

``|: C5:4 / r:2 h:F D5:2~ :| w:D.C._al_Fine`` has two bars of 4/4. The pieces:

- ``C5:2`` a note, ``r:1`` a rest, with its length in quarters; ``~`` after it starts a tie, before
  it ends one; ``C5:1'la-`` has a syllable, ``C5:1'la-'lo`` two verses;
- ``h:Bb`` a major harmony, ``w:D.C._al_Fine`` words, ``segno`` and ``coda`` signs, ``s:fine`` a
  sound with that attribute;
- ``.`` nothing, for a bar without notes;
- ``|:`` and ``:|`` repeats, ``||`` a double bar line, ``[1,2`` starts an ending, ``]`` stops it;
- ``{name}`` puts in the XML given under that name.
"""

from collections.abc import Callable
from fractions import Fraction

import pytest

from chartwalk.chart import Chart
from chartwalk.musicxml import read_bytes
from chartwalk.reading import Reading
from chartwalk.roadmap import unroll

DIVISIONS = 24
ALTERS = {"b": -1, "#": 1}
DIRECTION = "<direction><direction-type>{}</direction-type></direction>"
BARLINES = {
    "|:": ("left", '<repeat direction="forward"/>'),
    ":|": ("right", '<repeat direction="backward"/>'),
    "||": ("right", "<bar-style>light-light</bar-style>"),
    "]": ("right", '<ending number="1" type="stop"/>'),
}


def _lyric(text: str, number: int) -> str:
    joined = text.endswith("-")
    return (
        f'<lyric number="{number}"><syllabic>{"begin" if joined else "single"}</syllabic>'
        f"<text>{text.rstrip('-').replace('_', ' ')}</text></lyric>"
        if text
        else ""
    )


def _note(piece: str) -> str:
    name, _, rest = piece.strip("~").partition(":")
    length, *verses = rest.split("'")
    length = length.rstrip("~")
    ties = '<tie type="stop"/>' if piece.startswith("~") else ""
    ties += '<tie type="start"/>' if "~" in piece[1:] else ""
    step = f"<step>{name[0]}</step><alter>{ALTERS.get(name[1:2], 0)}</alter>"
    pitch = "<rest/>" if name == "r" else f"<pitch>{step}<octave>{name[-1]}</octave></pitch>"
    lyrics = "".join(_lyric(text, number) for number, text in enumerate(verses, 1))
    units = Fraction(length) * DIVISIONS
    return f"<note>{pitch}<duration>{units}</duration>{ties}<voice>1</voice>{lyrics}</note>"


def _harmony(name: str) -> str:
    alter = ALTERS.get(name[1:], 0)
    root = f"<root><root-step>{name[0]}</root-step><root-alter>{alter}</root-alter></root>"
    return f"<harmony>{root}<kind>major</kind></harmony>"


def _piece(piece: str, raw: dict[str, str]) -> str:
    head, _, rest = piece.partition(":")
    if piece in BARLINES:
        side, inner = BARLINES[piece]
        xml = f'<barline location="{side}">{inner}</barline>'
    elif piece.startswith("["):
        ending = f'<ending number="{piece[1:]}" type="start"/>'
        xml = f'<barline location="left">{ending}</barline>'
    elif piece in ("segno", "coda"):
        xml = DIRECTION.format(f"<{piece}/>")
    elif head == "w":
        xml = DIRECTION.format(f"<words>{rest.replace('_', ' ')}</words>")
    elif head == "s":
        xml = f'<sound {rest}="yes"/>'
    elif head == "h":
        xml = _harmony(rest)
    elif piece.startswith("{"):
        xml = piece.format(**raw)
    else:
        xml = "" if piece == "." else _note(piece)
    return xml


def _sheet(text: str, *, head: str = "", attributes: str = "", **raw: str) -> bytes:
    time = "<time><beats>4</beats><beat-type>4</beat-type></time>"
    first = f"<attributes><divisions>{DIVISIONS}</divisions>{attributes or time}</attributes>"
    measures = [
        f'<measure number="{number}">{first if number == 1 else ""}'
        f"{''.join(_piece(piece, raw) for piece in bar.split())}</measure>"
        for number, bar in enumerate(text.split(" / "), 1)
    ]
    body = f'<part-list/><part id="P1">{"".join(measures)}</part>'
    return f"<score-partwise>{head}{body}</score-partwise>".encode()


@pytest.fixture(scope="session")
def sheet() -> Callable[..., bytes]:
    """Write a sheet the short way, as the bytes of a file."""
    return _sheet


@pytest.fixture(scope="session")
def read_sheet() -> Callable[..., Reading]:
    """Write a sheet the short way and read it."""

    def read(text: str, **options: str) -> Reading:
        return read_bytes(_sheet(text, **options), "sheet.musicxml")

    return read


@pytest.fixture(scope="session")
def order() -> Callable[[Chart], str]:
    """Return the numbers of the bars in the order they are played."""

    def played(chart: Chart) -> str:
        return " ".join(chart.bars[step.bar].number for step in unroll(chart))

    return played
