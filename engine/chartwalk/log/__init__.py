"""The practice log: where the player's data lives and what is written there."""

from chartwalk.log.home import data_folder
from chartwalk.log.marking import mark_here
from chartwalk.log.store import LogError, Mark, OpenedSong, Store

__all__ = ["LogError", "Mark", "OpenedSong", "Store", "data_folder", "mark_here"]
