"""Damaged files of every kind: each gives a song or a ChartError, nothing else, and it ends.

A share of them is opened in every run; ``CHARTWALK_WHOLE_FUZZ=1`` has 20,000 opened.
"""

import io
import os
import random
import re
import signal
import zipfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from importlib.util import find_spec
from pathlib import Path
from types import FrameType

import pytest

from chartwalk.files import READERS, open_for_practice, open_song
from chartwalk.musicxml.out import write
from chartwalk.problems import ChartError

WHOLE = os.environ.get("CHARTWALK_WHOLE_FUZZ") == "1"
FILES = 20_000 if WHOLE else 600
BATCHES = 8
HANGS = 60  # seconds for one file: a guard, far above what any takes

SONGS = Path(__file__).parents[2] / "songs"
SHEET = (
    "h:F C5:1'One / |: h:Bb C5:2'lan-'sun D5:2'tern'sets segno / [1 {dom} F#4:1.5 r:.5 G4:2~ coda "
    ":| / [2 ~G4:4 w:Fine / h:C h:G {tempo} C5:3 w:D.S._al_Fine || / C5:1 w:N.C. / r:4 w:Am7-D7"
)
RAW = {
    "dom": (
        '<harmony><root><root-step>G</root-step></root><kind text="7">dominant</kind><bass>'
        "<bass-step>B</bass-step></bass><degree><degree-value>9</degree-value><degree-alter>-1"
        "</degree-alter><degree-type>add</degree-type></degree><offset>12</offset></harmony>"
    ),
    "tempo": (
        "<direction><direction-type><metronome><beat-unit>quarter</beat-unit><per-minute>96"
        '</per-minute></metronome></direction-type><sound tempo="96"/></direction>'
    ),
}
TUNE = """X:1
T:Nets on the Rail
C:invented
M:6/8
L:1/8
Q:3/8=96
K:Gmix
P:AAB
P:A
|:"G"G2B d>ed|"C7"(3efg e "D7"[FA]2{g}f|1 "G"G3- G2z:|2 "G"G6||
w:nets and lines_ hang~on the rail
P:B
!segno![K:D]"D/F#"^F2_A =c'3|"N.C."z6 !fine!|"Am7" "D7"A,6!D.S.!|]
W:The tide turns
"""
PIECES = [
    b"", b" ", b"\n", b"|", b":|", b"<", b">", b"/>", b"&amp;", b"&x;", b"0", b"-1", b"1/0", b"1e9",
    b"99999999999999999999", b"\x00", b"\xff\xfe", b"\x1b[2J", "♭𝄌ﬂ\u2028".encode(), b"nan", b"%",
    b"[", b"]", b"(", b"{", b"}", b'"', b"'", b"~", b"-", b"_", b"\\", b"#", b"segno", b"D.C.",
    b"road", b"chords |", b"meter 0/4\n", b"3x", b"1. 2.", b"K:", b"M:7/0\n", b"[1-99", b"(3:2:9",
    b"<note/>", b"<measure/>", b"<backup><duration>9999</duration></backup>", b"<divisions>0",
    b'<repeat direction="backward"/>', b"<chord/>", b"<grace/>", b"A" * 300, b"(" * 300, b"|:" * 60,
]  # fmt: skip

Seeds = list[tuple[str, bytes]]


@pytest.fixture(scope="module")
def seeds(sheet: Callable[..., bytes]) -> Seeds:
    """Return sound files of every kind: the ending of the name, and what they hold."""
    leads = [(".lead", path.read_bytes()) for path in sorted(SONGS.glob("*.lead"))]
    written = sheet(SHEET, **RAW)
    found = find_spec("music21")
    assert found is not None
    assert found.origin is not None
    song = Path(found.origin).with_name("corpus") / "leadSheet" / "fosterBrownHair.mxl"
    own = write(open_song(SONGS / "lanterns-at-low-tide.lead").chart).data
    seeds = [
        *leads, (".musicxml", written), (".xml", timewise(written)), (".mxl", packed(written)),
        (".musicxml", own), (".mxl", song.read_bytes()), (".abc", TUNE.encode()),
    ]  # fmt: skip
    assert {ending for ending, _ in seeds} == set(READERS)
    return seeds


