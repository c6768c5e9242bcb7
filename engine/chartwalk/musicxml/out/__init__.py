"""Writing MusicXML 4.0: one part, valid against the W3C schema, read back as the same chart.

What a chart holds and the standard has no word for stands in fields of our own (`ours`). What can't
be held at all is changed as little as possible and told in a warning.
"""

import io
import zipfile
from dataclasses import dataclass
from typing import Final
from xml.etree.ElementTree import indent, tostring

from chartwalk.chart import Chart
from chartwalk.musicxml.archive import CONTAINER
from chartwalk.musicxml.out.bounds import bounded
from chartwalk.musicxml.out.score import score
from chartwalk.musicxml.out.xml import node
from chartwalk.problems import Problem

__all__ = ["Written", "packed", "write"]

DECLARATION: Final = """<?xml version="1.0" encoding="UTF-8"?>
<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" \
"http://www.musicxml.org/dtds/partwise.dtd">
"""
SCORE: Final = "score.musicxml"
ARCHIVE_TYPE: Final = "application/vnd.recordare.musicxml"


@dataclass(frozen=True, slots=True)
class Written:
    """A score as a file holds it, and what it could not hold as it was."""

    data: bytes
    warnings: tuple[Problem, ...] = ()


def write(chart: Chart) -> Written:
    """Write a chart; raise ChartError where a bar's lengths are too fine for any number."""
    held, changed = bounded(chart)
    root, fine = score(held)
    indent(root)
    text = f"{DECLARATION}{tostring(root, 'unicode')}\n"
    return Written(text.encode(), (*changed, *fine))


def packed(written: Written) -> Written:
    """Return a score in a compressed archive; the same chart gives the same bytes.

    Source: MusicXML 4.0 ``container``: the first file is ``mimetype``, stored as it is.
    """
    kind = f"{ARCHIVE_TYPE}+xml"
    rootfile = node("rootfile", full_path=SCORE, media_type=kind)
    container = tostring(node("container", [node("rootfiles", [rootfile])]), "utf-8")
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data, method in (
            ("mimetype", ARCHIVE_TYPE.encode(), zipfile.ZIP_STORED),
            (CONTAINER, container, zipfile.ZIP_DEFLATED),
            (SCORE, written.data, zipfile.ZIP_DEFLATED),
        ):
            archive.writestr(zipfile.ZipInfo(name), data, method)  # no date: made anew, the same
    return Written(buffer.getvalue(), written.warnings)
