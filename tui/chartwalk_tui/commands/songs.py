"""``chartwalk songs``: the demo songs and those opened before, with their paths."""

import argparse
import sys

from chartwalk.log import LogError, Store, data_folder
from chartwalk_tui.commands.output import print_json
from chartwalk_tui.shelf import ShelfSong, shelf_songs


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Take nothing."""


def run(options: argparse.Namespace) -> int:
    """Print the songs; as JSON, one list."""
    try:
        store = Store.open(data_folder())
    except LogError as error:
        print(error, file=sys.stderr)
        store = Store.in_memory()
    before, demos = shelf_songs(store)
    store.close()
    if options.json:
        print_json([_entry(song) for song in (*before, *demos)])
        return 0
    for head, songs in (("Opened before", before), ("Demo songs", demos)):
        if songs:
            print(head)
        for song in songs:
            print(f"  {song.title}\n    {song.path}")
    return 0


def _entry(song: ShelfSong) -> dict[str, object]:
    return {"title": song.title, "path": song.path, "demo": song.demo}
