"""Starting a practice in lines: the log is opened, the clock is started, lines are taken."""

import contextlib
import io
import os
import signal
import sys
import threading
from functools import partial
from queue import Empty
from types import FrameType
from typing import Final, NoReturn

from chartwalk.log import LogError, Store, data_folder
from chartwalk.metronome import Metronome
from chartwalk.song import Song
from chartwalk_tui.plain.home import PORT, Home
from chartwalk_tui.plain.lines import Lines, lines_from
from chartwalk_tui.plain.practice import Practice

LOOK: Final = 1 / 20  # seconds between two looks at the clock in a run
REST: Final = 1.0  # the same while nothing runs, for what the clock has to say
LEAVING: Final = ("SIGTERM", "SIGHUP")  # signals that end a practice as Ctrl+C does


def play(song: Song, port: str | None) -> int:
    """Practise a song by lines from standard input until they end; return 0."""
    if isinstance(sys.stdout, io.TextIOWrapper):  # letters that the terminal does not have
        sys.stdout.reconfigure(errors="replace")
    store, notice = _opened()
    if port is None:
        with contextlib.suppress(LogError):
            port = store.setting(PORT)
    home = Home(store, partial(Metronome, port))
    try:
        for name in LEAVING:
            if number := getattr(signal, name, None):
                signal.signal(number, _leave)
        _practise(home, song, notice)
    except KeyboardInterrupt:
        pass
    except OSError:  # whoever read the lines has gone
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    finally:
        home.close()
    return 0


def _practise(home: Home, song: Song, notice: str) -> None:
    practice = Practice(home, song, partial(print, flush=True))
    practice.say(notice)
    practice.begin()
    threading.Thread(target=home.metronome.connect, daemon=True).start()
    try:
        take_lines(practice, lines_from(sys.stdin.fileno()))
    finally:
        practice.leave()


def take_lines(practice: Practice, lines: Lines) -> None:
    """Do what the lines say until they end or the player leaves; follow the clock meanwhile."""
    while not practice.ended:
        practice.look()
        try:
            line = lines.get(timeout=LOOK if practice.session.mode.moving else REST)
        except Empty:
            continue
        if line is None:
            return
        practice.do(line)


def _opened() -> tuple[Store, str]:
    """Open the log; return it with what the player should know about it."""
    try:
        store = Store.open(data_folder())
    except LogError as error:
        return Store.in_memory(), f"{error}. Practice goes on; marks last until you quit."
    return store, store.notice and f"{store.notice}."


def _leave(_: int, __: FrameType | None) -> NoReturn:
    raise KeyboardInterrupt