def timewise(score: bytes) -> bytes:
    """Return a score of one part with the part inside its measures."""
    inside = score[score.index(b"<measure") : score.rindex(b"</part>")]
    inside = re.sub(rb"(<measure[^>]*>)", rb'\1<part id="P1">', inside)
    inside = inside.replace(b"</measure>", b"</part></measure>")
    return b"<score-timewise><part-list/>" + inside + b"</score-timewise>"


def packed(score: bytes) -> bytes:
    """Return a compressed score."""
    container = b"<container><rootfiles><rootfile full-path='a.xml'/></rootfiles></container>"
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr(zipfile.ZipInfo("META-INF/container.xml"), container)
        archive.writestr(zipfile.ZipInfo("a.xml"), score, zipfile.ZIP_DEFLATED)
    return stream.getvalue()


def unpacked(data: bytes) -> bytes:
    """Return the score of a compressed file."""
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        name = next(name for name in archive.namelist() if not name.startswith("META-INF"))
        return archive.read(name)


def damaged(data: bytes, chance: random.Random) -> bytes:
    """Return a file with one to six places of damage."""
    for _ in range(chance.randint(1, 6)):
        place = chance.randrange(len(data) + 1)
        other = chance.randrange(len(data) + 1)
        length = chance.choice((0, 1, 1, 2, 5, 30, 300))
        piece = data[place : place + length]
        kind = chance.randrange(8)
        if kind == 0:  # put something in, or in place of something
            data = data[:place] + chance.choice(PIECES) + data[place + length :]
        elif kind == 1:  # leave something out
            data = data[:place] + data[place + length :]
        elif kind == 2:  # put something elsewhere
            data = data[:other] + piece + data[other:]
        elif kind == 3:  # again and again
            data = data[:place] + piece * chance.choice((2, 3, 40)) + data[place:]
        elif kind == 4 and place < len(data):  # one bit
            data = (
                data[:place] + bytes([data[place] ^ 1 << chance.randrange(8)]) + data[place + 1 :]
            )
        elif kind == 5:  # the end is missing
            data = data[: max(place, len(data) // 2)]
        elif kind == 6:  # lines or elements change places
            lines = data.split(b"\n" if b"\n" in data else b"<")
            chance.shuffle(lines)
            data = (b"\n" if b"\n" in data else b"<").join(lines) if chance.random() < 0.2 else data
        else:  # other figures
            figures = bytes(chance.choice(b"0123456789") for _ in range(10))
            table = bytes.maketrans(b"0123456789", figures)
            data = data[:place] + data[place : place + 40].translate(table) + data[place + 40 :]
    return data


@contextmanager
def guarded(seconds: int) -> Iterator[None]:
    """Raise TimeoutError where the work inside hangs."""

    def ring(number: int, frame: FrameType | None) -> None:
        raise TimeoutError

    before = signal.signal(signal.SIGALRM, ring)
    signal.alarm(seconds)
    try:
        yield
    finally:
        signal.alarm(0)
        signal.signal(signal.SIGALRM, before)


@pytest.mark.parametrize("batch", range(BATCHES))
def test_a_damaged_file_gives_a_song_or_a_chart_error(
    seeds: Seeds, tmp_path: Path, batch: int
) -> None:
    outcomes = {"song": 0, "with problems": 0, "refused": 0}
    for number in range(batch, FILES, BATCHES):
        chance = random.Random(number)
        ending, data = seeds[number % len(seeds)]
        if ending == ".mxl" and chance.random() < 0.7:
            data = packed(damaged(unpacked(data), chance))
        else:
            data = damaged(data, chance)
        path = tmp_path / f"file{ending}"
        path.write_bytes(data)
        try:
            with guarded(HANGS):
                song = open_for_practice(path)
        except ChartError as error:
            assert all(problem.message for problem in error.problems), number  # noqa: PT017
            outcomes["refused"] += 1
        except Exception as error:
            pytest.fail(f"damaged file {number} ({ending}): {error!r}")
        else:
            assert song.steps, number
            outcomes["with problems" if song.problems else "song"] += 1
    assert all(outcomes.values()), outcomes  # the damage is neither too little nor too much
