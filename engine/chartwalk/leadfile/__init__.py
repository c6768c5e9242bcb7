"""The `.lead` format: charts as text that looks like the paper.

`loads` reports every problem of a text at once, each with its line and column; `dumps` writes a
chart so that `loads` gives the same chart again. README.md describes the format for players.
"""

from pathlib import Path
from typing import Final

from chartwalk.leadfile.read import loads
from chartwalk.leadfile.write import dumps
from chartwalk.problems import ChartError, Problem
from chartwalk.reading import Reading

__all__ = ["dumps", "loads", "read"]

LARGEST: Final = 4 * 2**20  # bytes; 10,000 full bars have about one million


def read(path: Path) -> Reading:
    """Read a `.lead` file; raise ChartError with all its problems, or OSError."""
    try:
        if path.stat().st_size > LARGEST:
            raise ChartError([Problem(f"a chart has at most {LARGEST // 2**20} MB", str(path))])
        text = path.read_text(encoding="utf-8-sig")
    except UnicodeDecodeError as error:
        before = error.object[: error.start]
        problem = Problem(
            "this is not UTF-8 text: save the file as UTF-8",
            file=str(path),
            line=before.count(b"\n") + 1,
            column=len(before[before.rfind(b"\n") + 1 :].decode()) + 1,
        )
        raise ChartError([problem]) from error
    return loads(text, str(path))
