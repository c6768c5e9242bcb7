"""The `.lead` format: charts as text that looks like the paper.

`loads` reports every problem of a text at once, each with its line and column; `dumps` writes a
chart so that `loads` gives the same chart again. README.md describes the format for players.
"""

from pathlib import Path

from chartwalk.leadfile.read import loads
from chartwalk.leadfile.write import dumps
from chartwalk.problems import ChartError, Problem
from chartwalk.reading import Reading

__all__ = ["dumps", "loads", "read"]


def read(path: Path) -> Reading:
    """Read a `.lead` file; raise ChartError with all its problems, or OSError."""
    try:
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
