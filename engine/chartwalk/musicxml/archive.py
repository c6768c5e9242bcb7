"""From the bytes of a file to the bytes of its score: plain, or out of a compressed archive.

A compressed score is a zip archive whose ``META-INF/container.xml`` names the score (MusicXML 4.0,
compressed files). The bytes unpacked are counted as they stream, since the sizes an archive states
can't be trusted.
"""

import io
import re
import zipfile
import zlib
from typing import Final
from urllib.parse import unquote
from xml.etree.ElementTree import Element, ParseError

from defusedxml.ElementTree import fromstring

from chartwalk.mending.notices import refusal

MAX_BYTES: Final = 32 * 2**20
"""The most that is read or unpacked in all; honest scores stay far below."""
MAX_ENTRIES: Final = 256
LARGEST_CONTAINER: Final = 2**16
CONTAINER: Final = "META-INF/container.xml"
SCORE_ENDINGS: Final = (".musicxml", ".xml")
SCORE_TYPES: Final = (
    "", "application/vnd.recordare.musicxml+xml", "application/vnd.recordare.musicxml",
    "application/xml", "text/xml",
)  # fmt: skip
_PATH: Final = re.compile(r"""full-path\s*=\s*["']([^"<>]{1,300}?)["']\s*(?:[a-z-]+=|/?>)""")
METHODS: Final = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)
"""The ways of packing that the standard allows; others can ask for any amount of memory."""
_LISTED: Final = b"PK\x01\x02"  # begins each entry of an archive's list
_ZIP: Final = (b"PK\x03\x04", b"PK\x05\x06")
_DAMAGE: Final = (
    zipfile.BadZipFile, zlib.error, EOFError, OSError, ValueError, KeyError, RuntimeError,
    IndexError,
)  # fmt: skip


class _TooLargeError(Exception):
    """More bytes than a score can have."""


def score_bytes(data: bytes, name: str) -> bytes:
    """Return the score's own bytes; raise ChartError where there is none to be had."""
    if not data.strip():
        raise refusal("the file is empty", name)
    if len(data) > MAX_BYTES:
        raise refusal(_too_large(), name)
    if not data.startswith(_ZIP):
        return data
    try:
        score = _unpack(data)
    except _TooLargeError:
        raise refusal(_too_large(), name) from None
    except _DAMAGE as error:
        raise refusal(f"the compressed file is damaged: {error}", name) from None
    if score is None:
        raise refusal("the compressed file holds no score (.musicxml or .xml)", name)
    if score.startswith(_ZIP):
        raise refusal("the compressed file holds another archive where a score belongs", name)
    return score


def _too_large() -> str:
    return f"the file holds more than {MAX_BYTES // 2**20} MB: no lead sheet does"


def _unpack(data: bytes) -> bytes | None:
    if data.count(_LISTED) > 2 * MAX_ENTRIES:
        raise ValueError(f"more than {MAX_ENTRIES} files in it")
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        names = [info.filename for info in archive.infolist() if not info.is_dir()]
        if len(names) > MAX_ENTRIES:
            raise ValueError(f"more than {MAX_ENTRIES} files in it")
        room = MAX_BYTES
        named: tuple[str, ...] = ()
        if CONTAINER in names:
            container = _stream(archive, CONTAINER, room)
            room -= len(container)
            named = _named_scores(container)
        chosen = next((name for name in named if name in names), None) or _first_score(names)
        return _stream(archive, chosen, room) if chosen else None


def _stream(archive: zipfile.ZipFile, entry: str, room: int) -> bytes:
    if archive.getinfo(entry).compress_type not in METHODS:
        raise ValueError("packed in a way no score is")
    with archive.open(entry) as stream:
        content = stream.read(room + 1)
    if len(content) > room:
        raise _TooLargeError
    return content


def _named_scores(container: bytes) -> tuple[str, ...]:
    """Return the paths of the scores in a container, the first first, as they may be meant.

    One that is no XML is searched for the paths alone: many real ones have an apostrophe in them.
    """
    container = container[:LARGEST_CONTAINER]
    try:
        root: Element = fromstring(container)
    except (ParseError, ValueError, LookupError):
        paths = _PATH.findall(container.decode("utf-8", "replace"))
    else:
        files = [one for one in root.iter() if one.tag.rpartition("}")[2] == "rootfile"]
        paths = [
            one.get("full-path", "")
            for one in files
            if one.get("media-type", "").strip() in SCORE_TYPES
        ]
    return tuple(name for path in paths for name in (path, _normal(path), _normal(unquote(path))))


def _normal(path: str) -> str:
    r"""Return a path as archives name their entries: ``.\a\b.xml`` is ``a/b.xml``."""
    return path.replace("\\", "/").removeprefix("./").lstrip("/")


def _first_score(names: list[str]) -> str | None:
    scores = [name for name in names if not name.startswith(("META-INF/", "__MACOSX/"))]
    return next((name for name in scores if name.lower().endswith(SCORE_ENDINGS)), None)
