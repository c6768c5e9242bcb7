"""From the bytes of a file to the bytes of its score: plain, or out of a compressed archive.

A compressed score is a zip archive whose ``META-INF/container.xml`` names the score (MusicXML 4.0,
compressed files). The bytes unpacked are counted as they stream, since the sizes an archive states
can't be trusted.
"""

import io
import zipfile
import zlib
from typing import Final
from xml.etree.ElementTree import Element, ParseError

from defusedxml.ElementTree import fromstring

from chartwalk.musicxml.notices import refusal

MAX_BYTES: Final = 32 * 2**20
"""The most that is read or unpacked in all; honest scores stay far below."""
MAX_ENTRIES: Final = 256
CONTAINER: Final = "META-INF/container.xml"
SCORE_ENDINGS: Final = (".musicxml", ".xml")
SCORE_TYPES: Final = ("", "application/vnd.recordare.musicxml+xml", "application/xml", "text/xml")
METHODS: Final = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)
"""The ways of packing that the standard allows; others can ask for any amount of memory."""
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
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        names = [info.filename for info in archive.infolist() if not info.is_dir()]
        if len(names) > MAX_ENTRIES:
            raise ValueError(f"{len(names)} files in it, {MAX_ENTRIES} at most")
        room, named = MAX_BYTES, None
        if CONTAINER in names:
            container = _stream(archive, CONTAINER, room)
            room -= len(container)
            named = _named_score(container)
        chosen = named if named in names else _first_score(names)
        return _stream(archive, chosen, room) if chosen else None


def _stream(archive: zipfile.ZipFile, entry: str, room: int) -> bytes:
    if archive.getinfo(entry).compress_type not in METHODS:
        raise ValueError("packed in a way no score is")
    with archive.open(entry) as stream:
        content = stream.read(room + 1)
    if len(content) > room:
        raise _TooLargeError
    return content


def _named_score(container: bytes) -> str | None:
    """Return the path of the first score in a container; None where it can't be read."""
    try:
        root: Element = fromstring(container)
    except (ParseError, ValueError, LookupError):
        return None  # many real ones are not well-formed: an apostrophe in the name
    for element in root.iter():
        if element.tag.rpartition("}")[2] == "rootfile":
            path = element.get("full-path")
            if path and element.get("media-type", "") in SCORE_TYPES:
                return path
    return None


def _first_score(names: list[str]) -> str | None:
    scores = [name for name in names if not name.startswith(("META-INF/", "__MACOSX/"))]
    return next((name for name in scores if name.lower().endswith(SCORE_ENDINGS)), None)
