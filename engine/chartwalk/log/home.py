"""The folder that holds the player's data."""

import os
from pathlib import Path

import platformdirs


def data_folder() -> Path:
    """Return the folder for the log: CHARTWALK_HOME if set, else the system's place for data."""
    home = os.environ.get("CHARTWALK_HOME")
    return Path(home).expanduser() if home else platformdirs.user_data_path("chartwalk", False)
