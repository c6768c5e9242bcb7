"""The practice log: where the player's data lives and what is written there."""

from chartwalk.log.anchors import anchor_at
from chartwalk.log.errors import LogError
from chartwalk.log.home import data_folder
from chartwalk.log.marking import mark_here
from chartwalk.log.records import (
    Anchor,
    Kind,
    MarkRecord,
    PassRecord,
    RunRecord,
    SongRecord,
    new_id,
)
from chartwalk.log.store import Store, now_here

__all__ = [
    "Anchor",
    "Kind",
    "LogError",
    "MarkRecord",
    "PassRecord",
    "RunRecord",
    "SongRecord",
    "Store",
    "anchor_at",
    "data_folder",
    "mark_here",
    "new_id",
    "now_here",
]
