"""The player's own editor, the template of a new chart, and whether a file was written."""

import os
import re
import shlex
import shutil
import signal
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Final

from textual.app import App, SuspendNotSupported

USUAL: Final = ("nano", "vim", "vi", "notepad")
"""Editors to look for where the player has named none, the gentlest first."""

TEMPLATE: Final = """\
# Write, save and leave the editor: chartwalk checks the chart and opens it.
title    {title}
key      C major
meter    4/4
tempo    84

section  Verse
chords   | C        | F        | G        | C        |
"""


def editor_command() -> list[str] | None:
    """Return the editor to run: $VISUAL, $EDITOR, or a usual one; None where there is none.

    Raises ValueError where the words of the variable can't be told apart.
    """
    for variable in ("VISUAL", "EDITOR"):
        if words := shlex.split(os.environ.get(variable, ""), posix=os.name != "nt"):
            return words
    return next(([name] for name in USUAL if shutil.which(name)), None)


def run_editor(app: App[None], path: Path) -> str:
    """Let the player edit a file; return why that was not possible, or nothing."""
    try:
        command = editor_command()
    except ValueError as error:
        return f"The editor in $VISUAL or $EDITOR can't be understood: {error}."
    if command is None:
        return f"No editor found: set EDITOR. The chart is {path}."
    try:
        with app.suspend(), _interrupts_left_to_the_editor():
            subprocess.run([*command, str(path)], check=False)
    except SuspendNotSupported:
        return f"No editor can be opened from here. The chart is {path}."
    except OSError as error:
        return f"The editor {command[0]} can't be started: {error.strerror}. The chart is {path}."
    return ""


@contextmanager
def _interrupts_left_to_the_editor() -> Iterator[None]:
    """Pass over Ctrl+C, which the terminal sends to both programs; the editor heeds it as ever."""
    before = signal.signal(signal.SIGINT, lambda *_: None)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)


def new_chart(title: str, folder: Path) -> Path:
    """Write the template of a chart into a folder; raise OSError, FileExistsError if it is there.

    The file is named after the title: letters and digits, joined by hyphens.
    """
    name = "-".join(re.findall(r"\w+", title.casefold())) or "chart"
    path = folder / f"{name}.lead"
    with path.open("x", encoding="utf-8") as file:
        file.write(TEMPLATE.format(title=" ".join(title.split())))
    return path
