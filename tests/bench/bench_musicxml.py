"""Reading MusicXML, against music21's own parse of the same files (the reference).

The files are named by their paths in music21's corpus. It reads every part of a score, we the lead:
with one part the work is the same, and the goal is a tenth of its time.
"""

import time
from collections.abc import Callable
from functools import partial
from pathlib import Path

import pytest
from music21 import converter, corpus

from chartwalk.musicxml import read, read_bytes

SHEETS = [
    "leadSheet/fosterBrownHair",  # 35 bars, 2 verses
    "demos/ComprehensiveChordSymbolsTestFile",  # 57 chord symbols
    "liliuokalani/aloha_oe",  # 3 parts
    "bach/bwv66.6",  # 4 parts
]
BARS = 10_000
BAR = (
    '<harmony><root><root-step>C</root-step></root><kind text="m7">minor-seventh</kind></harmony>'
    + "".join(
        f"<note><pitch><step>{step}</step><octave>5</octave></pitch><duration>1</duration>"
        "<voice>1</voice><lyric><syllabic>single</syllabic><text>la</text></lyric></note>"
        for step in "CDEF"
    )
)
START = '<barline location="left"><repeat direction="forward"/></barline>'
FIRST = '<barline location="left"><ending number="1" type="start"/></barline>'
CLOSE = '<barline location="right"><repeat direction="backward"/></barline>'
SECOND = '<barline location="left"><ending number="2" type="start"/></barline>'
MARKS = {0: (START, ""), 6: (FIRST, ""), 7: ("", CLOSE), 8: (SECOND, "")}


def path_of(name: str) -> Path:
    return Path(str(corpus.getWork(name)))


def long_score(bars: int) -> bytes:
    """Return a score of ten-bar stretches, each with a repeat and two endings."""
    measures = []
    for number in range(bars):
        left, right = MARKS.get(number % 10, ("", ""))
        measures.append(f'<measure number="{number + 1}">{left}{BAR}{right}</measure>')
    return f"<score-partwise><part id='P'>{''.join(measures)}</part></score-partwise>".encode()


def least(work: Callable[[], object], rounds: int) -> float:
    """Return the least processor time of some rounds, in seconds."""
    times = []
    for _ in range(rounds):
        start = time.process_time()
        work()
        times.append(time.process_time() - start)
    return min(times)


@pytest.mark.benchmark(group="one lead sheet")
def test_read(benchmark: Callable[..., object]) -> None:
    """Our reading, from the file to the chart."""
    path = path_of(SHEETS[0])
    benchmark(lambda: read(path))


@pytest.mark.benchmark(group="one lead sheet")
def test_music21(benchmark: Callable[..., object]) -> None:
    """music21's own parse, without its cache."""
    path = path_of(SHEETS[0])
    benchmark(lambda: converter.parse(path, forceSource=True, storePickle=False))


@pytest.mark.parametrize("name", SHEETS)
def test_how_many_times_as_fast(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Print the ratio of the two within this run, the least of some rounds each."""
    path = path_of(name)
    ours = least(lambda: read(path), 20)
    theirs = least(lambda: converter.parse(path, forceSource=True, storePickle=False), 5)
    with capsys.disabled():
        print(f"\n{name}: {theirs / ours:.1f} times as fast as music21 ({ours * 1e3:.1f} ms)")


def test_how_it_grows(capsys: pytest.CaptureFixture[str]) -> None:
    """Print what twice as many bars cost: 2 is linear."""
    half, whole = (long_score(bars) for bars in (BARS // 2, BARS))
    assert len(read_bytes(whole, "x").chart.bars) == BARS
    times = [least(partial(read_bytes, data, "x"), 3) for data in (half, whole)]
    with capsys.disabled():
        print(f"\n{BARS} bars: {times[1]:.2f} s, {times[1] / times[0]:.2f} times {BARS // 2} bars")
