"""Writing charts out: the kinds of files there are, each written whole or not at all."""

import os
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from shutil import copymode
from typing import Final

from chartwalk.chart import Chart
from chartwalk.leadfile import dumps
from chartwalk.musicxml.out import packed, write
from chartwalk.problems import Problem


@dataclass(frozen=True, slots=True)
class Export:
    """The bytes of a file, and what it can't hold as the chart has it."""

    data: bytes
    warnings: tuple[Problem, ...] = ()


def _lead(chart: Chart) -> Export:
    return Export(dumps(chart).encode())


def _musicxml(chart: Chart) -> Export:
    written = write(chart)
    return Export(written.data, written.warnings)


def _mxl(chart: Chart) -> Export:
    written = packed(write(chart))
    return Export(written.data, written.warnings)


WRITERS: Final[Mapping[str, Callable[[Chart], Export]]] = {
    ".lead": _lead,
    ".musicxml": _musicxml,
    ".xml": _musicxml,
    ".mxl": _mxl,
}
"""What writes each kind of file; raises ChartError where a chart can't be written at all."""


def save(data: bytes, path: Path) -> None:
    """Write a file at once: until all of it is on the disk, what was there before stays.

    A link is followed, and the permissions of a file that was there are kept. Raises OSError.
    """
    path = path.resolve()
    new = path.with_name(f".{path.name}.{os.getpid()}")
    try:
        with new.open("xb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        if path.exists():
            copymode(path, new)
        new.replace(path)
    except BaseException:
        new.unlink(missing_ok=True)
        raise
