"""``chartwalk log``: list the trouble marks, write the log out, take another one in."""

import argparse
import sys
from collections.abc import Callable, Mapping
from dataclasses import asdict
from pathlib import Path
from typing import Final

from chartwalk.export import save
from chartwalk.log import LogError, MarkRecord, SongRecord, Store, data_folder, now_here
from chartwalk.log.exchange import KINDS, ExchangeError, take_in, write_out
from chartwalk.trouble import MONTH, WEEK, Records, Reviewer, glance_back, lesson, page
from chartwalk_tui.commands.output import BAD_INPUT, print_json, print_problems, refused, stands
from chartwalk_tui.printable import count, printable

BAD_USAGE: Final = 2
LISTED: Final = 50


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare what can be done with the log."""
    actions = parser.add_subparsers(dest="action", required=True, metavar="ACTION")
    listing = actions.add_parser("list", help="the marks, the latest first")
    listing.add_argument(
        "--limit", type=int, default=LISTED, metavar="N", help=f"at most so many ({LISTED}); 0: all"
    )
    out = actions.add_parser("export", help="write the log into a file")
    kinds = ".jsonl holds everything, .csv the marks and passes as a table"
    out.add_argument("file", type=Path, metavar="FILE", help=kinds)
    out.add_argument("--force", action="store_true", help="write over a file that is there")
    report = actions.add_parser("report", help="a page with pictures to take to a lesson")
    report.add_argument("--html", type=Path, required=True, metavar="FILE", help="what to write")
    report.add_argument("--force", action="store_true", help="write over a file that is there")
    into = actions.add_parser("import", help="take in the log of another machine; nothing twice")
    into.add_argument("file", type=Path, metavar="FILE", help="a .jsonl file from log export")
    for action in (listing, out, report, into):
        action.add_argument(
            "--json", action="store_true", default=argparse.SUPPRESS, help="print JSON"
        )


def run(options: argparse.Namespace) -> int:
    """Do what is asked for; return 0, 1 where the log or a file refuses, 2 for bad usage."""
    try:
        store = Store.open(data_folder())
    except LogError as error:
        print(error, file=sys.stderr)
        return BAD_INPUT
    if store.notice:
        print(store.notice, file=sys.stderr)
    try:
        return ACTIONS[options.action](store, options)
    except ExchangeError as error:
        print_problems(error.problems)
        return BAD_INPUT
    except LogError as error:
        print(error, file=sys.stderr)
        return BAD_INPUT
    finally:
        store.close()


def _list(store: Store, options: argparse.Namespace) -> int:
    songs = {song.id: song for song in store.songs()}
    marks = store.marks(limit=options.limit if options.limit > 0 else None)
    if options.json:
        print_json([_entry(mark, songs[mark.song]) for mark in marks])
        return 0
    if not marks:
        print("No marks yet.")
    for mark in marks:
        print(_line(mark, songs[mark.song]))
    return 0


def _export(store: Store, options: argparse.Namespace) -> int:
    file = options.file
    if file.suffix.lower() not in KINDS:
        kinds = " or ".join(KINDS)
        print(f"chartwalk log export: {file}: a log is written as {kinds}", file=sys.stderr)
        return BAD_USAGE
    if stands(file, options.force):
        return BAD_INPUT
    write_out(store.database, file)
    if options.json:
        print_json({"to": str(file)})
    else:
        print(f"{file}: the log is written")
    return 0


def _import(store: Store, options: argparse.Namespace) -> int:
    taken = asdict(take_in(store.database, options.file))
    if options.json:
        print_json({"from": str(options.file), **taken})
    else:
        new = ", ".join(f"{name} {number}" for name, number in taken.items())
        print(f"{options.file}: new in the log: {new}")
    return 0


def _report(store: Store, options: argparse.Namespace) -> int:
    file = options.html
    if stands(file, options.force):
        return BAD_INPUT
    now = now_here()
    found = Reviewer().review(Records.of(store, now.date()), now)
    kept = found.records
    glances = [
        glance_back(found.today, days, (*kept.passes, *kept.runs), kept.marks, found.spots)
        for days in (WEEK, MONTH)
    ]
    told = lesson(found.today, found.songs, glances, found.spots)
    try:
        save(page(told).encode(), file)
    except OSError as error:
        return refused(file, error)
    if options.json:
        print_json({"to": str(file), "spots": len(found.spots)})
    else:
        print(f"{file}: {count(len(found.spots), 'trouble spot')}, the week and the month")
    return 0


ACTIONS: Final[Mapping[str, Callable[[Store, argparse.Namespace], int]]] = {
    "list": _list,
    "export": _export,
    "import": _import,
    "report": _report,
}


def _line(mark: MarkRecord, song: SongRecord) -> str:
    said = (mark.chord, mark.kind.value, mark.words)
    more = "".join(f", {text}" for text in said if text)
    where = f"{mark.day}  {song.title}, bar {mark.anchor.number}{more}, tempo {mark.tempo:.0f}"
    return printable(where)


def _entry(mark: MarkRecord, song: SongRecord) -> dict[str, object]:
    return {
        "id": mark.id,
        "title": song.title,
        "path": song.path,
        "bar": mark.anchor.number,
        "pass": mark.pass_,
        "beat": None if mark.beat is None else str(mark.beat),
        "came_from": mark.came_from,
        "chord": mark.chord,
        "kind": mark.kind.value,
        "words": mark.words,
        "tempo": mark.tempo,
        "goal": mark.goal,
        "day": mark.day.isoformat(),
        "time": mark.time.isoformat(),
    }
