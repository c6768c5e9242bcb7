"""What the benchmark of the clock runs, in processes of their own: ``clock_players.py NAME ...``.

Every one tells how late it was against the grid of absolute deadlines, in seconds, as JSON.
"""

import asyncio
import gc
import json
import os
import signal
import sqlite3
import sys
import time
from functools import partial
from pathlib import Path

RATE = 14  # events a second


def sleeper(seconds: str, wishes: str = "") -> None:
    """Only sleep to the deadlines; with ``wishes`` what the clock asks of the system first."""
    if wishes:
        from chartwalk.clock.priority import raise_priority

        raise_priority()
    late = []
    start = time.monotonic() + 0.05
    for number in range(int(seconds) * RATE):
        due = start + number / RATE
        time.sleep(max(due - time.monotonic(), 0))
        late.append(time.monotonic() - due)
    json.dump({"late": late}, sys.stdout)


def clock(path: str) -> None:
    """Be the clock's process, and write down every lateness that it counts, at the end."""
    from chartwalk.clock import process
    from chartwalk.clock.lateness import Lateness

    late: list[float] = []
    count = Lateness.add

    def add(self: Lateness, seconds: float) -> None:
        count(self, seconds)
        late.append(seconds)

    Lateness.add = add  # type: ignore[method-assign]
    process.main()
    real_time = sys.platform == "linux" and os.sched_getscheduler(0) & 3 == os.SCHED_FIFO
    Path(path).write_text(json.dumps({"late": late, "real time": real_time}), encoding="utf-8")


def screen(path: str, song: str, busy: str) -> None:
    """Be chartwalk on a song, walking on as fast as it draws if ``busy``, and keep time beside it.

    Time is kept by the event loop of the screen: what a metronome there would do.
    """
    from chartwalk.clock.client import Clock
    from chartwalk.files import open_for_practice
    from chartwalk.log import Store
    from chartwalk.metronome import Metronome
    from chartwalk.midi import Ports
    from chartwalk_tui import app
    from chartwalk_tui.app import ChartwalkApp
    from chartwalk_tui.screens.stand import Stand

    late: list[float] = []

    class Screen(ChartwalkApp):
        CSS_PATH = str(Path(app.__file__).with_name("chartwalk.tcss"))
        drawn = 0

        def on_mount(self) -> None:
            self.run_worker(self._keep_time())
            if busy:
                self.call_after_refresh(self._walk)

        def on_unmount(self) -> None:
            told = {"late": late[RATE:], "drawn": self.drawn}  # the first second is start-up
            Path(path).write_text(json.dumps(told), encoding="utf-8")

        async def _keep_time(self) -> None:
            start = time.monotonic()
            while True:
                due = start + (len(late) + 1) / RATE
                await asyncio.sleep(due - time.monotonic())
                late.append(time.monotonic() - due)

        def _walk(self) -> None:
            stand = self.screen
            assert isinstance(stand, Stand)
            last = stand.session.step == stand.session.end().step
            stand.action_first() if last else stand.action_next_bar()
            self.drawn += 1
            self.call_after_refresh(self._walk)

    # Nothing is looked for and no port is opened: the clock of this screen only waits.
    silent = partial(Metronome, look=Ports, start=Clock.start)
    opened = Screen(Store.in_memory(), silent, open_for_practice(Path(song)))
    gc.freeze()  # as chartwalk starts
    opened.run()


def writer(path: str) -> None:
    """Commit to a database all the time, each time to the disk."""
    with sqlite3.connect(path, isolation_level=None) as database:
        database.execute("PRAGMA synchronous = FULL")
        database.execute("CREATE TABLE written (moment REAL)")
        while True:
            database.execute("INSERT INTO written VALUES (?)", (time.monotonic(),))


def receiver() -> None:
    """Be a MIDI input of JACK; tell at the end the seconds before each message, and its status."""
    import rtmidi

    device = rtmidi.MidiIn(rtmidi.API_UNIX_JACK, "receiver")
    heard: list[tuple[float, int]] = []
    device.set_callback(lambda event, _: heard.append((event[1], event[0][0])))
    device.open_virtual_port("in")
    signal.signal(signal.SIGTERM, lambda *_: None)
    signal.pause()
    device.close_port()
    json.dump(heard, sys.stdout)


PLAYERS = {player.__name__: player for player in (sleeper, clock, screen, writer, receiver)}

if __name__ == "__main__":
    PLAYERS[sys.argv[1]](*sys.argv[2:])
