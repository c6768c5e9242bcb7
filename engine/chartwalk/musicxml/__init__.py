"""Reading MusicXML, plain and compressed, straight from the standard (W3C MusicXML 4.0).

One part and one voice become the tune, its harmonies the chords, its lyrics the words; repeats,
endings and jumps become road marks. What real files leave out or get wrong is mended, and every
mend is told in a warning; so is what a chart has no place for. A part of a transposing instrument
is read as it sounds. Nothing but ChartError is raised for bad input.
"""

from pathlib import Path

from chartwalk.musicxml.archive import MAX_BYTES, score_bytes
from chartwalk.musicxml.build import build
from chartwalk.musicxml.document import parse
from chartwalk.reading import Reading

__all__ = ["read", "read_bytes"]


def read(path: Path) -> Reading:
    """Read a file; raise ChartError where it holds no score that can be read, or OSError."""
    with path.open("rb") as file:
        data = file.read(MAX_BYTES + 1)
    return read_bytes(data, str(path))


def read_bytes(data: bytes, name: str) -> Reading:
    """Read the bytes of a file; ``name`` stands in messages, and for a title that is missing."""
    return build(parse(score_bytes(data, name), name), name)
